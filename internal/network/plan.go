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
	back   // a maximum lag, seen from the successor: the predecessor may not be earlier
	inWork // what it asks is counted in working minutes; a lag of nothing asks by the clock
	moot   // it leads into a finished task and asks for nothing
	named  // the link has an ID
	capped // the link has a maximum lag
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
	} else if l.Lag != 0 {
		c |= inWork
	}
	if l.ID != "" {
		c |= named
	}
	if l.MaxLag != nil {
		c |= capped
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
func newPlan(in *Input, joints []joint) (*plan, error) {
	n := len(in.Tasks)
	p := &plan{
		tasks: in.Tasks, links: in.Links,
		traits: make([]traits, n),
		first:  make([]int32, n+1),
	}
	for i := range in.Tasks {
		p.traits[i] = traitsOf(&in.Tasks[i])
	}
	p.layArcs(joints)
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
func (p *plan) layArcs(joints []joint) {
	for _, j := range joints {
		p.first[j.from+1]++
		if p.turnsBack(j) {
			p.first[j.to+1]++
			p.bounds++
		}
	}
	for i := range p.tasks {
		p.first[i+1] += p.first[i]
	}
	p.arcs = make([]arc, len(joints)+p.bounds)
	next := slices.Clone(p.first)
	lay := func(from int32, a arc) {
		p.arcs[next[from]] = a
		next[from]++
	}
	for k, j := range joints {
		a := arc{to: j.to, lag: j.lag, link: int32(k), code: j.code}
		if p.traits[j.to]&finished != 0 {
			a.code |= moot
		}
		lay(j.from, a)
		if p.turnsBack(j) {
			lay(j.to, arc{to: j.from, lag: int32(-*p.links[k].MaxLag), link: int32(k), code: j.code.reversed()})
		}
	}
}

// turnsBack says whether a link has a maximum lag that can move its
// predecessor. What has happened does not move.
func (p *plan) turnsBack(j joint) bool {
	if j.code&capped == 0 {
		return false
	}
	done := finished
	if j.code&fromFinish == 0 {
		done = started
	}
	return p.traits[j.from]&done == 0
}

// reversed is the code of a maximum lag's arc: at most m from one end to the
// other is at least -m the other way. A maximum of nothing means no time of its
// kind between, not the same instant.
func (c arcCode) reversed() arcCode {
	r := c&(lagElapsed|named|capped) | c&fromFinish<<1 | c&toFinish>>1 | back
	if r&lagElapsed == 0 {
		r |= inWork
	}
	return r
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
