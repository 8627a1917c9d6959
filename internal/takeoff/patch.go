package takeoff

// patch is the steel that is replaced in a zone.
type patch struct {
	area, count, weld float64 // m2, pieces, m
	howArea, howCount how
	howWeld           how
}

// patches returns the length of weld in m.
func (t *taker) patches() float64 {
	p, ok := t.measured()
	if !ok {
		p, ok = t.expected()
	}
	if !ok {
		return 0
	}
	t.put(atPatchCount, p.count, p.howCount)
	t.put(atPatchArea, p.area, p.howArea)
	if t.thickness == 0 {
		t.out.Missing = append(t.out.Missing, "Nobody measured the thickness of the steel, so the patches are not weighed.")
	}
	t.put(atPatchWeight, p.area*t.thickness*SteelDensity/1000, by("Geometry; true density.", "{} m2 x {} mm x {} kg/m3", p.area, t.thickness, SteelDensity))
	t.put(atWeldLength, p.weld, p.howWeld)
	t.welding(p)
	return p.weld
}

// measured is the patch for a measured hole, cut back to sound steel.
func (t *taker) measured() (patch, bool) {
	if t.hole == nil {
		return patch{}, false
	}
	m, n := t.setup.weld.margin, t.hole.count
	l, w := t.hole.length+2*m, t.hole.width+2*m
	p := patch{
		count:    n,
		area:     l * w * n * 1e-6,
		weld:     2 * (l + w) * n / 1000,
		howCount: by("Measured.", "places measured: {}", n),
		howArea:  by("Measured, with the shop's margin.", "({} + 2 x {}) x ({} + 2 x {}) mm x {}", t.hole.length, m, t.hole.width, m, n),
		howWeld:  by("Geometry: once round each patch.", "2 x ({} + {}) mm x {}", l, w, n),
	}
	if all := t.sheet(); all > 0 && p.area > all {
		p.area = all
		p.howArea = by("The hole with its margin is larger than the zone.", "all of the zone's sheet, {} mm x {} m", t.section.sheet, t.metres)
	}
	return p, true
}

// sheet is the area of the zone's steel laid flat, in m2.
func (t *taker) sheet() float64 { return t.section.sheet * t.metres / 1000 }

// expected is what the shop expects to replace in steel of this condition, counted
// in usual patches.
func (t *taker) expected() (patch, bool) {
	share, all, w := t.setup.replace[t.condition], t.sheet(), &t.setup.weld
	if share == 0 || all == 0 {
		return patch{}, false
	}
	area, round := all*share/100, 2*(w.patchL+w.patchW)/1000
	count := area / (w.patchL * w.patchW * 1e-6)
	h := by("The shop's share.", "{} percent of {} mm x {} m of sheet, because it is ", share, t.section.sheet, t.metres)
	h.tail = t.condition.spoken()
	return patch{
		area: area, count: count, weld: count * round, howArea: h,
		howCount: by("The shop's usual patch.", "{} m2 / ({} x {} mm)", area, w.patchL, w.patchW),
		howWeld:  by("Geometry: once round each patch.", "{} x {} m round a patch", count, round),
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
	wire := metal / w.efficiency * 100
	arc := wire * w.wireMKG / (w.feed * minutes)
	t.put(atWeldMetal, metal, h)
	t.put(atWireWeight, wire, by("The shop's deposition efficiency.", "{} kg / {} percent", metal, w.efficiency))
	t.put(atGasVolume, arc*minutes*w.gas, by("The shop's flow.", "{} h x 60 x {} l/min", arc, w.gas))
	t.put(atArcTime, arc, by("The shop's wire and feed.", "{} kg x {} m/kg / ({} m/min x 60)", wire, w.wireMKG, w.feed))
	t.put(atWeldTime, arc/w.arcOn*100+p.count*w.handling,
		by("The shop's arc-on factor and handling.", "{} h / {} percent with the arc on + {} x {} h to handle a patch", arc, w.arcOn, p.count, w.handling))
}

// metal is the weight of a length of weld; ok is false when a butt weld's
// thickness is not known.
func (t *taker) metal(metres float64) (kg float64, h how, ok bool) {
	w := &t.setup.weld
	if w.joint == Fillet {
		return w.leg * w.leg / 2 * metres * kgOfMM2M,
			by("Geometry of an even-legged fillet.", "{} x {} / 2 mm2 x {} m x {} kg/m3", w.leg, w.leg, metres, SteelDensity), true
	}
	return t.thickness * w.gap * (1 + w.buildUp/100) * metres * kgOfMM2M,
		by("Geometry of a square butt with build-up.", "{} x {} mm2 x (1 + {} percent) x {} m x {} kg/m3", t.thickness, w.gap, w.buildUp, metres, SteelDensity), t.thickness > 0
}
