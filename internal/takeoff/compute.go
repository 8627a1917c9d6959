package takeoff

import "bareframe/internal/fault"

// MaxQuantity bounds what a quantity of one zone can come to.
const MaxQuantity = 1e9

// Compute takes the quantities off every zone, sums them, and covers the totals
// with packs. Whatever is wrong with the input is named at once, as a
// fault.Invalid "takeoff-input" with a pointer for each. O(zones x coats), and for
// a pack its need over the greatest common part of its sizes.
func Compute(in Input) (Result, error) {
	var r reader
	s := r.system("/system", in.System)
	zones := r.zones(in.Zones, s.brim)
	packs := r.packs(in.Packs, s.kinds)
	if err := r.faults.Err(code); err != nil {
		return Result{}, err
	}
	out := Result{Zones: make([]ZoneResult, len(zones)), Rates: s.rates(), Packs: []Cover{}}
	all := newSums(s.kinds)
	for i := range zones {
		out.Zones[i] = take(&zones[i], s, all)
		out.Zones[i].ID = in.Zones[i].ID
		if all.beyond != "" {
			return Result{}, fault.InvalidField(code, within("/zones", i), "%s of this zone comes to more than %d; look at its measures and at the setup", all.beyond, int64(MaxQuantity))
		}
	}
	out.Totals = all.totals()
	for i := range packs {
		cover, err := packs[i].cover(all)
		if e := fault.As(err); e != nil {
			return Result{}, fault.InvalidField(e.Code, within("/packs", i), "%s", e.Detail)
		} else if err != nil {
			return Result{}, err
		}
		out.Packs = append(out.Packs, cover)
	}
	out.Cautions = cautionsFor(out)
	return out, nil
}

// taker takes quantities off one zone.
type taker struct {
	*zone
	setup   *setup
	section section
	metres  float64 // length of all pieces
	sums    *sums
	out     ZoneResult
}

func take(z *zone, s *setup, all *sums) ZoneResult {
	t := taker{zone: z, setup: s, section: sectionOf(z), metres: z.length * z.count / 1000, sums: all}
	t.out.Quantities = make([]Quantity, 0, len(s.kinds))
	if g, ok := nearest(z.thickness); ok {
		t.out.Gauge = g.words
	}
	outer, inner := t.geometry()
	reached, closed := outer, 0.0
	if t.section.open {
		reached += inner
	} else {
		closed = inner
	}
	t.blasting(reached)
	weld := t.patches()
	t.coats(reached, closed, weld)
	t.cavity(closed)
	return t.out
}

// put rounds a quantity once and keeps it; what comes to 0 is left out.
func (t *taker) put(kind int, value float64, h how) {
	k := &t.setup.kinds[kind]
	if value > MaxQuantity {
		t.sums.beyond = k.Name
		return
	}
	places := Places(k.Unit)
	units := rounded(value, places)
	if units == 0 {
		return
	}
	t.out.Quantities = append(t.out.Quantities, Quantity{Name: k.Name, Value: asDecimal(units, places), Unit: k.Unit, how: h})
	t.sums.add(kind, units)
}

// geometry returns the outer and inner areas in m2.
func (t *taker) geometry() (outer, inner float64) {
	s, run := &t.section, t.metres
	t.put(atLength, run, by("", "{} mm x {}", t.length, t.count))
	if t.shape == None {
		outer = t.area * t.count
		t.put(atOuterArea, outer, by("As given.", "{} m2 x {}", t.area, t.count))
		return outer, 0
	}
	outer, inner = s.outer.value*run/1000+s.ends.value*t.count*1e-6, s.inner.value*run/1000
	h := s.outer.how.and(" x {} m", run)
	if s.ends.value > 0 {
		h = h.and(" + "+s.ends.how.text+" x {}", append(s.ends.how.figures, t.count)...)
	}
	t.put(atOuterArea, outer, h)
	t.put(atInnerArea, inner, s.inner.how.and(" x {} m", run))
	t.put(atCavityVolume, s.cavity.value*run/1000, s.cavity.how.and(" x {} m", run))
	h = s.steel.how.and(" x {} m x {} kg/m3", run, SteelDensity)
	h.source = "Geometry; true density. A gauge table's conventional 41.82 lb/ft2 per inch would give 2.4 percent more."
	t.put(atSteelWeight, s.steel.value*run*kgOfMM2M, h)
	t.put(atEdgeLength, s.edges*run+s.endEdges*t.count/1000, edges(s, run, t.count))
	return outer, inner
}

func edges(s *section, run, count float64) how {
	h := by("Geometry.", "{} edges x {} m", s.edges, run)
	if s.endEdges > 0 {
		h = h.and(" + {} mm of ends x {}", s.endEdges, count)
	}
	return h
}

func (t *taker) blasting(reached float64) {
	if reached == 0 {
		return
	}
	text := "outer faces"
	if t.section.open {
		text = "outer faces and inner side"
	}
	t.put(atBlastArea, reached, by("", text))
	b := &t.setup.blast
	factor, ok := b.factors[t.condition]
	if !ok {
		factor = 1
	}
	hours := reached / (b.flat * b.frameFactor) * factor
	h := by("The shop's rate; the frame factor is common practice.", "{} m2 / ({} m2/h x {} on a frame) x {} for steel that is ", reached, b.flat, b.frameFactor, factor)
	h.tail = t.condition.spoken()
	t.put(atBlastTime, hours, h)
	t.put(atMediaWeight, hours*b.mediaKGH/b.uses, by("The shop's nozzle.", "{} h x {} kg/h / {} uses", hours, b.mediaKGH, b.uses))
}
