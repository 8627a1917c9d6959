package points

import "math/bits"

// fine is the fineness of prices: a point is 2^fine.
const fine = 16

const one = 1 << fine

// prices make a bound. Any that are not negative, with weight at most one, make
// a true one.
type prices struct {
	weight []int64 // y of each aspect
	budget int64   // points that the whole budget is worth
	edge   []int64 // points that a requirement is worth
	// What follows from them.
	down []int64 // weight of harm on an aspect that is not touched yet
	cost []int64 // what each choice pays for its cost
	rest []int64 // by layer: y x sum of the aspects that are not touched yet
}

func (s *search) newPrices() *prices {
	p := s.p
	m := &prices{weight: make([]int64, len(p.aspects)), edge: make([]int64, len(p.edges)), down: make([]int64, len(p.aspects)),
		cost: make([]int64, len(p.choices)), rest: make([]int64, len(p.choices)+1)}
	for a := range m.weight {
		m.weight[a] = one
	}
	return m
}

func (m *prices) copyOf(o *prices) {
	copy(m.weight, o.weight)
	copy(m.edge, o.edge)
	m.budget = o.budget
}

// settle works out what follows from the prices.
func (m *prices) settle(p *problem) {
	clear(m.rest)
	for i := range p.aspects {
		a := &p.aspects[i]
		m.down[i] = harmWeight(m.weight[i], a.sum, a.maximum, a.harm[a.first])
		m.rest[a.first] += m.weight[i] * min(a.sum, a.maximum)
	}
	for d := len(m.rest) - 2; d >= 0; d-- {
		m.rest[d] += m.rest[d+1]
	}
	for i := range p.choices {
		m.cost[i] = m.budget * p.choices[i].scaled >> scale
	}
}

// harmWeight is the weight of harm on an aspect: all of y where harm cannot push
// the sum past the maximum, else the proportion that stays under it.
func harmWeight(y, sum, maximum, harm int64) int64 {
	if harm == 0 || sum+harm <= maximum {
		return y
	}
	return y * max(0, maximum-sum) / harm
}

// ceiling is the bound on what a node of layer d can end with, in 2^-fine points.
// What the relaxed choice takes is left in s.picked.
func (s *search) ceiling(d int, n *node, sums []int32, m *prices) int64 {
	p := s.p
	total := (p.base+n.points)<<fine - m.rest[d] + s.worthOfBudget(n, m)
	copy(s.up, m.weight)
	copy(s.down, m.down)
	for k, i := range p.open[d] {
		switch sums[k] {
		case closed:
			s.up[i], s.down[i] = 0, 0
		case linear:
			s.up[i], s.down[i] = one, one
		default:
			a, left := &p.aspects[i], int64(sums[k])
			total -= m.weight[i] * min(left, a.maximum)
			s.down[i] = harmWeight(m.weight[i], left, a.maximum, a.harm[d])
		}
	}
	return total + s.relaxed(d, n, m)
}

func (s *search) worthOfBudget(n *node, m *prices) int64 {
	return (m.budget*s.p.ofBudget(s.p.budget-n.cost(), true) + 1<<scale - 1) >> scale
}

// relaxed is the worth of all choices that are worth something, one of a unit.
func (s *search) relaxed(d int, n *node, m *prices) (total int64) {
	p := s.p
	s.picked = s.picked[:0]
	s.units = s.units[:0]
	free := s.later[d].minus(n.barred)
	for w, word := range free {
		for ; word != 0; word &= word - 1 {
			pos := 64*w + bits.TrailingZeros64(word)
			worth := s.worth(d, pos, n, m)
			u := p.choices[pos].unit
			switch {
			case u < 0 && worth > 0:
				total += worth
				s.picked = append(s.picked, pos)
			case u >= 0 && s.unitAt[u] < 0:
				s.unitAt[u], s.unitWorth[u] = pos, worth
				s.units = append(s.units, u)
			case u >= 0 && worth > s.unitWorth[u]:
				s.unitAt[u], s.unitWorth[u] = pos, worth
			}
		}
	}
	for _, u := range s.units {
		pos := s.unitAt[u]
		s.unitAt[u] = -1
		if worth := s.unitWorth[u]; worth > 0 || p.units[u] {
			total += worth
			s.picked = append(s.picked, pos)
		}
	}
	return total
}

// worth is what a choice adds to the bound.
func (s *search) worth(d, pos int, n *node, m *prices) int64 {
	c := &s.p.choices[pos]
	worth := -m.cost[pos]
	for _, e := range c.deltas {
		if e.amount > 0 {
			worth += e.amount * s.up[e.aspect]
		} else {
			worth += e.amount * s.down[e.aspect]
		}
	}
	for _, k := range c.edges {
		switch e := &s.p.edges[k]; {
		case e.from == pos && e.needs >= d:
			worth -= m.edge[k]
		case e.needs == pos && !n.barred.has(e.from):
			worth += m.edge[k]
		}
	}
	return worth
}
