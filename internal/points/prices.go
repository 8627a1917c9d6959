package points

import "math/bits"

// fine is the fineness of prices: a point is 2^fine.
const fine = 20

const one = 1 << fine

// prices make a bound. Any that are not negative, with weight at most one, make
// a true one.
type prices struct {
	weight []int64 // y of each aspect
	budget int64   // points that the whole budget is worth
	edge   []int64 // points that a requirement is worth
	// What follows from them.
	up   []int64 // weight of gain on an aspect that is not touched yet
	down []int64 // and of harm
	cost []int64 // what each choice pays for its cost
	rest []int64 // by layer: y x sum of the aspects that are not touched yet
}

func (s *search) newPrices() *prices {
	p := s.p
	m := &prices{weight: make([]int64, len(p.aspects)), edge: make([]int64, len(p.edges)), up: make([]int64, len(p.aspects)), down: make([]int64, len(p.aspects)),
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
		m.up[i] = gainWeight(m.weight[i], a.sum, a.maximum, a.gain[a.first][levels])
		m.down[i] = harmWeight(m.weight[i], a.sum, a.maximum, a.harm[a.first][levels])
		m.rest[a.first] += m.weight[i] * min(a.sum, a.maximum)
	}
	for d := len(m.rest) - 2; d >= 0; d-- {
		m.rest[d] += m.rest[d+1]
	}
	for i := range p.choices {
		m.cost[i] = p.worth(m.budget, p.choices[i].cost, false)
	}
}

// gainWeight is the weight of gain on an aspect: all of y where the sum is not
// above the maximum. Where it is, the first gain buys nothing; what all gain to
// come would buy, spread over it, is never less than what a part of it buys.
func gainWeight(y, sum, maximum, gain int64) int64 {
	if sum <= maximum || gain == 0 {
		return y
	}
	gain = min(gain, sum)
	return (y*max(0, gain-(sum-maximum)) + gain - 1) / gain
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
	total := (p.base+n.points)<<fine - m.rest[d] + p.worth(m.budget, p.budget-n.cost(), true)
	level := p.level(p.budget - n.cost())
	copy(s.up, m.up)
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
			s.up[i] = gainWeight(m.weight[i], left, a.maximum, a.gain[d][level])
			s.down[i] = harmWeight(m.weight[i], left, a.maximum, a.harm[d][level])
		}
	}
	return total + s.relaxed(d, n, m)
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
		switch e := s.p.edges[k]; {
		case e.from == pos && e.needs >= d:
			worth -= m.edge[k]
		case e.needs == pos && !n.barred.has(e.from):
			worth += m.edge[k]
		}
	}
	return worth
}
