package points

const (
	gradient = 10 // fineness of a subgradient
	dearest  = int64(1) << 44
)

// firstPrices weigh every aspect in full and price the budget so that what the
// relaxed choice takes about uses it up.
func (s *search) firstPrices(n *node) *prices {
	m := s.newPrices()
	low, high := int64(0), dearest
	for low < high {
		m.budget = low + (high-low)/2
		m.settle(s.p)
		s.ceiling(0, n, nil, m)
		if s.spent() > s.p.budget {
			low = m.budget + 1
		} else {
			high = m.budget
		}
	}
	m.budget = low
	m.settle(s.p)
	return m
}

func (s *search) spent() (total int64) {
	for _, pos := range s.picked {
		total += s.p.choices[pos].cost
	}
	return total
}

// tuned lowers the bound of one node by subgradient steps from some prices, with
// the step of Polyak: the distance to the best set known, over the square of the
// subgradient. It returns the best prices on the way.
func (s *search) tuned(d int, n *node, sums []int32, from *prices, steps int) *prices {
	best, m := s.newPrices(), s.newPrices()
	m.copyOf(from)
	lowest, pace, stalled := int64(1)<<62, int64(1)<<gradient, 0
	for range steps {
		m.settle(s.p)
		top := s.ceiling(d, n, sums, m) - s.p.worth(m.budget, s.withheld(), false)
		if top < lowest {
			lowest, stalled = top, 0
			best.copyOf(m)
		} else if stalled++; stalled == 4 {
			pace, stalled = pace/2, 0
		}
		far := top - s.target(top)
		if far <= 0 {
			break
		}
		if !s.step(d, n, sums, m, far*pace>>gradient) {
			break
		}
	}
	best.settle(s.p)
	return best
}

// target is what a bound of top is steered to.
func (s *search) target(top int64) int64 {
	if s.known.found && s.known.points<<fine < top {
		return s.known.points << fine
	}
	return top - max(one, top>>6)
}

// step moves the prices against the subgradient at s.picked; far is the step
// times its square. It is false where there is no way down.
func (s *search) step(d int, n *node, sums []int32, m *prices, far int64) bool {
	slope, square := s.slope(d, n, sums, m)
	if square = square >> gradient; square == 0 {
		return false
	}
	for a, g := range slope.weight {
		if g != 0 {
			m.weight[a] = max(0, min(one, m.weight[a]-far*g/square/s.size(a)))
		}
	}
	for k, g := range slope.edge {
		if g != 0 {
			m.edge[k] = max(0, min(dearest, m.edge[k]-far*g/square))
		}
	}
	m.budget = max(0, min(dearest, m.budget-far*slope.budget/square))
	return true
}

// size brings the weight of an aspect to points, so that all prices step alike.
func (s *search) size(a int) int64 {
	return max(1, min(s.p.aspects[a].sum, s.p.aspects[a].maximum))
}

// slope is the subgradient by price, without what the limits of a price hold.
func (s *search) slope(d int, n *node, sums []int32, m *prices) (*prices, int64) {
	p, g := s.p, s.slopes
	clear(g.weight)
	clear(g.edge)
	s.slopeOfWeights(d, sums)
	g.budget = p.worth(1<<gradient, max(0, p.budget-s.withheld()-n.cost()), true) - p.worth(1<<gradient, s.spent(), false)
	var picked set
	for _, pos := range s.picked {
		picked = picked.with(pos)
	}
	for k, e := range p.edges {
		if e.needs >= d && !n.barred.has(e.from) {
			if picked.has(e.needs) {
				g.edge[k]++
			}
			if picked.has(e.from) {
				g.edge[k]--
			}
			g.edge[k] <<= gradient
		}
	}
	square := int64(0)
	for a := range g.weight {
		g.weight[a] = g.weight[a] / s.size(a)
		square += held(&g.weight[a], m.weight[a], one)
	}
	for k := range g.edge {
		square += held(&g.edge[k], m.edge[k], dearest)
	}
	return g, square + held(&g.budget, m.budget, dearest)
}

// held drops a slope that leads past the limits of a price, and squares it.
func held(g *int64, price, limit int64) int64 {
	if price == 0 && *g > 0 || price == limit && *g < 0 {
		*g = 0
	}
	return *g * *g
}

// slopeOfWeights adds up effects and sums of the aspects whose weight is free.
func (s *search) slopeOfWeights(d int, sums []int32) {
	p, g := s.p, s.slopes
	for i := range p.aspects {
		s.up[i] = 0
		if p.aspects[i].first >= d {
			s.weigh(d, i, p.aspects[i].sum)
		}
	}
	for k, i := range p.open[d] {
		if int64(sums[k]) > past {
			s.weigh(d, i, int64(sums[k]))
		}
	}
	for _, pos := range s.picked {
		for _, e := range p.choices[pos].deltas {
			if e.amount > 0 {
				g.weight[e.aspect] += e.amount * s.up[e.aspect]
			} else {
				g.weight[e.aspect] += e.amount * s.down[e.aspect]
			}
		}
	}
}

// weigh begins the slope of an aspect's weight and notes how much effects count.
func (s *search) weigh(d, i int, left int64) {
	a := &s.p.aspects[i]
	s.up[i] = gainWeight(1<<gradient, left, a.maximum, a.gain[d][levels])
	s.down[i] = harmWeight(1<<gradient, left, a.maximum, a.harm[d][levels])
	s.slopes.weight[i] = -min(left, a.maximum) << gradient
}

// withheld is the part of the budget that prices are not tuned for: to show that
// nothing is as good for less, what the best set known leaves and a unit more.
func (s *search) withheld() int64 {
	if s.forLess && s.known.found {
		return min(s.p.budget, s.margin())
	}
	return 0
}
