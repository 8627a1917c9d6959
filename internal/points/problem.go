package points

import "math/bits"

// problem is a job as the search sees it: options that can matter, in the order
// in which they are decided; only those aspects that they touch; points in
// units of a greatest common divisor.
type problem struct {
	unit    int64 // hundredths in a unit of points
	budget  int64 // minor units, no more than all options cost
	spent   int64 // minor units, by the options that are fixed in
	fixed   []int // options that are fixed in, by place in the input
	start   node  // before all choices, with what is fixed in
	choices []choice
	aspects []aspect
	edges   []edge
	exact   []set   // positions of each group of which exactly one is done
	units   []bool  // disjoint groups for the bound; true where one must be done
	open    [][]int // by layer: aspects touched before it and again from it on
	base    int64   // all deductions as found less those that are settled, in units
}

// choice is an option at its position in the order.
type choice struct {
	option    int   // its place in the input
	rank      int   // its place among all ids, sorted
	cost      int64 // minor units
	deltas    []delta
	ifTaken   set    // later positions that it bars
	ifLeft    set    // later positions that cannot be without it
	needs     set    // itself and what it requires, with what that requires
	conflicts set    // positions that cannot be beside it
	entailed  set    // positions that cannot be beside any of its needs
	meets     uint64 // the exact groups that it is in
	unit      int    // into units; -1 is none
	edges     []int  // requirements in which it takes part, either side
}

// edge is a requirement between positions.
type edge struct{ from, needs int }

type aspect struct {
	sum, maximum int64
	first        int // the first position that touches it
	// By layer and level of the budget left: the most that the rest can take off
	// and put on.
	gain, harm [][levels + 1]int64
}

// countBits keep the number of options below the cost in a node's key.
const countBits = 8

// worth is what cost is worth where the whole budget is worth so much, rounded
// down or up.
func (p *problem) worth(budget, cost int64, up bool) int64 {
	if p.budget == 0 {
		return 0
	}
	return part(budget, cost, p.budget, up)
}

// part is whole x share / of, rounded down or up, without overflow between.
func part(whole, share, of int64, up bool) int64 {
	high, low := bits.Mul64(uint64(whole), uint64(share))
	q, rest := bits.Div64(high, low, uint64(of))
	if up && rest > 0 {
		q++
	}
	return int64(q)
}

// problem leaves out what cannot be in a best set within the budget, and is nil
// when no set can keep the groups.
func (j *job) problem(budget int64, f fixes) *problem {
	kept, total := j.kept(budget, f)
	p := &problem{budget: total, fixed: f.in.list(), start: node{top: 1 << 62}}
	ranks := j.ranks()
	for _, i := range p.fixed {
		p.spent += j.options[i].cost
		p.start.taken = p.start.taken.with(ranks[i])
		p.start.key++
	}
	if budget >= 0 {
		p.budget = min(budget-p.spent, total)
	}
	if p.budget < 0 {
		return nil
	}
	order := j.order(kept)
	p.take(j, order)
	p.bar(j, order)
	p.entail()
	if !p.group(j, order, f.in) {
		return nil
	}
	p.layers()
	return p
}

// kept are the options that can be done at all and can be of use, and what they
// cost together.
func (j *job) kept(budget int64, f fixes) (kept set, total int64) {
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
		if all := j.needed(i); useful[i] && all.and(f.out).empty() && j.possible(all.plus(f.in), budget) {
			kept = kept.plus(all.minus(f.in))
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
	off := j.off(p.fixed)
	for pos, i := range order {
		o := j.options[i]
		c := choice{option: i, rank: ranks[i], cost: o.cost, unit: -1}
		for _, d := range o.deltas {
			a, known := index[d.aspect]
			if !known {
				a = len(p.aspects)
				index[d.aspect] = a
				before, maximum := j.before[d.aspect/2], j.maximum[d.aspect/2]
				p.aspects = append(p.aspects, aspect{sum: int64(before.of(d.aspect)) - off[d.aspect], maximum: int64(maximum.of(d.aspect)), first: pos})
			}
			c.deltas = append(c.deltas, delta{a, d.amount})
		}
		p.choices = append(p.choices, c)
	}
	for a := range off {
		before, maximum := int64(j.before[a/2].of(a)), int64(j.maximum[a/2].of(a))
		p.base += clamp(before, maximum)
		if _, touched := index[a]; !touched {
			p.base -= clamp(before-off[a], maximum)
		}
	}
	p.inUnits(j.unit())
}

// unit is the greatest common divisor of all points.
func (j *job) unit() (unit int64) {
	for i := range j.before {
		for k := range 2 {
			unit = gcd(gcd(unit, int64(j.before[i].of(k))), int64(j.maximum[i].of(k)))
		}
	}
	for _, o := range j.options {
		for _, d := range o.deltas {
			unit = gcd(unit, d.amount)
		}
	}
	return max(1, unit)
}

// inUnits divides all points by their greatest common divisor.
func (p *problem) inUnits(unit int64) {
	p.unit = unit
	p.base /= unit
	for i := range p.aspects {
		p.aspects[i].sum /= unit
		p.aspects[i].maximum /= unit
	}
	for _, c := range p.choices {
		for k := range c.deltas {
			c.deltas[k].amount /= unit
		}
	}
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}
