package points

import "math/bits"

// problem is a job as the search sees it: options that can matter, in the order
// in which they are decided; only those aspects that they touch; points in
// units of a greatest common divisor.
type problem struct {
	unit    int64 // hundredths in a unit of points
	budget  int64 // minor units, no more than all options cost
	choices []choice
	aspects []aspect
	edges   []edge
	exact   []set   // positions of each group of which exactly one is done
	units   []bool  // disjoint groups for the bound; true where one must be done
	open    [][]int // by layer: aspects touched before it and again from it on
	base    int64   // all deductions as found, in units
}

// choice is an option at its position in the order.
type choice struct {
	option  int   // its place in the input
	rank    int   // its place among all ids, sorted
	cost    int64 // minor units
	scaled  int64 // cost in 2^-scale of the budget, rounded down
	deltas  []delta
	ifTaken set    // later positions that it bars
	ifLeft  set    // later positions that cannot be without it
	meets   uint64 // the exact groups that it is in
	unit    int    // into units; -1 is none
	edges   []int  // requirements in which it takes part, either side
}

// edge is a requirement between positions.
type edge struct{ from, needs int }

type aspect struct {
	sum, maximum int64
	first        int     // the first position that touches it
	gain, harm   []int64 // by layer: the most that the rest can take off and put on
}

// scale is the fineness in which the bound knows costs.
const scale = 20

// countBits keep the number of options below the cost in a node's key.
const countBits = 8

// ofBudget is cost in 2^-scale of the budget, rounded down or up.
func (p *problem) ofBudget(cost int64, up bool) int64 {
	if p.budget == 0 {
		return 0
	}
	high, low := bits.Mul64(uint64(cost), 1<<scale)
	q, rest := bits.Div64(high, low, uint64(p.budget))
	if up && rest > 0 {
		q++
	}
	return int64(q)
}

// problem leaves out what cannot be in a best set within the budget, and is nil
// when no set can keep the groups.
func (j *job) problem(budget int64) *problem {
	kept, total := j.kept(budget)
	p := &problem{budget: total}
	if budget >= 0 {
		p.budget = min(budget, total)
	}
	order := j.order(kept)
	p.take(j, order)
	p.bar(j, order)
	if !p.group(j, order) {
		return nil
	}
	p.layers()
	return p
}

// kept are the options that can be done at all and can be of use, and what they
// cost together.
func (j *job) kept(budget int64) (kept set, total int64) {
	useful := make([]bool, len(j.options))
	for _, g := range j.groups {
		for _, i := range g.members {
			useful[i] = useful[i] || g.exact
		}
	}
	for i, o := range j.options {
		for _, d := range o.deltas {
			useful[i] = useful[i] || d.amount > 0
		}
	}
	for i := range j.options {
		if all := j.needed(i); useful[i] && j.possible(all, budget) {
			kept = kept.plus(all)
		}
	}
	for _, i := range kept.list() {
		total += j.options[i].cost
	}
	return kept, total
}

// possible reports whether options can all be done together within the budget.
func (j *job) possible(all set, budget int64) bool {
	cost := int64(0)
	for _, i := range all.list() {
		cost += j.options[i].cost
		for _, other := range j.options[i].excludes {
			if all.has(other) {
				return false
			}
		}
	}
	for _, g := range j.groups {
		n := 0
		for _, i := range g.members {
			if all.has(i) {
				n++
			}
		}
		if n > 1 {
			return false
		}
	}
	return budget < 0 || cost <= budget
}

// take fills in the choices with their effects, and the aspects.
func (p *problem) take(j *job, order []int) {
	index := map[int]int{}
	ranks := j.ranks()
	for pos, i := range order {
		o := j.options[i]
		c := choice{option: i, rank: ranks[i], cost: o.cost, scaled: p.ofBudget(o.cost, false), unit: -1}
		for _, d := range o.deltas {
			a, known := index[d.aspect]
			if !known {
				a = len(p.aspects)
				index[d.aspect] = a
				before, maximum := j.before[d.aspect/2], j.maximum[d.aspect/2]
				p.aspects = append(p.aspects, aspect{sum: int64(before.of(d.aspect)), maximum: int64(maximum.of(d.aspect)), first: pos})
			}
			c.deltas = append(c.deltas, delta{a, d.amount})
		}
		p.choices = append(p.choices, c)
	}
	p.inUnits()
}

// inUnits divides all points by their greatest common divisor.
func (p *problem) inUnits() {
	for _, a := range p.aspects {
		p.unit = gcd(gcd(p.unit, a.sum), a.maximum)
	}
	for _, c := range p.choices {
		for _, d := range c.deltas {
			p.unit = gcd(p.unit, d.amount)
		}
	}
	p.unit = max(1, p.unit)
	for i := range p.aspects {
		a := &p.aspects[i]
		a.sum, a.maximum = a.sum/p.unit, a.maximum/p.unit
		p.base += min(a.sum, a.maximum)
	}
	for _, c := range p.choices {
		for k := range c.deltas {
			c.deltas[k].amount /= p.unit
		}
	}
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}

// layers works out for each layer which aspects are open and how far the rest
// can still move each.
func (p *problem) layers() {
	n := len(p.choices)
	p.open = make([][]int, n+1)
	for i := range p.aspects {
		a := &p.aspects[i]
		a.gain, a.harm = make([]int64, n+1), make([]int64, n+1)
		for d := range n + 1 {
			a.gain[d], a.harm[d] = p.reach(i, d)
			if a.first < d && a.gain[d]+a.harm[d] > 0 {
				p.open[d] = append(p.open[d], i)
			}
		}
		// A sum that nothing can bring below the maximum is as good as any other such.
		a.sum = min(a.sum, a.maximum+a.gain[0])
	}
}

// reach is the most that the choices from layer d on can take off and put on an
// aspect, at most one of each unit.
func (p *problem) reach(aspect, d int) (gain, harm int64) {
	gains, harms := make([]int64, len(p.units)), make([]int64, len(p.units))
	for _, c := range p.choices[d:] {
		for _, e := range c.deltas {
			switch {
			case e.aspect != aspect:
			case c.unit < 0:
				gain, harm = gain+max(0, e.amount), harm+max(0, -e.amount)
			default:
				gains[c.unit], harms[c.unit] = max(gains[c.unit], e.amount), max(harms[c.unit], -e.amount)
			}
		}
	}
	for u := range p.units {
		gain, harm = gain+gains[u], harm+harms[u]
	}
	return gain, harm
}
