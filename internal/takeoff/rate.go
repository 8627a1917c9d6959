package takeoff

const ratePlaces = 4

// rates are what follows from the setup alone.
func (s *setup) rates() []Rate {
	b, w := &s.blast, &s.weld
	out := []Rate{
		rate("flat_rate", "m2/h", b.flat, b.howFlat),
		rate("frame_rate", "m2/h", b.flat*b.frameFactor, by("Common practice: a quarter to two fifths of flat plate.", "{} m2/h x {}", b.flat, b.frameFactor)),
		rate("deposition", "kg/h", w.feed*minutes/w.wireMKG, by("Wire feed and its weight.", "{} m/min x 60 / {} m/kg", w.feed, w.wireMKG)),
	}
	if w.joint == Fillet {
		out = append(out, rate("weld_metal", "g/m", w.leg*w.leg/2*kgOfMM2M*1000, by("Geometry of an even-legged fillet.", "{} x {} / 2 mm2 x {} kg/m3", w.leg, w.leg, SteelDensity)))
	}
	for i := range s.coats {
		out = append(out, s.coats[i].rates()...)
	}
	return out
}

// rates are those on sound steel: old pitted steel swallows more.
func (c *coat) rates() []Rate {
	f, p := c.sound.film, &c.sound
	dry, dead, solids, loss := p.figures[0], p.figures[1], p.figures[2], p.figures[3]
	spread := by("Volume of solids.", "10 x {} / {} um x 100 / (100 + {} of thinner), nothing lost", solids, dry, c.thinner)
	can := by("Volume of solids; loss divides.", "10 x {} / ({} + {} in the profile) um x (1 - {} percent lost), out of the can", solids, dry, dead, loss)
	wet := by("Volume of solids. The data sheet comes first.", "{} um x (100 + {} of thinner) / {}", dry, c.thinner, solids)
	return []Rate{
		rate("spreading:"+c.key, "m2/l", f.SpreadingRate(finest).InexactFloat64(), spread),
		rate("as_supplied:"+c.key, "m2/l", f.RateAsSupplied(finest).InexactFloat64(), can),
		rate("wet_film:"+c.key, "um", p.wetUM, wet),
	}
}

func rate(name, unit string, value float64, h how) Rate {
	v := asDecimal(rounded(value, ratePlaces), ratePlaces)
	return Rate{Name: name, Value: v.StringFixed(ratePlaces), Unit: unit, Words: h.filled() + " = " + v.String() + " " + unit, Source: h.source}
}

// Nozzle is a blast nozzle at a pressure with the abrasive that it throws.
type Nozzle struct {
	Bore     string // in
	PSI      int
	MediaLbH int
}

// Nozzles is the published table of round nozzles that the checks rest on. At 5 lb
// of abrasive a square foot they clean about 100, 160 and 230 ft2/h of flat plate.
func Nozzles() []Nozzle { return []Nozzle{{"1/4", 100, 494}, {"5/16", 100, 812}, {"3/8", 100, 1152}} }

// Wire is a solid steel welding wire with its length in a pound, from published
// tables.
type Wire struct {
	DiameterIn string
	InLb       int
}

// Wires is the published table of solid steel wires.
func Wires() []Wire { return []Wire{{"0.030", 4956}, {"0.035", 3648}} }
