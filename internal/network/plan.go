package network

import (
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
func newPlan(in *Input, index map[string]int32) (*plan, error) {
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
	p.layArcs(index)
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
func (p *plan) layArcs(index map[string]int32) {
	ends := make([][2]int32, len(p.links))
	for k := range p.links {
		from, to := index[p.links[k].From], index[p.links[k].To]
		ends[k] = [2]int32{from, to}
		p.first[from+1]++
	}
	for i := range p.tasks {
		p.first[i+1] += p.first[i]
	}
	next := append([]int32(nil), p.first...)
	for k := range p.links {
		l := &p.links[k]
		at := next[ends[k][0]]
		next[ends[k][0]]++
		p.arcs[at] = arc{to: ends[k][1], lag: int32(l.Lag), link: int32(k), code: codeOf(l)}
	}
}

// linkName is how results call link k.
func (p *plan) linkName(k int32) string {
	if id := p.links[k].ID; id != "" {
		return id
	}
	return "#" + strconv.Itoa(int(k)+1)
}
