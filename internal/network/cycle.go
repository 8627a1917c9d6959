package network

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bareframe/internal/fault"
)

// LinkRef names one link in evidence.
type LinkRef struct {
	Link  string   `json:"link"`  // its id, or "#" and its place
	Index int      `json:"index"` // in Input.Links, from 0
	From  string   `json:"from"`
	To    string   `json:"to"`
	Type  LinkType `json:"type"`
}

// Cycle is the evidence of "network-cycle": tasks that wait for each other.
// Links[k] leads from Tasks[k] to Tasks[k+1], the last one back to Tasks[0].
type Cycle struct {
	Tasks []string  `json:"tasks"`
	Links []LinkRef `json:"links"`
}

// sort puts the tasks in topological order (Kahn 1962), or names a cycle.
// O(tasks + links).
func (p *plan) sort() error {
	n := len(p.tasks)
	waits := make([]int32, n)
	for _, a := range p.arcs {
		if a.code&back == 0 {
			waits[a.to]++
		}
	}
	p.order = make([]int32, 0, n)
	for i := range waits {
		if waits[i] == 0 {
			p.order = append(p.order, int32(i))
		}
	}
	for head := 0; head < len(p.order); head++ {
		i := p.order[head]
		for _, a := range p.arcs[p.first[i]:p.first[i+1]] {
			if a.code&back != 0 {
				continue
			}
			if waits[a.to]--; waits[a.to] == 0 {
				p.order = append(p.order, a.to)
			}
		}
	}
	if len(p.order) == n {
		return nil
	}
	return p.cycleError(waits)
}

// cycleError names one cycle among the tasks that still wait. Each of them has
// a predecessor that waits too, so walking back must close. The walk starts at
// the lowest ID and always takes the lowest, so that the answer does not
// depend on the order of the input.
func (p *plan) cycleError(waits []int32) error {
	lowest := p.lowestPredecessors(waits)
	at := int32(-1)
	for i := range p.tasks {
		if waits[i] > 0 && (at < 0 || p.tasks[i].ID < p.tasks[at].ID) {
			at = int32(i)
		}
	}
	seen := make([]bool, len(p.tasks))
	for !seen[at] {
		seen[at] = true
		at = lowest[at].from
	}
	var ring []blame
	for end := at; ; {
		ring = append(ring, lowest[at])
		if at = lowest[at].from; at == end {
			break
		}
	}
	slices.Reverse(ring)
	return p.describeCycle(p.turned(ring))
}

// turned begins a ring at the task with the lowest ID.
func (p *plan) turned(ring []blame) []blame {
	first := 0
	for k := range ring {
		if p.tasks[ring[k].from].ID < p.tasks[ring[first].from].ID {
			first = k
		}
	}
	return append(slices.Clone(ring[first:]), ring[:first]...)
}

// blame is an arc seen from the task it leads to.
type blame struct {
	from, link int32
	code       arcCode
}

func (p *plan) lowestPredecessors(waits []int32) []blame {
	lowest := make([]blame, len(p.tasks))
	for i := range lowest {
		lowest[i].from = -1
	}
	for i := range p.tasks {
		if waits[i] == 0 {
			continue
		}
		for _, a := range p.arcs[p.first[i]:p.first[i+1]] {
			if a.code&back != 0 {
				continue
			}
			b := &lowest[a.to]
			if here := (blame{int32(i), a.link, a.code}); b.from < 0 || p.compareBlame(here, *b) < 0 {
				*b = here
			}
		}
	}
	return lowest
}

// compareBlame orders links into one task by what they say, not by place.
func (p *plan) compareBlame(a, b blame) int {
	x, y := &p.links[a.link], &p.links[b.link]
	return cmp.Or(cmp.Compare(a.code&back, b.code&back),
		cmp.Compare(p.tasks[a.from].ID, p.tasks[b.from].ID), cmp.Compare(x.ID, y.ID),
		cmp.Compare(x.Type, y.Type), cmp.Compare(x.Lag, y.Lag), cmp.Compare(x.LagKind, y.LagKind),
		cmp.Compare(a.link, b.link))
}

func (p *plan) describeCycle(ring []blame) error {
	c := Cycle{Tasks: make([]string, len(ring)), Links: make([]LinkRef, len(ring))}
	var faults fault.Collector
	for k, b := range ring {
		l := &p.links[b.link]
		c.Tasks[k] = l.From
		c.Links[k] = p.linkRef(b.link)
		if k < maxFaults {
			faults.Add(fmt.Sprintf("/links/%d", b.link), "%s waits for %s", l.To, l.From)
		}
	}
	e := fault.As(faults.Err("network-cycle"))
	e.Detail = "these tasks wait for each other and none can start: " + arrows(c.Tasks)
	return e.With(c)
}

// arrows writes a ring of tasks for a person, with the middle of a long one
// left out.
func arrows(tasks []string) string {
	const most = 12
	shown := append(slices.Clone(tasks), tasks[0])
	if len(shown) > most {
		shown = append(append(slices.Clone(shown[:most-2]), "…"), shown[len(shown)-1])
	}
	return strings.Join(shown, " → ")
}

func (p *plan) linkRef(k int32) LinkRef {
	l := &p.links[k]
	ref := LinkRef{Link: p.linkName(k), Index: int(k), From: l.From, To: l.To, Type: l.Type}
	if ref.Type == "" {
		ref.Type = FS
	}
	return ref
}
