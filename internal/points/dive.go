package points

// divers are how many nodes of a layer are completed at once.
const divers = 6

// dive completes the most promising nodes of a layer the way the relaxed choice
// does, as far as it can be done, and so finds good sets early.
func (s *search) dive(d int, l *layer) {
	if len(l.nodes) == 0 {
		return
	}
	m := s.pool[len(s.pool)-1]
	step := max(1, len(l.nodes)/divers)
	before := s.known
	for i := 0; i < len(l.nodes); i += step {
		s.complete(d, l, i, m)
	}
	if s.known != before {
		s.improve()
	}
}

// complete takes one node down to the last layer.
func (s *search) complete(d int, l *layer, i int, m *prices) {
	n := len(s.p.choices)
	from, to := &s.water[0], &s.water[1]
	from.reset(l.width)
	from.nodes, from.sums = append(from.nodes, l.nodes[i]), append(from.sums, l.sumsOf(i)...)
	for ; d < n; d++ {
		node, sums := &from.nodes[0], from.sumsOf(0)
		to.reset(len(s.p.open[d+1]))
		s.ceiling(d, node, sums, m)
		wanted := !node.barred.has(d) && s.wants(d)
		if !(wanted && s.grown(d, node, sums, true, to)) && !s.grown(d, node, sums, false, to) {
			if node.barred.has(d) || !s.grown(d, node, sums, true, to) {
				return
			}
		}
		from, to = to, from
	}
	s.offer(&from.nodes[0])
}

// wants reports whether the relaxed choice takes the next position.
func (s *search) wants(d int) bool {
	for _, pos := range s.picked {
		if pos == d {
			return true
		}
	}
	return false
}
