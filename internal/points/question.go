package points

// question is what is not yet shown of a node: that it does not lead to more
// points than the best set known, nor to as many for less. Different prices may
// show the one and the other.
type question struct{ more, less bool }

// asked is the question of a node as far as it is not answered already.
func (s *search) asked(n *node) question {
	if s.ties {
		return question{less: n.key <= s.known.key}
	}
	return question{more: n.top>>fine > s.known.points, less: n.cost() < s.known.key>>countBits}
}

// close takes a bound into account and reports whether nothing is open any more.
func (q *question) close(s *search, top int64, m *prices) bool {
	if q.more && top>>fine <= s.known.points {
		q.more = false
	}
	if q.less && (top-s.p.worth(m.budget, s.margin(), false))>>fine < s.known.points {
		q.less = false
	}
	return !q.more && !q.less
}

// margin is what a set has to leave of the budget to be cheaper than the best set
// known; or, where ties are settled, to be no dearer.
func (s *search) margin() int64 {
	spare := s.p.budget - s.known.key>>countBits
	if s.ties {
		return max(0, spare)
	}
	return max(0, spare+1)
}

// hopeless reports whether prices show that nothing that a node can end with is
// better than the best set known.
func (s *search) hopeless(d int, n *node, sums []int32, pool ...*prices) bool {
	q := question{true, true}
	if s.known.found {
		q = s.asked(n)
	}
	for k := len(pool) - 1; k >= 0; k-- {
		top := s.ceiling(d, n, sums, pool[k])
		n.top = min(n.top, top)
		if s.known.found && q.close(s, top, pool[k]) {
			return true
		}
	}
	return false
}

// sharpen tunes prices for the layer's most promising node and holds the layer
// against them; then others for each block of nodes, which are near relatives.
func (s *search) sharpen(d int, l *layer) {
	if len(l.nodes) < 8 {
		return
	}
	top := 0
	for i := range l.nodes {
		if l.nodes[i].top > l.nodes[top].top {
			top = i
		}
	}
	m := s.tunedFor(d, l, top, layerSteps)
	if s.pool = append(s.pool, m); len(s.pool) > poolSize {
		s.pool = append(s.pool[:2], s.pool[3:]...)
	}
	s.hold(d, l, len(l.nodes), func(int) *prices { return m })
	if len(l.nodes) >= 2*block && s.known.found {
		s.hold(d, l, block, func(from int) *prices {
			return s.tunedFor(d, l, min(from+block/2, len(l.nodes)-1), blockSteps)
		})
	}
}

// tunedFor are prices for one node of a layer, from the newest of the pool.
func (s *search) tunedFor(d int, l *layer, i, steps int) *prices {
	s.forLess = s.known.found && l.nodes[i].top>>fine <= s.known.points
	return s.tuned(d, &l.nodes[i], l.sumsOf(i), s.pool[len(s.pool)-1], steps)
}

// hold leaves out the nodes that the prices of their block show to be hopeless.
func (s *search) hold(d int, l *layer, size int, of func(from int) *prices) {
	kept := 0
	var m *prices
	for i := range l.nodes {
		if i%size == 0 {
			m = of(i)
		}
		if s.hopeless(d, &l.nodes[i], l.sumsOf(i), m) {
			continue
		}
		l.nodes[kept] = l.nodes[i]
		copy(l.sumsOf(kept), l.sumsOf(i))
		kept++
	}
	l.nodes, l.sums = l.nodes[:kept], l.sums[:kept*l.width]
}
