package takeoff

import "github.com/shopspring/decimal"

// patch is the steel that is replaced in a zone.
type patch struct {
	area, count, weld ratio // m2, pieces, m
	howArea, howCount how
	howWeld           how
}

// patches returns the exact length of weld in m.
func (t *taker) patches() ratio {
	p, ok := t.measured()
	if !ok {
		p, ok = t.expected()
	}
	if !ok {
		return whole(decimal.Decimal{})
	}
	t.put(PatchCount, p.count, p.howCount)
	t.put(PatchArea, p.area, p.howArea)
	if t.thickness.IsZero() {
		t.out.Missing = append(t.out.Missing, "Nobody measured the thickness of the steel, so the patches are not weighed.")
	}
	t.put(PatchWeight, p.area.times(t.thickness).times(density).times(milli),
		by("Geometry; true density.", "{} m2 x {} mm x {} kg/m3", p.area.at(inWords), t.thickness, density))
	t.put(WeldLength, p.weld, p.howWeld)
	t.welding(p)
	return p.weld
}

// measured is the patch for a measured hole, cut back to sound steel.
func (t *taker) measured() (patch, bool) {
	if t.hole == nil {
		return patch{}, false
	}
	m := t.setup.weld.margin
	m2 := m.Mul(two)
	l, w, n := t.hole.length.Add(m2), t.hole.width.Add(m2), t.hole.count
	p := patch{
		count:    whole(n),
		area:     whole(l.Mul(w).Mul(n).Mul(micro)),
		weld:     whole(two.Mul(l.Add(w)).Mul(n).Mul(milli)),
		howCount: by("Measured.", "places measured: {}", n),
		howArea:  by("Measured, with the shop's margin.", "({} + 2 x {}) x ({} + 2 x {}) mm x {}", t.hole.length, m, t.hole.width, m, n),
		howWeld:  by("Geometry: once round each patch.", "2 x ({} + {}) mm x {}", l, w, n),
	}
	if all := t.sheet(); !all.IsZero() && p.area.num.GreaterThan(all) {
		p.area = whole(all)
		p.howArea = by("The hole with its margin is larger than the zone.", "all of the zone's sheet, {} mm x {} m", t.section.sheet.Round(inWords), t.metres)
	}
	return p, true
}

// sheet is the area of the zone's steel laid flat, in m2.
func (t *taker) sheet() decimal.Decimal { return t.section.sheet.Mul(t.metres).Mul(milli) }

// expected is what the shop expects to replace in steel of this condition, counted
// in usual patches.
func (t *taker) expected() (patch, bool) {
	share, all, w := t.setup.replace[t.condition], t.sheet(), &t.setup.weld
	if share.IsZero() || all.IsZero() {
		return patch{}, false
	}
	area := all.Mul(share).Mul(hundredth)
	each := w.patchL.Mul(w.patchW).Mul(micro)
	round := two.Mul(w.patchL.Add(w.patchW)).Mul(milli)
	count := whole(area).over(each)
	h := by("The shop's share.", "{} percent of {} mm x {} m of sheet, because it is ", share, t.section.sheet.Round(inWords), t.metres)
	h.tail = t.condition.spoken()
	return patch{
		area: whole(area), count: count, weld: count.times(round), howArea: h,
		howCount: by("The shop's usual patch.", "{} m2 / ({} x {} mm)", area.Round(inWords), w.patchL, w.patchW),
		howWeld:  by("Geometry: once round each patch.", "{} x {} m round a patch", count.at(inWords), round),
	}, true
}

// welding is the weld round the patches: metal, wire, gas and time.
func (t *taker) welding(p patch) {
	w := &t.setup.weld
	metal, h, ok := t.metal(p.weld)
	if !ok {
		t.out.Missing = append(t.out.Missing, "A butt weld is as thick as the steel, which nobody measured, so wire, gas and welding time are not worked out.")
		return
	}
	t.put(WeldMetal, metal, h)
	wire := metal.times(hundred).over(w.efficiency)
	t.put(WireWeight, wire, by("The shop's deposition efficiency.", "{} kg / {} percent", metal.at(inWords), w.efficiency))
	arc := wire.times(w.wireMKG).over(w.feed.Mul(minutes))
	hours := arc.at(inWords)
	t.put(GasVolume, arc.times(minutes).times(w.gas), by("The shop's flow.", "{} h x 60 x {} l/min", hours, w.gas))
	t.put(ArcTime, arc, by("The shop's wire and feed.", "{} kg x {} m/kg / ({} m/min x 60)", wire.at(inWords), w.wireMKG, w.feed))
	t.put(WeldTime, arc.times(hundred).over(w.arcOn).plus(p.count.times(w.handling)),
		by("The shop's arc-on factor and handling.", "{} h / {} percent with the arc on + {} x {} h to handle a patch", hours, w.arcOn, p.count.at(inWords), w.handling))
}

// metal is the weight of a length of weld; ok is false when a butt weld's
// thickness is not known.
func (t *taker) metal(length ratio) (ratio, how, bool) {
	w, shownLength := &t.setup.weld, length.at(inWords)
	if w.joint == Fillet {
		return length.times(w.leg.Mul(w.leg)).times(kgOfMM2M).over(two),
			by("Geometry of an even-legged fillet.", "{} x {} / 2 mm2 x {} m x {} kg/m3", w.leg, w.leg, shownLength, density), true
	}
	if t.thickness.IsZero() {
		return ratio{}, how{}, false
	}
	area := t.thickness.Mul(w.gap).Mul(hundred.Add(w.buildUp)).Mul(hundredth)
	return length.times(area).times(kgOfMM2M),
		by("Geometry of a square butt with build-up.", "{} x {} mm2 x (1 + {} percent) x {} m x {} kg/m3", t.thickness, w.gap, w.buildUp, shownLength, density), true
}
