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
		arcs:   make([]arc, len(in.Links)),
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

// layArcs fills first and arcs by counting: links from one task keep the order
// of the input.
func (p *plan) layArcs(ends []ends) {
	for _, e := range ends {
		p.first[e.from+1]++
	}
	for i := range p.tasks {
		p.first[i+1] += p.first[i]
	}
	next := slices.Clone(p.first)
	for k, e := range ends {
		l := &p.links[k]
		p.arcs[next[e.from]] = arc{to: e.to, lag: int32(l.Lag), link: int32(k), code: codeOf(l)}
		next[e.from]++
	}
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
