package paper

import (
	"cmp"
	"html/template"
	"math"
	"slices"

	"bareframe/internal/domain"
)

// Plan is a frame seen from above, front at the left.
type Plan struct {
	Title string     `json:"title"`
	Zones []PlanZone `json:"zones"`
}

// PlanZone is a zone of the plan: a bar along its centre line in millimetres of
// the car.
type PlanZone struct {
	Kind  domain.ZoneKind  `json:"kind"`
	Bar   domain.ZonePlan  `json:"bar"`
	Grade domain.Condition `json:"grade,omitempty"` // the worst that was seen; empty while nobody graded it
	Badge string           `json:"badge,omitempty"` // the numbers of its findings
}

// layers tell what lies above what.
var layers = map[domain.ZoneKind]int{domain.Crossmember: 0, domain.Mount: 1, domain.Bracket: 1, domain.Rail: 2, domain.KickUp: 2, domain.FrameOpening: 3}

func (z PlanZone) ends() (point, point) {
	return point{float64(z.Bar.From.X), float64(z.Bar.From.Y)}, point{float64(z.Bar.To.X), float64(z.Bar.To.Y)}
}

// along is where a bar points; one without length points along the car.
func along(a, b point) point {
	long := math.Hypot(b.x-a.x, b.y-a.y)
	if long == 0 {
		return point{1, 0}
	}
	return point{(b.x - a.x) / long, (b.y - a.y) / long}
}

// outline returns the four corners of a zone in millimetres of the car. Mounts
// and openings are as wide as they are long at least; rails that meet are mitred.
func (p Plan) outline(i int) []point {
	z := p.Zones[i]
	from, to := z.ends()
	half := float64(z.Bar.Width) / 2
	if z.Kind == domain.Mount || z.Kind == domain.FrameOpening {
		d := along(from, to)
		corner := func(p point, along, aside float64) point {
			return point{p.x + along*d.x - aside*d.y, p.y + along*d.y + aside*d.x}
		}
		return []point{corner(from, -half, half), corner(from, -half, -half), corner(to, half, -half), corner(to, half, half)}
	}
	a, b := p.end(i, from, to, false)
	c, d := p.end(i, from, to, true)
	return []point{a, b, d, c}
}

// end returns the corners at one end of a bar, left and right of where it points.
// Where exactly one other rail begins or ends there, both get the same corners.
func (p Plan) end(i int, from, to point, atEnd bool) (point, point) {
	at, d, half := from, along(from, to), float64(p.Zones[i].Bar.Width)/2
	if atEnd {
		at = to
	}
	n := point{-d.y, d.x}
	if far, width, ok := p.meets(i, at); ok {
		e := along(far, at)
		if atEnd {
			e = along(at, far)
		}
		// A joint sharper than some 120 degrees is left square: its mitre would be a spike.
		if turn := 1 + d.x*e.x + d.y*e.y; turn > 0.5 {
			n, half = point{(-d.y - e.y) / turn, (d.x + e.x) / turn}, (2*half+width)/4
		}
	}
	return point{at.x + n.x*half, at.y + n.y*half}, point{at.x - n.x*half, at.y - n.y*half}
}

// meets returns the far end and the width of the one rail that meets a rail at a
// point.
func (p Plan) meets(i int, at point) (far point, width float64, ok bool) {
	if layers[p.Zones[i].Kind] != layers[domain.Rail] {
		return far, 0, false
	}
	met := 0
	for j, z := range p.Zones {
		from, to := z.ends()
		if j == i || layers[z.Kind] != layers[domain.Rail] || from != at && to != at {
			continue
		}
		met++
		far, width = to, float64(z.Bar.Width)
		if to == at {
			far = from
		}
	}
	return far, width, met == 1
}

// onPaper is where the car lies on the paper.
type onPaper struct{ scale, x, y float64 }

// place turns the car so that its front points left: right of the car is up.
func (o onPaper) place(p point) point { return point{o.x + p.x*o.scale, o.y - p.y*o.scale} }

// Room around the frame in millimetres of paper, and the most it is enlarged.
const (
	planSide    = 13.0 // left of the frame for the word, and right of it
	planMargin  = 3.0
	badgeRoom   = 9.0
	mostScale   = 0.05
	badgePoints = 8.0
)

// ink draws the plan on a given width and returns its height.
func (p Plan) ink(width float64) (ink, float64) {
	var k ink
	if len(p.Zones) == 0 {
		return k, 0
	}
	front, rear, half := p.extent()
	scale := min(mostScale, (width-2*planSide)/max(1, rear-front))
	room := planMargin
	if slices.ContainsFunc(p.Zones, func(z PlanZone) bool { return z.Badge != "" }) {
		room += badgeRoom
	}
	height := 2*room + 2*half*scale
	on := onPaper{scale, (width-(rear-front)*scale)/2 - front*scale, height / 2}
	left, right := on.place(point{front, 0}), on.place(point{rear, 0})
	k.line(point{left.x - 5, left.y}, point{right.x + 4, right.y}, thin, chain)
	k.strokes = append(k.strokes, stroke{at: []point{{left.x - 9, left.y}, {left.x - 5.5, left.y - 1.2}, {left.x - 5.5, left.y + 1.2}}, closed: true, fill: blackInk, weight: hair})
	k.text(left.x-9, left.y+4.5, 7, false, "front")
	for _, i := range p.layered() {
		corners := p.outline(i)
		for j, c := range corners {
			corners[j] = on.place(c)
		}
		k.zone(p.Zones[i], corners)
	}
	k.badges(p.Zones, on, half*scale, width)
	return k, height
}

// extent is what the frame takes up: front, rear, and to either side.
func (p Plan) extent() (front, rear, half float64) {
	front, rear = math.Inf(1), math.Inf(-1)
	for i := range p.Zones {
		for _, c := range p.outline(i) {
			front, rear, half = min(front, c.x), max(rear, c.x), max(half, math.Abs(c.y))
		}
	}
	return front, rear, half
}

// layered returns the zones' places, lowest first.
func (p Plan) layered() []int {
	out := make([]int, len(p.Zones))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(layers[p.Zones[a].Kind], layers[p.Zones[b].Kind]) })
	return out
}

// hatches are the distances of the hatch lines by grade, wider to closer.
var hatches = map[domain.Condition]float64{domain.GradeB: 3.2, domain.GradeC: 1.9, domain.GradeD: 1.1, domain.Pitted: 0.6, domain.Perforated: 1.2}

// zone draws one zone: dashed where nobody has seen it, heavy where something was
// found, hatched by its grade, outlined twice where it was patched.
func (k *ink) zone(z PlanZone, corners []point) {
	edge := stroke{at: corners, weight: thin, closed: true, fill: paperInk}
	if z.Grade == domain.Hidden || z.Grade == "" {
		edge.dash = hiddenEdge
	}
	if z.Badge != "" {
		edge.weight = thick
	}
	k.strokes = append(k.strokes, edge)
	if apart, ok := hatches[z.Grade]; ok {
		k.strokes = append(k.strokes, hatch(corners, apart, false)...)
	}
	switch z.Grade {
	case domain.Perforated:
		k.strokes = append(k.strokes, hatch(corners, hatches[z.Grade], true)...)
	case domain.Patched:
		k.strokes = append(k.strokes, stroke{at: shrunk(corners, 0.8), weight: thin, closed: true})
	}
}

// shrunk draws four corners in by so many millimetres along their sides, half a
// side at most.
func shrunk(c []point, by float64) []point {
	toward := func(a, b point) point {
		long := math.Hypot(b.x-a.x, b.y-a.y)
		if long == 0 {
			return point{}
		}
		d := min(by, long/2) / long
		return point{(b.x - a.x) * d, (b.y - a.y) * d}
	}
	out := make([]point, len(c))
	for i, p := range c {
		u, v := toward(p, c[(i+1)%len(c)]), toward(p, c[(i+len(c)-1)%len(c)])
		out[i] = point{p.x + u.x + v.x, p.y + u.y + v.y}
	}
	return out
}

// badge is a text with the place that it points at.
type badge struct {
	words string
	at    point
}

// badges writes the numbers of findings above and below the frame, on the side
// of the car where they are, with leaders to dots on the zones.
func (k *ink) badges(zones []PlanZone, on onPaper, reach, width float64) {
	sides := map[bool][]badge{}
	for _, z := range zones {
		if z.Badge == "" {
			continue
		}
		a, b := z.ends()
		t := 0.5
		if z.Kind == domain.Bracket {
			t = 0.75 // its inner end lies under the rail
		}
		m := point{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t}
		up := m.y > 0 || m.y == 0 && len(sides[true]) <= len(sides[false])
		sides[up] = append(sides[up], badge{z.Badge, on.place(m)})
	}
	for _, up := range []bool{true, false} {
		out := 1.0
		if up {
			out = -1
		}
		k.side(sides[up], on.y+out*(reach+planMargin+2), out, width)
	}
}

func (k *ink) side(side []badge, level, out, width float64) {
	slices.SortStableFunc(side, func(a, b badge) int { return cmp.Compare(a.at.x, b.at.x) })
	rooms := make([]float64, len(side))
	for i, b := range side {
		rooms[i] = wide(b.words, badgePoints, true) + 3
	}
	for i, x := range spread(side, rooms, width) {
		b := side[i]
		dot := stroke{at: []point{{b.at.x - .6, b.at.y}, {b.at.x, b.at.y - .6}, {b.at.x + .6, b.at.y}, {b.at.x, b.at.y + .6}}, closed: true, fill: blackInk, weight: hair}
		k.strokes = append(k.strokes, dot)
		k.line(b.at, point{x, level}, hair, continuous)
		half := rooms[i]/2 - 1
		k.line(point{x - half, level}, point{x + half, level}, hair, continuous)
		base := level - 1
		if out > 0 {
			base = level + 3.4
		}
		k.text(x-half+.5, base, badgePoints, true, b.words)
	}
}

// spread returns middles for texts along a line: as near as may be to where they
// point, none over the next, all on the paper as far as there is room.
func spread(side []badge, rooms []float64, width float64) []float64 {
	out, free := make([]float64, len(side)), 0.0
	for i, b := range side {
		out[i] = max(b.at.x, free+rooms[i]/2)
		free = out[i] + rooms[i]/2
	}
	limit := width
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = min(out[i], limit-rooms[i]/2)
		limit = out[i] - rooms[i]/2
	}
	return out
}

// svg draws the plan for the HTML document.
func (p Plan) svg() template.HTML {
	const width = 172
	k, height := p.ink(width)
	return k.svg(width, height, p.Title)
}
