package photo

import (
	"image"
	"math"
	"math/rand/v2"
	"sync"
)

// Motif says what a drawn photograph shows: a length of frame rail with a scale
// bar of ten centimetres on it. The zero value is a sound, painted rail.
type Motif struct {
	Seed   uint64
	Width  int     // pixels, at most 4000; 0 stands for 1200
	Height int     // pixels, at most 4000; 0 stands for 900
	Rust   float32 // share of the surface, 0 to 1
	Pits   float32 // depth of pitting, 0 to 1
	Holes  int     // perforations
	Patch  bool    // a welded-in repair
	Bare   bool    // blasted to metal instead of painted
}

// Drawn returns a JPEG that nobody took: procedural noise made to look like
// rusty steel, for demonstrations and tests. The same motif gives the same
// picture on the same kind of processor. It takes two to three times as long as
// writing the JPEG on one core.
func Drawn(m Motif) []byte {
	if m.Width <= 0 || m.Height <= 0 {
		m.Width, m.Height = 1200, 900
	}
	m.Width, m.Height = min(m.Width, 4000), min(m.Height, 4000)
	s := newScene(m)
	img := image.NewRGBA(image.Rect(0, 0, m.Width, m.Height))
	var halves sync.WaitGroup
	for k := range 2 {
		halves.Go(func() { s.onEverySecondRow().draw(img, k) })
	}
	halves.Wait()
	s.scaleBar(img)
	jpg, err := encode(img, 85)
	if err != nil {
		panic(err) // writing to memory a picture whose size was checked
	}
	return jpg
}

// onEverySecondRow is the scene for one of two that draw it at the same time.
func (s *scene) onEverySecondRow() *scene {
	own := *s
	own.coarseRow, own.toneRow, own.cuts = make([]float32, s.across), make([]float32, s.across), nil
	return &own
}

func (s *scene) draw(img *image.RGBA, from int) {
	for y := from; y < s.m.Height; y += 2 {
		s.startRow(y)
		row := img.Pix[y*img.Stride:][:4*s.m.Width]
		for x := range s.m.Width {
			c := s.at(x, y)
			p := row[4*x : 4*x+4 : 4*x+4]
			p[0], p[1], p[2], p[3] = level(c.r), level(c.g), level(c.b), 255
		}
	}
}

type rgb struct{ r, g, b float32 }

func (a rgb) mix(b rgb, t float32) rgb {
	return rgb{a.r + (b.r-a.r)*t, a.g + (b.g-a.g)*t, a.b + (b.b-a.b)*t}
}

func (a rgb) lit(k float32) rgb { return rgb{a.r * k, a.g * k, a.b * k} }

func level(v float32) byte {
	if v <= 0 {
		return 0
	}
	if v >= 255 {
		return 255
	}
	return byte(v)
}

// step rises smoothly from 0 at from to 1 at to.
func step(from, to, v float32) float32 {
	t := (v - from) * (1 / (to - from))
	if t <= 0 {
		return 0
	}
	if t >= 1 {
		return 1
	}
	return t * t * (3 - 2*t)
}

// Colours as an eye for old frames picks them; there is no source.
var (
	floor      = rgb{70, 68, 66}
	paint      = rgb{52, 54, 57}
	metal      = rgb{148, 149, 148}
	darkRust   = rgb{58, 33, 24}
	brownRust  = rgb{112, 66, 42}
	orangeRust = rgb{170, 102, 58}
	within     = rgb{16, 12, 10}
)

// disc is a round thing, lower than it is wide by squash; rusted if it was rust
// that made it.
type disc struct {
	x, y, r, squash float32
	rusted          bool
}

// reach is how far its rim can be seen, in the direction of x.
func (h disc) reach() float32 { return 2.6 * h.r }

// scene holds the noise of one picture. Lengths are in units of its height.
type scene struct {
	m             Motif
	unit          float32
	coarse, tone  []float32 // a value every fourth pixel
	across        int       // values in a row of those
	coarseRow     []float32
	toneRow       []float32
	fine          *[tile * tile]float32
	holes         []disc
	cuts          []disc  // the holes that touch the row that is drawn
	top, bottom   float32 // edges of the rail
	patch         disc
	threshold     float32
	light, inside float32 // of the row that is drawn
	y             float32
}

const tile = 256

func newScene(m Motif) *scene {
	lot := rand.New(rand.NewPCG(m.Seed, 0x5eed))
	s := &scene{m: m, fine: new([tile * tile]float32), unit: 1 / float32(m.Height), across: m.Width/4 + 2, top: 0.14 + 0.04*lot.Float32(), bottom: 0.80 + 0.04*lot.Float32()}
	lattice := make([]float32, 64*64)
	for i := range lattice {
		lattice[i] = lot.Float32()
	}
	for i := range s.fine {
		s.fine[i] = noise(lattice, float32(i%tile)/4, float32(i/tile)/4)*0.5 + lot.Float32()*0.25 + noise(lattice, float32(i%tile)/16, float32(i/tile)/16)*0.25
	}
	rows := m.Height/4 + 2
	s.coarse, s.tone = make([]float32, s.across*rows), make([]float32, s.across*rows)
	for i := range s.coarse {
		x, y := float32(i%s.across)*4*s.unit, float32(i/s.across)*4*s.unit
		s.coarse[i] = 0.5*noise(lattice, 4*x, 5*y) + 0.26*noise(lattice, 11*x+7, 13*y) + 0.15*noise(lattice, 29*x, 29*y+5) + 0.09*noise(lattice, 60*x, 60*y)
		bent := 1.5 * s.coarse[i] // hides the lattice
		s.tone[i] = 0.42*noise(lattice, 6*x+20+2*bent, 4*y+9+bent) + 0.33*noise(lattice, 17*x+3+bent, 18*y+31+bent) + 0.25*noise(lattice, 43*x+11, 41*y+2+bent)
	}
	s.threshold = 0.86 - 0.62*m.Rust
	wide := float32(m.Width) * s.unit
	for range m.Holes {
		s.holes = append(s.holes, disc{wide * (0.25 + 0.55*lot.Float32()), s.top + 0.16 + 0.3*lot.Float32(), 0.035 + 0.05*lot.Float32(), 0.6 + 0.5*lot.Float32(), true})
	}
	for i := range 2 {
		s.holes = append(s.holes, disc{wide * (0.12 + 0.76*float32(i)), s.top + 0.13, 0.026, 1, false})
	}
	s.patch = disc{x: wide * (0.45 + 0.1*lot.Float32()), y: (s.top + s.bottom) / 2, r: 0.17, squash: 1.7}
	return s
}

// noise is value noise on a lattice of 64 by 64 that repeats.
func noise(lattice []float32, x, y float32) float32 {
	i, j := int(x), int(y)
	u, v := x-float32(i), y-float32(j)
	u, v = u*u*(3-2*u), v*v*(3-2*v)
	a, b := lattice[j&63<<6|i&63], lattice[j&63<<6|(i+1)&63]
	c, d := lattice[(j+1)&63<<6|i&63], lattice[(j+1)&63<<6|(i+1)&63]
	a, c = a+(b-a)*u, c+(d-c)*u
	return a + (c-a)*v
}

// onRow reads a coarse field on a row of pixels, still a value every fourth.
func (s *scene) onRow(field, row []float32, y int) {
	f, v := field[y/4*s.across:], float32(y&3)/4
	for i := range row {
		row[i] = f[i] + (f[i+s.across]-f[i])*v
	}
}

// between reads such a row at a pixel.
func between(row []float32, x int) float32 {
	f := row[x>>2 : x>>2+2]
	return f[0] + (f[1]-f[0])*float32(x&3)*0.25
}

// startRow finds the holes and the light on a row: the rail's edges are rounded and the lamp
// hangs above.
func (s *scene) startRow(y int) {
	s.onRow(s.coarse, s.coarseRow, y)
	s.onRow(s.tone, s.toneRow, y)
	s.y = float32(y) * s.unit
	s.cuts = s.cuts[:0]
	for _, h := range s.holes {
		if abs(s.y-h.y) < h.reach()*h.squash {
			s.cuts = append(s.cuts, h)
		}
	}
	from, to := s.y-s.top, s.bottom-s.y
	s.inside = step(-0.002, 0.002, min(from, to))
	s.light = 1.12 - 0.34*from/(s.bottom-s.top)
	s.light += 0.45*float32(math.Exp(float64(-(from-0.03)*(from-0.03)*2500))) - 0.5*step(0.05, 0, to)
}

func (s *scene) at(x, y int) rgb {
	const last = tile - 1
	grain := s.fine[(y&last)*tile+(x&last)]
	if s.inside == 0 {
		shade := 0.55 + 0.35*between(s.toneRow, x) + 0.1*grain - 0.4*step(0.09, 0, s.y-s.bottom)*step(0, 0.001, s.y-s.bottom)
		return floor.lit(shade)
	}
	fx := float32(x) * s.unit
	bump := grain - s.fine[((y+1)&last)*tile+((x+1)&last)]
	field := between(s.coarseRow, x)
	tone := between(s.toneRow, x)
	c := s.surface(field+0.1*(grain-0.5), tone, bump, grain)
	if s.m.Patch {
		c = s.patched(c, fx, bump, tone)
	}
	ragged := 0.9*(field-0.5) + 0.1*(grain-0.5)
	for _, h := range s.cuts {
		c = h.cut(c, fx, s.y, ragged)
	}
	off := float32(x)/float32(s.m.Width) - 0.45
	return c.lit(s.light * (1.06 - 0.7*off*off))
}

// surface is paint or bare metal with rust over it.
func (s *scene) surface(field, tone, bump, grain float32) rgb {
	sound, shine := paint, 0.25*bump
	if s.m.Bare {
		sound, shine = metal, 0.5*bump
	}
	c := sound.lit(0.85 + 0.3*tone + shine)
	if s.m.Pits > 0 {
		deep := step(0.60, 0.72, 0.55*grain+0.45*tone) * s.m.Pits
		c = c.mix(darkRust, 0.75*deep).lit(1 + 0.8*bump*deep)
	}
	over := field - s.threshold
	if s.m.Rust <= 0 || over < -0.12 {
		return c
	}
	c = c.mix(brownRust, 0.35*step(-0.12, 0, over)) // the stain around it
	if !s.m.Bare && over < 0.03 {                   // the edge of the paint catches the light
		c = c.lit(1 + 0.5*step(-0.03, -0.012, over)*step(0, -0.012, over) - 0.35*step(0, 0.01, over)*step(0.03, 0.01, over))
	}
	if over < -0.012 {
		return c
	}
	rust := brownRust.mix(orangeRust, step(0.45, 0.75, tone+0.3*(grain-0.5))).mix(darkRust, step(0.5, 0.3, tone-0.2*(grain-0.5)))
	return c.mix(rust.lit(0.9+0.25*grain+0.9*bump), step(-0.012, 0.012, over))
}

// patched is new steel let in, with a ground weld around it.
func (s *scene) patched(c rgb, x, bump, tone float32) rgb {
	dx, dy := abs(x-s.patch.x)-s.patch.r*s.patch.squash, abs(s.y-s.patch.y)-s.patch.r
	d := max(dx, dy)
	if dx > -0.05 && dy > -0.05 { // round corners
		d = float32(math.Hypot(float64(dx+0.05), float64(dy+0.05))) - 0.05
	}
	if d > 0.06 {
		return c
	}
	c = c.mix(rgb{66, 62, 74}, 0.7*step(0.06, 0.012, d)) // heat tint
	along := x
	if dx > dy {
		along = s.y
	}
	ripple := 0.5 + 0.5*float32(math.Sin(float64(along*300+d*d*9000+6*tone)))
	weld := metal.lit(0.74 + 0.13*ripple + 0.2*(tone-0.5) + 0.8*bump - 9*d)
	c = c.mix(weld, step(0.014, 0.011, d))
	return c.mix(metal.lit(0.95+0.2*tone+0.35*bump), step(-0.011, -0.014, d))
}

// cut opens a hole, with a thin, rusty, uneven rim when it was rust that made it.
func (h disc) cut(c rgb, x, y, ragged float32) rgb {
	dx := x - h.x
	if reach := h.reach(); dx > reach || dx < -reach {
		return c
	}
	dy := (y - h.y) / h.squash
	d := float32(math.Sqrt(float64(dx*dx+dy*dy)))/h.r - 1
	rim := float32(0.12)
	if h.rusted {
		d += 3.2 * ragged
		rim = 0.3
		c = c.mix(darkRust.lit(0.9+0.5*ragged), 0.8*step(1.1, 0.2, d))
	}
	lip := 1 - 0.55*(dx+dy)/h.r*step(rim, 0, d) // the far side faces the lamp
	if h.rusted {
		c = c.mix(orangeRust.lit(0.8), 0.6*step(rim, 0.02, d))
	}
	c = c.lit(min(max(2-lip, 0.5), 1.5))
	deep := within.mix(darkRust, 0.5*step(-0.5, 0, d)*step(-0.3, 0.6, dy/h.r))
	return c.mix(deep, step(0.04, -0.03, d))
}

func abs(v float32) float32 { return max(v, -v) }
