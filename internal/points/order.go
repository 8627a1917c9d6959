package points

import (
	"cmp"
	"slices"
	"strings"
)

// ranks gives each option its place among the sorted ids.
func (j *job) ranks() []int {
	sorted := make([]int, len(j.options))
	for i := range sorted {
		sorted[i] = i
	}
	slices.SortFunc(sorted, func(a, b int) int { return strings.Compare(j.in.Options[a].ID, j.in.Options[b].ID) })
	ranks := make([]int, len(sorted))
	for rank, i := range sorted {
		ranks[i] = rank
	}
	return ranks
}

// order puts what is required before what requires it, and otherwise keeps few
// aspects and groups open at a time: always next is the option that opens least
// and closes most, of those the dearest, so that small change is left to
// the end. Aspects that are past their maximum come
// first, because the bound knows them badly until they are decided.
func (j *job) order(kept set) []int {
	left := map[int]int{} // options that still touch an aspect; groups count as aspects from -1 down
	touched := map[int]bool{}
	threads := map[int][]int{}
	for _, i := range kept.list() {
		for _, d := range j.options[i].deltas {
			threads[i] = append(threads[i], d.aspect)
		}
		for g := range j.groups {
			if slices.Contains(j.groups[g].members, i) {
				threads[i] = append(threads[i], -1-g)
			}
		}
		for _, t := range threads[i] {
			left[t]++
		}
	}
	var order []int
	ranks := j.ranks()
	for todo := kept; !todo.empty(); {
		best, bestOpens := -1, 0
		for _, i := range todo.list() {
			if slices.ContainsFunc(j.options[i].requires, todo.has) {
				continue
			}
			opens := 0
			if slices.ContainsFunc(threads[i], j.pastMaximum) {
				opens -= MaxOptions
			}
			for _, t := range threads[i] {
				if !touched[t] {
					opens++
				}
				if left[t] == 1 {
					opens--
				}
			}
			if best < 0 || cmp.Or(cmp.Compare(opens, bestOpens), cmp.Compare(j.options[best].cost, j.options[i].cost), cmp.Compare(ranks[i], ranks[best])) < 0 {
				best, bestOpens = i, opens
			}
		}
		for _, t := range threads[best] {
			touched[t] = true
			left[t]--
		}
		order, todo = append(order, best), todo.minus(set{}.with(best))
	}
	return order
}

// pastMaximum reports whether the reasons on an aspect add up to more than its
// maximum.
func (j *job) pastMaximum(aspect int) bool {
	return aspect >= 0 && j.before[aspect/2].of(aspect) > j.maximum[aspect/2].of(aspect)
}

// bar works out what taking and leaving each choice does to later ones.
func (p *problem) bar(j *job, order []int) {
	position := map[int]int{}
	for pos, i := range order {
		position[i] = pos
	}
	for pos, i := range order {
		for _, needs := range j.options[i].requires {
			if _, free := position[needs]; !free {
				continue // fixed in
			}
			e := edge{pos, position[needs]}
			p.choices[pos].edges = append(p.choices[pos].edges, len(p.edges))
			p.choices[e.needs].edges = append(p.choices[e.needs].edges, len(p.edges))
			p.edges = append(p.edges, e)
		}
	}
	for pos := len(order) - 1; pos >= 0; pos-- { // what depends on it is done already
		for _, e := range p.edges {
			if e.needs == pos {
				p.choices[pos].ifLeft = p.choices[pos].ifLeft.with(e.from).plus(p.choices[e.from].ifLeft)
			}
		}
	}
	for pos, i := range order {
		for _, other := range j.options[i].excludes {
			if q, kept := position[other]; kept {
				p.exclude(pos, q)
			}
		}
	}
	for _, g := range j.groups {
		for _, a := range g.members {
			for _, b := range g.members {
				pa, oka := position[a]
				pb, okb := position[b]
				if oka && okb && pa < pb {
					p.exclude(pa, pb)
				}
			}
		}
	}
}

// exclude bars the later of two positions, and what depends on it, when the
// earlier is taken.
func (p *problem) exclude(a, b int) {
	if a > b {
		a, b = b, a
	}
	c := &p.choices[a]
	c.conflicts = c.conflicts.with(b).plus(p.choices[b].ifLeft)
	p.choices[b].conflicts = p.choices[b].conflicts.with(a).plus(p.choices[a].ifLeft)
	c.ifTaken = c.ifTaken.with(b).plus(p.choices[b].ifLeft)
}

// group fills in the exact groups and the disjoint units of the bound. It is
// false when a group of which one must be done has nobody left.
func (p *problem) group(j *job, order []int, in set) bool {
	for _, g := range j.groups {
		if slices.ContainsFunc(g.members, in.has) {
			continue // nobody else is left
		}
		var members set
		free := true
		for pos, i := range order {
			if slices.Contains(g.members, i) {
				members = members.with(pos)
				free = free && p.choices[pos].unit < 0
			}
		}
		if g.exact {
			if members.empty() {
				return false
			}
			for _, pos := range members.list() {
				p.choices[pos].meets |= 1 << len(p.exact)
			}
			p.exact = append(p.exact, members)
		}
		p.unite(members, g.exact && free)
	}
	for pos, c := range p.choices { // what is left of exclusions, in pairs
		for _, q := range c.ifTaken.list() {
			if p.choices[pos].unit < 0 && p.choices[q].unit < 0 && p.barsDirectly(j, pos, q) {
				p.unite(set{}.with(pos).with(q), false)
			}
		}
	}
	return true
}

func (p *problem) barsDirectly(j *job, a, b int) bool {
	i, k := p.choices[a].option, p.choices[b].option
	return slices.Contains(j.options[i].excludes, k) || slices.Contains(j.options[k].excludes, i)
}

// unite makes a unit of those members that are in none yet.
func (p *problem) unite(members set, must bool) {
	n := 0
	for _, pos := range members.list() {
		if c := &p.choices[pos]; c.unit < 0 {
			c.unit = len(p.units)
			n++
		}
	}
	if n > 0 {
		p.units = append(p.units, must)
	}
}
