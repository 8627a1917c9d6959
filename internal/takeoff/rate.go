package takeoff

const ratePlaces = 4

// rates are what follows from the setup alone.
func (s *setup) rates() []Rate {
	b, w := &s.blast, &s.weld
	out := []Rate{
		rate("flat_rate", "m2/h", b.flat, b.howFlat),
		rate("frame_rate", "m2/h", b.flat.times(b.frameFactor), by("Common practice: a quarter to two fifths of flat plate.", "{} m2/h x {}", b.flat.at(ratePlaces), b.frameFactor)),
		rate("deposition", "kg/h", whole(w.feed.Mul(minutes)).over(w.wireMKG), by("Wire feed and its weight.", "{} m/min x 60 / {} m/kg", w.feed, w.wireMKG)),
	}
	if w.joint == Fillet {
		out = append(out, rate("weld_metal", "g/m", whole(w.leg.Mul(w.leg).Mul(kgOfMM2M).Mul(thousand)).over(two), by("Geometry of an even-legged fillet.", "{} x {} / 2 mm2 x {} kg/m3", w.leg, w.leg, density)))
	}
	for i := range s.coats {
		out = append(out, s.coats[i].rates()...)
	}
	return out
}

// rates are those on sound steel: old pitted steel swallows more.
func (c *coat) rates() []Rate {
	f := c.film
	spread := by("Volume of solids.", "10 x {} / {} um x 100 / (100 + {} of thinner), nothing lost", f.SolidsPercent, f.DryFilmUM, f.ThinnerPercent)
	can := by("Volume of solids; loss divides.", "10 x {} / ({} + {} in the profile) um x (1 - {} percent lost), out of the can", f.SolidsPercent, f.DryFilmUM, f.DeadUM, f.LossPercent)
	wet := by("Volume of solids. The data sheet comes first.", "{} um x (100 + {} of thinner) / {}", f.DryFilmUM, f.ThinnerPercent, f.SolidsPercent)
	return []Rate{
		rate("spreading:"+c.key, "m2/l", whole(f.SpreadingRate(finest)), spread),
		rate("as_supplied:"+c.key, "m2/l", whole(f.RateAsSupplied(finest)), can),
		rate("wet_film:"+c.key, "um", whole(f.WetFilmUM(finest)), wet),
	}
}

func rate(name, unit string, value ratio, h how) Rate {
	v := value.at(ratePlaces)
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
