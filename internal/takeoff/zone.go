package takeoff

// zone is a zone that was read.
type zone struct {
	shape                          Shape
	condition                      Condition
	width, height, thickness, brim float64
	length, count, area            float64
	hole                           *hole
}

type hole struct{ length, width, count float64 }

func (r *reader) zones(zones []Zone, brim float64) []zone {
	if tooMany(r, "/zones", len(zones), MaxZones) {
		return nil
	}
	out, seen := make([]zone, len(zones)), make(map[string]bool, len(zones))
	for i := range zones {
		at := within("/zones", i)
		r.key(at, "/id", zones[i].ID)
		if seen[zones[i].ID] {
			r.add(at+"/id", "another zone has this id")
		}
		seen[zones[i].ID] = true
		r.zone(at, &zones[i], &out[i])
		if out[i].shape == Hat && zones[i].BrimMM == "" {
			out[i].brim = brim
		}
	}
	return out
}

// Check names what is wrong with the measures of a zone by itself, with pointers
// into it, as a fault.Invalid "takeoff-input".
func (z Zone) Check() error {
	var r reader
	r.zone("", &z, &zone{})
	return r.faults.Err(code)
}

func (r *reader) zone(at string, in *Zone, z *zone) {
	before := r.noted
	oneOf(r, at, "/shape", in.Shape, Shapes())
	if in.Condition != "" {
		oneOf(r, at, "/condition", in.Condition, Conditions())
	}
	z.shape, z.condition = in.Shape, in.Condition
	z.width = r.number(at, "/width_mm", in.WidthMM, MaxMillimetre)
	z.height = r.number(at, "/height_mm", in.HeightMM, MaxMillimetre)
	z.thickness = r.number(at, "/thickness_mm", in.ThicknessMM, MaxThickness)
	z.length = r.number(at, "/length_mm", in.LengthMM, MaxMillimetre)
	z.brim = r.number(at, "/brim_mm", in.BrimMM, MaxMillimetre)
	z.area = r.number(at, "/area_m2", in.AreaM2, MaxArea)
	z.count = r.count(at, "/count", in.Count)
	z.hole = r.hole(at+"/hole", in.Hole)
	if r.noted == before {
		r.fits(at, z)
	}
}

func (r *reader) hole(at string, in *Hole) *hole {
	if in == nil {
		return nil
	}
	return &hole{length: r.needed(at, "/length_mm", in.LengthMM, MaxMillimetre), width: r.needed(at, "/width_mm", in.WidthMM, MaxMillimetre),
		count: r.count(at, "/count", in.Count)}
}

// fits asks that the measures make the shape.
func (r *reader) fits(at string, z *zone) {
	if z.shape != Hat && z.brim > 0 {
		r.add(at+"/brim_mm", "only a hat has brims")
	}
	if z.shape == None {
		return
	}
	if z.area > 0 {
		r.add(at+"/area_m2", "only shape none has a given area; this shape's area follows from its measures")
	}
	for _, m := range []struct {
		field string
		value float64
		asked bool
	}{{"/width_mm", z.width, true}, {"/height_mm", z.height, z.shape != Tube && z.shape != Plate}, {"/thickness_mm", z.thickness, true}, {"/length_mm", z.length, true}} {
		if m.asked && m.value == 0 {
			r.add(at+m.field, "a number above 0 is needed for a %s", z.shape)
		}
	}
	if z.shape == Tube && z.height > 0 && z.height != z.width {
		r.add(at+"/height_mm", "a tube is as high as it is wide, or has no height of its own")
	}
	if z.shape == Plate && z.height > 0 {
		r.add(at+"/height_mm", "a plate has no height")
	}
	r.thin(at, z)
}

// thin asks that the steel leaves room inside. What is 0 was named already.
func (r *reader) thin(at string, z *zone) {
	for _, side := range z.rooms() {
		if side.of > 0 && z.thickness*side.times >= side.of {
			r.add(at+"/thickness_mm", "the steel of a %s must be thinner than %s", z.shape, side.words)
		}
	}
	if z.shape == Plate && z.thickness > z.width {
		r.add(at+"/thickness_mm", "a plate cannot be thicker than it is wide")
	}
}

func (z *zone) rooms() []room {
	switch z.shape {
	case Box:
		return []room{{z.width, 2, "half its width"}, {z.height, 2, "half its height"}}
	case Tube:
		return []room{{z.width, 2, "half its width"}}
	case Channel:
		return []room{{z.height, 2, "half its height"}, {z.width, 1, "its width"}}
	case Hat:
		return []room{{z.width, 2, "half its width"}, {z.height, 1, "its height"}}
	}
	return nil
}

// room is a side of a section that some thicknesses of steel must fit into.
type room struct {
	of, times float64
	words     string
}
