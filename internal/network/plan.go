package network

import (
	"slices"
	"strconv"

	"bareframe/internal/calendar"
)

// traits of a task, as bits.
type traits uint8

const (
	elapsed traits = 1 << iota // its own time is the clock's
	onClock                    // it is placed on the clock: elapsed, or nothing left to do
	started
	finished
)

// arc is a link as the passes walk it, kept beside its fellows from one task.
type arc struct {
	to   int32
	lag  int32
	link int32 // its place in the input
	code arcCode
}

type arcCode uint8

const (
	fromFinish arcCode = 1 << iota
	toFinish
	lagElapsed
	back // a maximum lag, seen from the successor: the predecessor may not be earlier
)

func codeOf(l *Link) arcCode {
	var c arcCode
	switch l.Type {
	case SS:
	case FF:
		c = fromFinish | toFinish
	case SF:
		c = toFinish
	default:
		c = fromFinish
	}
	if l.LagKind == calendar.Elapsed {
		c |= lagElapsed
	}
	return c
}

// plan is a checked network in arrays. A task is known by its place in the
// input; the arcs out of task i are arcs[first[i]:first[i+1]].
type plan struct {
	tasks  []Task
	links  []Link
	bounds int // how many arcs are maximum lags
	traits []traits
	first  []int32
	arcs   []arc
	order  []int32 // topological
}

// newPlan lays out the arrays. O(tasks + links).
func newPlan(in *Input, ends []ends) (*plan, error) {
	n := len(in.Tasks)
	p := &plan{
		tasks: in.Tasks, links: in.Links,
		traits: make([]traits, n),
		first:  make([]int32, n+1),
	}
	for i := range in.Tasks {
		p.traits[i] = traitsOf(&in.Tasks[i])
	}
	p.layArcs(ends)
	return p, p.sort()
}

func traitsOf(t *Task) traits {
	var x traits
	if t.Kind == calendar.Elapsed {
		x |= elapsed
	}
	if t.ActualStart != nil {
		x |= started
	}
	if t.ActualFinish != nil {
		x |= finished
	}
	return x
}

// layArcs fills first and arcs by counting: arcs from one task keep the order
// of the input, those of maximum lags beside the others.
func (p *plan) layArcs(ends []ends) {
	for k, e := range ends {
		p.first[e.from+1]++
		if p.turnsBack(k, e) {
			p.first[e.to+1]++
			p.bounds++
		}
	}
	for i := range p.tasks {
		p.first[i+1] += p.first[i]
	}
	p.arcs = make([]arc, len(ends)+p.bounds)
	next := slices.Clone(p.first)
	lay := func(from int32, a arc) {
		p.arcs[next[from]] = a
		next[from]++
	}
	for k, e := range ends {
		l := &p.links[k]
		code := codeOf(l)
		lay(e.from, arc{to: e.to, lag: int32(l.Lag), link: int32(k), code: code})
		if p.turnsBack(k, e) {
			lay(e.to, arc{to: e.from, lag: int32(-*l.MaxLag), link: int32(k), code: code.reversed()})
		}
	}
}

// turnsBack says whether link k has a maximum lag that can move its
// predecessor. What has happened does not move.
func (p *plan) turnsBack(k int, e ends) bool {
	l := &p.links[k]
	if l.MaxLag == nil {
		return false
	}
	done := finished
	if codeOf(l)&fromFinish == 0 {
		done = started
	}
	return p.traits[e.from]&done == 0
}

// reversed is the code of a maximum lag's arc: at most m from one end to the
// other is at least -m the other way.
func (c arcCode) reversed() arcCode {
	return c&lagElapsed | c&fromFinish<<1 | c&toFinish>>1 | back
}

// linkName is how results call link k.
func (p *plan) linkName(k int32) string {
	if id := p.links[k].ID; id != "" {
		return id
	}
	return string(appendPlace(nil, k))
}

// appendPlace writes what a link without an ID is called.
func appendPlace(text []byte, k int32) []byte {
	return strconv.AppendInt(append(text, '#'), int64(k)+1, 10)
}
