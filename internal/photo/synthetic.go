package photo

import (
	"image"
	"math"
	"math/rand/v2"
	"sync"
)

// Motif says what a drawn photograph shows: a length of frame rail with a scale
// bar on it. The zero value is a sound, painted rail.
type Motif struct {
	Seed   uint64
	Width  int     // pixels, at most 4000; 0 stands for 1200
	Height int     // pixels, at most 4000; 0 stands for 900
	Rust   float32 // share of the surface, 0 to 1
	Pits   float32 // depth of pitting, 0 to 1
	Holes  int     // perforations
	Patch  bool    // a welded-in repair
	Bare   bool    // blasted to metal instead of painted
	View   int     // of one place: 0 all of it, each further number closer from elsewhere
}

// Drawn returns a JPEG that nobody took: procedural noise made to look like
// rusty steel, for demonstrations and tests. The same motif gives the same
// picture on the same kind of processor. It takes about twice as long as writing
// the JPEG on one core.
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
	jpg, err := encode(subsampled(img), 85)
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

// subsampled is the picture as JPEG keeps it: brightness for each pixel, colour
// for each two by two (JFIF, ITU-T T.871, section 7).
func subsampled(img *image.RGBA) *image.YCbCr {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	out := image.NewYCbCr(img.Rect, image.YCbCrSubsampleRatio420)
	for y := 0; y < h; y += 2 {
		below := min(y+1, h-1)
		upper, lower := img.Pix[y*img.Stride:][:4*w], img.Pix[below*img.Stride:][:4*w]
		bright, next := out.Y[y*out.YStride:][:w], out.Y[below*out.YStride:][:w]
		for x := 0; x < w; x += 2 {
			beside := min(x+1, w-1)
			r, g, b := luma(upper[4*x:], &bright[x])
			r2, g2, b2 := luma(upper[4*beside:], &bright[beside])
			r3, g3, b3 := luma(lower[4*x:], &next[x])
			r4, g4, b4 := luma(lower[4*beside:], &next[beside])
			r, g, b = r+r2+r3+r4, g+g2+g3+g4, b+b2+b3+b4
			c := y/2*out.CStride + x/2
			out.Cb[c] = byte(min(255, (-11056*r-21712*g+32768*b+257<<17)>>18))
			out.Cr[c] = byte(min(255, (32768*r-27440*g-5328*b+257<<17)>>18))
		}
	}
	return out
}

func luma(p []byte, y *byte) (r, g, b int32) {
	p = p[:3:3]
	r, g, b = int32(p[0]), int32(p[1]), int32(p[2])
	*y = byte((19595*r + 38470*g + 7471*b + 1<<15) >> 16)
	return r, g, b
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

// scene holds the noise of one picture. Lengths are in units of the height of
// the view that shows all of it.
type scene struct {
	m             Motif
	unit          float32 // a pixel
	left, upper   float32 // corner of the view
	lamp          float32
	coarse, tone  []float32 // a value every fourth pixel
	across        int       // values in a row of those
	coarseRow     []float32
	toneRow       []float32
	fine          *[tile * tile]float32
	grainX        int // where the picture begins in the grain
	grainY        int
	holes         []disc
	cuts          []disc  // the holes that touch the row that is drawn
	top, bottom   float32 // edges of the rail
	patch         disc
	threshold     float32
	light, inside float32 // of the row that is drawn
	y             float32
}

const tile = 256

// grain is the finest noise. It costs more than it shows, so that all pictures
// cut theirs out of one tile.
var grain = sync.OnceValue(func() *[tile * tile]float32 {
	lot := rand.New(rand.NewPCG(7, 0x5eed))
	lattice := latticeOf(lot)
	out := new([tile * tile]float32)
	for i := range out {
		x, y := float32(i%tile), float32(i/tile)
		out[i] = noise(lattice, x/4, y/4)*0.5 + lot.Float32()*0.25 + noise(lattice, x/16, y/16)*0.25
	}
	return out
})

func latticeOf(lot *rand.Rand) []float32 {
	out := make([]float32, 64*64)
	for i := range out {
		out[i] = lot.Float32()
	}
	return out
}

func newScene(m Motif) *scene {
	lot := rand.New(rand.NewPCG(m.Seed, 0x5eed))
	s := &scene{m: m, fine: grain(), across: m.Width/4 + 2, top: 0.14 + 0.04*lot.Float32(), bottom: 0.80 + 0.04*lot.Float32()}
	lattice := latticeOf(lot)
	s.threshold = 0.86 - 0.62*m.Rust
	wide := float32(m.Width) / float32(m.Height)
	for range m.Holes {
		s.holes = append(s.holes, disc{wide * (0.25 + 0.55*lot.Float32()), s.top + 0.16 + 0.3*lot.Float32(), 0.035 + 0.05*lot.Float32(), 0.6 + 0.5*lot.Float32(), true})
	}
	for i := range 2 {
		s.holes = append(s.holes, disc{wide * (0.12 + 0.76*float32(i)), s.top + 0.13, 0.026, 1, false})
	}
	s.patch = disc{x: wide * (0.45 + 0.1*lot.Float32()), y: (s.top + s.bottom) / 2, r: 0.17, squash: 1.7}
	s.stand(wide)
	s.weather(lattice)
	return s
}

// stand places the camera: back for the first view, then closer, over a hole, the
// patch or the rail, and with another light.
func (s *scene) stand(wide float32) {
	lot := rand.New(rand.NewPCG(s.m.Seed, uint64(s.m.View)))
	s.grainX, s.grainY = lot.IntN(tile), lot.IntN(tile)
	s.lamp, s.unit = 1, 1/float32(s.m.Height)
	if s.m.View == 0 {
		return
	}
	share := 0.42 + 0.28*lot.Float32() // of the whole that is seen
	x, y := wide*(0.3+0.4*lot.Float32()), (s.top+s.bottom)/2+0.3*(lot.Float32()-0.5)
	if s.m.Holes > 0 {
		x, y = s.holes[s.m.View%s.m.Holes].x, s.holes[s.m.View%s.m.Holes].y
	} else if s.m.Patch {
		x, y = s.patch.x+0.2*(lot.Float32()-0.5), s.patch.y
	}
	s.unit *= share
	s.left, s.upper = min(max(x-share*wide/2, 0), wide*(1-share)), min(max(y-share/2, 0), 1-share)
	s.lamp = 0.86 + 0.26*lot.Float32()
}

// weather fills in where rust is and of which tone.
func (s *scene) weather(lattice []float32) {
	rows := s.m.Height/4 + 2
	s.coarse, s.tone = make([]float32, s.across*rows), make([]float32, s.across*rows)
	for i := range s.coarse {
		x, y := s.left+float32(i%s.across)*4*s.unit, s.upper+float32(i/s.across)*4*s.unit
		s.coarse[i] = 0.5*noise(lattice, 4*x, 5*y) + 0.26*noise(lattice, 11*x+7, 13*y) + 0.15*noise(lattice, 29*x, 29*y+5) + 0.09*noise(lattice, 60*x, 60*y)
		bent := 1.5 * s.coarse[i] // hides the lattice
		s.tone[i] = 0.42*noise(lattice, 6*x+20+2*bent, 4*y+9+bent) + 0.33*noise(lattice, 17*x+3+bent, 18*y+31+bent) + 0.25*noise(lattice, 43*x+11, 41*y+2+bent)
	}
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
	s.y = s.upper + float32(y)*s.unit
	s.cuts = s.cuts[:0]
	for i := range s.holes {
		if h := &s.holes[i]; abs(s.y-h.y) < h.reach()*h.squash {
			s.cuts = append(s.cuts, *h)
		}
	}
	from, to := s.y-s.top, s.bottom-s.y
	s.inside = step(-0.002, 0.002, min(from, to))
	s.light = 1.12 - 0.34*from/(s.bottom-s.top)
	s.light += 0.45*float32(math.Exp(float64(-(from-0.03)*(from-0.03)*2500))) - 0.5*step(0.05, 0, to)
	s.light *= s.lamp
}

func (s *scene) at(x, y int) rgb {
	const last = tile - 1
	fine, gx, gy := s.fine, x+s.grainX, y+s.grainY
	grain := fine[(gy&last)*tile+(gx&last)]
	if s.inside == 0 {
		shade := 0.55 + 0.35*between(s.toneRow, x) + 0.1*grain - 0.4*step(0.09, 0, s.y-s.bottom)*step(0, 0.001, s.y-s.bottom)
		return floor.lit(shade)
	}
	fx := s.left + float32(x)*s.unit
	bump := grain - fine[((gy+1)&last)*tile+((gx+1)&last)]
	field := between(s.coarseRow, x)
	tone := between(s.toneRow, x)
	c := s.surface(field+0.1*(grain-0.5), tone, bump, grain)
	if s.m.Patch {
		c = s.patched(c, fx, bump, tone)
	}
	ragged := 0.9*(field-0.5) + 0.1*(grain-0.5)
	for i := range s.cuts {
		if h := &s.cuts[i]; abs(fx-h.x) <= h.reach() {
			c = h.cut(c, fx, s.y, ragged)
		}
	}
	off := float32(x)/float32(s.m.Width) - 0.45
	return c.lit(s.light * (1.06 - 0.7*off*off))
}

func abs(v float32) float32 { return max(v, -v) }
