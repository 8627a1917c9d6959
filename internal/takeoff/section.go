package takeoff

import "github.com/shopspring/decimal"

// term is a measure of a section, in mm or mm2, and how it came about.
type term struct {
	value decimal.Decimal
	how   how
}

func (t term) is() bool { return !t.value.IsZero() }

// section is what a metre of a shape has. What a shape has not is 0.
type section struct {
	outer, inner  term // mm
	steel, cavity term // mm2
	sheet         decimal.Decimal
	edges         decimal.Decimal // free ones
	ends          term            // mm2 of one piece
	endEdges      decimal.Decimal // mm of one piece
	open          bool            // its inner side is reached from outside
}

const geometry = "Geometry, square corners."

func mm(text string, value decimal.Decimal, figures ...decimal.Decimal) term {
	return term{value, by(geometry, text, figures...)}
}

// sectionOf expects a zone that was read: its thickness fits its shape.
func sectionOf(z *zone) section {
	switch z.shape {
	case Box:
		return boxSection(z.width, z.height, z.thickness)
	case Channel:
		return channelSection(z.width, z.height, z.thickness)
	case Hat:
		return hatSection(z.width, z.height, z.thickness, z.brim)
	case Tube:
		return tubeSection(z.width, z.thickness)
	case Plate:
		return plateSection(z.width, z.thickness)
	}
	return section{}
}

func boxSection(w, h, t decimal.Decimal) section {
	sum, t2 := w.Add(h), t.Mul(two)
	wi, hi := w.Sub(t2), h.Sub(t2)
	sheet := two.Mul(sum.Sub(t2))
	return section{
		outer:  mm("2 x ({} + {}) mm", two.Mul(sum), w, h),
		inner:  mm("2 x ({} + {}) mm inside", two.Mul(wi.Add(hi)), wi, hi),
		steel:  mm("2 x {} x ({} + {} - 2 x {}) mm2", sheet.Mul(t), t, w, h, t),
		cavity: mm("{} x {} mm2 inside", wi.Mul(hi), wi, hi),
		sheet:  sheet,
	}
}

func channelSection(w, h, t decimal.Decimal) section {
	t2 := t.Mul(two)
	hi, wi := h.Sub(t2), w.Sub(t)
	sheet := h.Add(two.Mul(w)).Sub(t2)
	return section{
		outer: mm("({} + 2 x {} + 2 x {}) mm", h.Add(two.Mul(w)).Add(t2), h, w, t),
		inner: mm("({} + 2 x {}) mm inside", hi.Add(two.Mul(wi)), hi, wi),
		steel: mm("{} x ({} + 2 x {} - 2 x {}) mm2", sheet.Mul(t), t, h, w, t),
		sheet: sheet, edges: two, open: true,
	}
}

func hatSection(w, h, t, b decimal.Decimal) section {
	t2, leg := t.Mul(two), h.Sub(t)
	wi, brim := w.Sub(t2), b.Add(t)
	sheet := w.Add(two.Mul(leg)).Add(two.Mul(b))
	return section{
		outer: mm("({} + 2 x {} + 2 x {} + 2 x {}) mm", sheet.Add(t2), w, leg, b, t),
		inner: mm("({} + 2 x {} + 2 x {}) mm inside", wi.Add(two.Mul(leg)).Add(two.Mul(brim)), wi, leg, brim),
		steel: mm("{} x ({} + 2 x {} + 2 x {}) mm2", sheet.Mul(t), t, w, leg, b),
		sheet: sheet, edges: two, open: true,
	}
}

func tubeSection(d, t decimal.Decimal) section {
	di, dm := d.Sub(t.Mul(two)), d.Sub(t)
	return section{
		outer:  mm("pi x {} mm", pi.Mul(d), d),
		inner:  mm("pi x {} mm inside", pi.Mul(di), di),
		steel:  mm("pi x {} x {} mm2", pi.Mul(t).Mul(dm), t, dm),
		cavity: mm("pi / 4 x {} x {} mm2", pi.Mul(di).Mul(di).Mul(decimal.New(25, -2)), di, di),
		sheet:  pi.Mul(dm),
	}
}

func plateSection(w, t decimal.Decimal) section {
	return section{
		outer:    mm("2 x ({} + {}) mm", two.Mul(w.Add(t)), w, t),
		steel:    mm("{} x {} mm2", w.Mul(t), w, t),
		ends:     mm("2 x {} x {} mm2 of ends", two.Mul(w).Mul(t), w, t),
		sheet:    w,
		edges:    two,
		endEdges: two.Mul(w),
	}
}
