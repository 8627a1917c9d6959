package takeoff

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/measure"
)

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
	out := Result{Zones: make([]ZoneResult, len(zones)), Rates: s.rates(), Packs: []Cover{}, Cautions: []Caution{}}
	sums := newSums(s.kinds)
	for i := range zones {
		out.Zones[i] = take(&zones[i], s, sums)
		out.Zones[i].ID = in.Zones[i].ID
	}
	out.Totals = sums.totals()
	for i := range packs {
		cover, err := packs[i].cover(sums)
		if err != nil {
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
	metres  decimal.Decimal // length of all pieces
	sums    *sums
	out     ZoneResult
	at      int // of the next kind
}

func take(z *zone, s *setup, all *sums) ZoneResult {
	t := taker{zone: z, setup: s, section: sectionOf(z), metres: z.length.Mul(z.count).Mul(milli), sums: all}
	t.out.Quantities = make([]Quantity, 0, len(s.kinds))
	if g, ok := NearestGauge(z.thickness); ok {
		t.out.Gauge = g.String()
	}
	outer, inner := t.geometry()
	reached := outer
	if t.section.open {
		reached = outer.Add(inner)
	}
	t.blasting(reached)
	weld := t.patches()
	closed := decimal.Decimal{}
	if t.section.cavity.is() {
		closed = inner
	}
	t.coats(reached, closed, weld)
	t.cavity(closed)
	return t.out
}

// put rounds a quantity and keeps it; what is 0 does not apply and is left out.
func (t *taker) put(name string, value ratio, h how) decimal.Decimal {
	k := t.kind(name)
	return t.keep(k, value.at(Places(t.setup.kinds[k].Unit)), h)
}

func (t *taker) keep(k int, v decimal.Decimal, h how) decimal.Decimal {
	if v.IsZero() {
		return v
	}
	kind := &t.setup.kinds[k]
	t.out.Quantities = append(t.out.Quantities, Quantity{Name: kind.Name, Value: v, Unit: kind.Unit, how: h})
	t.sums.add(k, v)
	return v
}

// kind finds the place of a name, which lies ahead: quantities are put in the
// order of the kinds.
func (t *taker) kind(name string) int {
	for t.setup.kinds[t.at].Name != name {
		t.at++
	}
	return t.at
}

// geometry returns the exact outer and inner areas in m2.
func (t *taker) geometry() (outer, inner decimal.Decimal) {
	s, run := &t.section, t.metres
	t.put(Length, whole(run), by("", "{} mm x {}", t.length, t.count))
	if t.shape == None {
		outer = t.area.Mul(t.count)
		t.put(OuterArea, whole(outer), by("As given.", "{} m2 x {}", t.area, t.count))
		return outer, inner
	}
	outer, inner = s.outer.value.Mul(run).Mul(milli), s.inner.value.Mul(run).Mul(milli)
	h := s.outer.how.and(" x {} m", run)
	if s.ends.is() {
		outer = outer.Add(s.ends.value.Mul(t.count).Mul(micro))
		h = h.and(" + "+s.ends.how.text+" x {}", append(s.ends.how.figures, t.count)...)
	}
	t.put(OuterArea, whole(outer), h)
	t.put(InnerArea, whole(inner), s.inner.how.and(" x {} m", run))
	t.put(CavityVolume, whole(s.cavity.value.Mul(run).Mul(milli)), s.cavity.how.and(" x {} m", run))
	t.put(SteelWeight, whole(s.steel.value.Mul(run).Mul(kgOfMM2M)), steel(s.steel.how.and(" x {} m x {} kg/m3", run, density)))
	t.put(EdgeLength, whole(s.edges.Mul(run).Add(s.endEdges.Mul(t.count).Mul(milli))), edges(s, run, t.count))
	return outer, inner
}

func steel(h how) how {
	h.source = "Geometry; true density. A gauge table's conventional 41.82 lb/ft2 per inch would give 2.4 percent more."
	return h
}

func edges(s *section, run, count decimal.Decimal) how {
	h := by(geometry, "{} edges x {} m", s.edges, run)
	if !s.endEdges.IsZero() {
		h = h.and(" + {} mm of ends x {}", s.endEdges, count)
	}
	return h
}

func (t *taker) blasting(reached decimal.Decimal) {
	if reached.IsZero() {
		return
	}
	b, area := &t.setup.blast, reached.Round(inWords)
	h := by("", "outer faces")
	if t.section.open {
		h.text = "outer faces and inner side"
	}
	t.put(BlastArea, whole(reached), h)
	factor, ok := b.factors[t.condition]
	if !ok {
		factor = one
	}
	time := whole(reached.Mul(factor).Mul(b.flat.den)).over(b.flat.num.Mul(b.frameFactor))
	h = by("The shop's rate; the frame factor is common practice.", "{} m2 / ({} m2/h x {} on a frame) x {} for steel that is ", area, b.flat.at(ratePlaces), b.frameFactor, factor)
	h.tail = t.condition.spoken()
	t.put(BlastTime, time, h)
	t.put(MediaWeight, time.times(b.mediaKGH).over(b.uses),
		by("The shop's nozzle.", "{} h x {} kg/h / {} uses", time.at(inWords), b.mediaKGH, b.uses))
}

func (t *taker) cavity(closed decimal.Decimal) {
	c := &t.setup.cavity
	if closed.IsZero() || c.DryFilmUM.IsZero() {
		return
	}
	k := t.kind(CavityCoating)
	t.keep(k, c.Paint(closed, Places(measure.Litre)), film(closed, c.DryFilmUM, decimal.Decimal{}, c.SolidsPercent, c.LossPercent))
}
