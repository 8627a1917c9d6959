package takeoff

import "math"

// term is a measure of a section, in mm or mm2, and how it came about.
type term struct {
	value float64
	how   how
}

// section is what a metre of a shape has. What a shape has not is 0.
type section struct {
	outer, inner  term    // mm
	steel, cavity term    // mm2
	sheet         float64 // mm, laid flat
	edges         float64 // free ones
	ends          term    // mm2 of one piece
	endEdges      float64 // mm of one piece
	open          bool    // its inner side is reached from outside
}

const geometry = "Geometry, square corners."

func mm(text string, value float64, figures ...float64) term {
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

func boxSection(w, h, t float64) section {
	wi, hi := w-2*t, h-2*t
	sheet := 2 * (w + h - 2*t)
	return section{
		outer:  mm("2 x ({} + {}) mm", 2*(w+h), w, h),
		inner:  mm("2 x ({} + {}) mm inside", 2*(wi+hi), wi, hi),
		steel:  mm("2 x {} x ({} + {} - 2 x {}) mm2", sheet*t, t, w, h, t),
		cavity: mm("{} x {} mm2 inside", wi*hi, wi, hi),
		sheet:  sheet,
	}
}

func channelSection(w, h, t float64) section {
	wi, hi := w-t, h-2*t
	sheet := h + 2*w - 2*t
	return section{
		outer: mm("({} + 2 x {} + 2 x {}) mm", h+2*w+2*t, h, w, t),
		inner: mm("({} + 2 x {}) mm inside", hi+2*wi, hi, wi),
		steel: mm("{} x ({} + 2 x {} - 2 x {}) mm2", sheet*t, t, h, w, t),
		sheet: sheet, edges: 2, open: true,
	}
}

func hatSection(w, h, t, b float64) section {
	side, wi, root := h-t, w-2*t, b+t
	sheet := w + 2*side + 2*b
	return section{
		outer: mm("({} + 2 x {} + 2 x {} + 2 x {}) mm", sheet+2*t, w, side, b, t),
		inner: mm("({} + 2 x {} + 2 x {}) mm inside", wi+2*side+2*root, wi, side, root),
		steel: mm("{} x ({} + 2 x {} + 2 x {}) mm2", sheet*t, t, w, side, b),
		sheet: sheet, edges: 2, open: true,
	}
}

func tubeSection(d, t float64) section {
	di, middle := d-2*t, d-t
	return section{
		outer:  mm("pi x {} mm", math.Pi*d, d),
		inner:  mm("pi x {} mm inside", math.Pi*di, di),
		steel:  mm("pi x {} x {} mm2", math.Pi*t*middle, t, middle),
		cavity: mm("pi / 4 x {} x {} mm2", math.Pi/4*di*di, di, di),
		sheet:  math.Pi * middle,
	}
}

func plateSection(w, t float64) section {
	return section{
		outer:    mm("2 x ({} + {}) mm", 2*(w+t), w, t),
		steel:    mm("{} x {} mm2", w*t, w, t),
		ends:     mm("2 x {} x {} mm2 of ends", 2*w*t, w, t),
		sheet:    w,
		edges:    2,
		endEdges: 2 * w,
	}
}
