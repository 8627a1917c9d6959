package paper

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"
)

// point is a place on the paper in millimetres, y downward.
type point struct{ x, y float64 }

// Line weights in millimetres: two widths in the ratio 1 to 2 as ISO 128-2:2020
// has it, and a hair line for hatching and tables.
const (
	thick = 0.5
	thin  = 0.25
	hair  = 0.13
)

// dash is the kind of a line.
type dash string

// The kinds of line: hidden edges are dashed, centre lines chained (ISO 128-2).
const (
	continuous dash = ""
	hiddenEdge dash = "1.6 0.9"
	chain      dash = "5 0.9 0.6 0.9"
)

// stroke is a line through points, closed or not.
type stroke struct {
	at     []point
	weight float64
	dash   dash
	closed bool
	fill   fill
}

// fill is what a closed stroke is filled with.
type fill string

const (
	unfilled fill = ""
	paperInk fill = "#ffffff"
	blackInk fill = "#000000"
)

// label is words at their left end on the base line.
type label struct {
	at     point
	size   float64 // points
	strong bool
	words  string
}

// ink is what is drawn, in the order in which it is drawn: strokes, then labels,
// then pictures.
type ink struct {
	strokes []stroke
	labels  []label
	strips  []placedStrip
}

// placedStrip is a row of pictures at its place.
type placedStrip struct {
	strip  strip
	at     point
	height float64
}

func (k *ink) line(a, b point, weight float64, d dash) {
	k.strokes = append(k.strokes, stroke{at: []point{a, b}, weight: weight, dash: d})
}

func (k *ink) rect(x, y, w, h, weight float64, d dash) {
	k.strokes = append(k.strokes, stroke{at: []point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, weight: weight, dash: d, closed: true})
}

func (k *ink) text(x, y, size float64, strong bool, words string) {
	k.labels = append(k.labels, label{point{x, y}, size, strong, words})
}

// add appends other ink, moved.
func (k *ink) add(o ink, by point) {
	for _, s := range o.strokes {
		at := make([]point, len(s.at))
		for i, p := range s.at {
			at[i] = point{p.x + by.x, p.y + by.y}
		}
		s.at = at
		k.strokes = append(k.strokes, s)
	}
	for _, l := range o.labels {
		l.at = point{l.at.x + by.x, l.at.y + by.y}
		k.labels = append(k.labels, l)
	}
	for _, s := range o.strips {
		s.at = point{s.at.x + by.x, s.at.y + by.y}
		k.strips = append(k.strips, s)
	}
}

// svg draws strokes and labels for the HTML document; one unit is a millimetre.
func (k ink) svg(width, height float64, title string) template.HTML {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="plan" viewBox="0 0 %.1f %.1f" role="img" aria-label="%s">`, width, height, template.HTMLEscapeString(title))
	for _, s := range k.strokes {
		b.WriteString(`<path d="M`)
		for i, p := range s.at {
			if i > 0 {
				b.WriteByte('L')
			}
			fmt.Fprintf(&b, "%.2f %.2f", p.x, p.y)
		}
		if s.closed {
			b.WriteByte('Z')
		}
		fill := "none"
		if s.fill != unfilled {
			fill = string(s.fill)
		}
		fmt.Fprintf(&b, `" fill="%s" stroke="#000" stroke-width="%.2f"`, fill, s.weight)
		if s.dash != continuous {
			fmt.Fprintf(&b, ` stroke-dasharray="%s"`, s.dash)
		}
		b.WriteString(`/>`)
	}
	for _, l := range k.labels {
		weight := ""
		if l.strong {
			weight = ` font-weight="700"`
		}
		fmt.Fprintf(&b, `<text x="%.2f" y="%.2f" font-size="%.2f"%s>%s</text>`, l.at.x, l.at.y, l.size*pointMM, weight, template.HTMLEscapeString(l.words))
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// hatch fills an outline with parallel lines at 45 degrees, so far apart, leaning
// right or left. A line is drawn where an odd number of edges lies behind it.
func hatch(corners []point, apart float64, leansLeft bool) []stroke {
	turn := func(p point) point { return point{(p.x + p.y) * (1 / math.Sqrt2), (p.y - p.x) * (1 / math.Sqrt2)} }
	back := func(p point) point { return point{(p.x - p.y) * (1 / math.Sqrt2), (p.x + p.y) * (1 / math.Sqrt2)} }
	if leansLeft {
		turn, back = back, turn
	}
	turned, low, high := make([]point, len(corners)), math.Inf(1), math.Inf(-1)
	for i, p := range corners {
		turned[i] = turn(p)
		low, high = min(low, turned[i].y), max(high, turned[i].y)
	}
	var out []stroke
	for n := math.Ceil(low / apart); n*apart < high; n++ {
		y := n * apart
		cuts := crossings(turned, y)
		for i := 0; i+1 < len(cuts); i += 2 {
			out = append(out, stroke{at: []point{back(point{cuts[i], y}), back(point{cuts[i+1], y})}, weight: hair})
		}
	}
	return out
}

// crossings are the places, in order, where an outline crosses a level.
func crossings(corners []point, y float64) []float64 {
	var cuts []float64
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if (a.y > y) != (b.y > y) {
			cuts = append(cuts, a.x+(y-a.y)/(b.y-a.y)*(b.x-a.x))
		}
	}
	slices.Sort(cuts)
	return cuts
}
