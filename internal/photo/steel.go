package photo

import "math"

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
func (h *disc) reach() float32 {
	if !h.rusted {
		return 1.15 * h.r
	}
	return 2.6 * h.r
}

// surface is paint or bare metal with rust over it.
func (s *scene) surface(field, tone, bump, grain float32) rgb {
	over := field - s.threshold
	if s.m.Rust <= 0 || over < -0.12 {
		return s.sound(tone, bump, grain)
	}
	if over >= 0.012 {
		return rusted(tone, bump, grain)
	}
	c := s.sound(tone, bump, grain)
	c = c.mix(brownRust, 0.35*step(-0.12, 0, over)) // the stain around it
	if !s.m.Bare {                                  // the edge of the paint catches the light
		c = c.lit(1 + 0.5*step(-0.03, -0.012, over)*step(0, -0.012, over) - 0.35*step(0, 0.01, over))
	}
	if over < -0.012 {
		return c
	}
	return c.mix(rusted(tone, bump, grain), step(-0.012, 0.012, over))
}

// sound is the surface where no rust lies on it, pitted or not.
func (s *scene) sound(tone, bump, grain float32) rgb {
	sound, shine := paint, 0.25*bump
	if s.m.Bare {
		sound, shine = metal, 0.5*bump
	}
	c := sound.lit(0.85 + 0.3*tone + shine)
	if s.m.Pits <= 0 {
		return c
	}
	deep := step(0.60, 0.72, 0.55*grain+0.45*tone) * s.m.Pits
	if deep == 0 {
		return c
	}
	return c.mix(darkRust, 0.75*deep).lit(1 + 0.8*bump*deep)
}

func rusted(tone, bump, grain float32) rgb {
	c := brownRust.mix(orangeRust, step(0.45, 0.75, tone+0.3*(grain-0.5))).mix(darkRust, step(0.5, 0.3, tone-0.2*(grain-0.5)))
	return c.lit(0.9 + 0.25*grain + 0.9*bump)
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
func (h *disc) cut(c rgb, x, y, ragged float32) rgb {
	dx, dy := x-h.x, (y-h.y)/h.squash
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
