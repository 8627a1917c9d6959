package points

// near is the part of the points that the bound may be off for exchanges with two
// options to be tried as well.
const near = 200

// improve betters the best set known by exchanging one option for another, with
// what either entails, as long as that helps.
func (s *search) improve() {
	for s.known.found && !s.over() && s.exchanged(false) {
	}
}

// improveNearBound looks for the last few points, which one exchange often misses
// by little: two options in the place of one.
func (s *search) improveNearBound() {
	root := s.p.start
	for s.known.found && !s.over() && !s.hopeless(0, &root, nil, s.pool...) && (root.top>>fine-s.known.points)*near <= s.known.points {
		if !s.exchanged(true) {
			return
		}
	}
}

// exchanged tries every option, or every two, in place of every other and beside
// all, and reports whether a better set came of it. Eight sets tried are about the
// work of a node.
func (s *search) exchanged(two bool) bool {
	p := s.p
	done := p.positions(s.known.taken)
	before := s.known
	for out := -1; out < len(p.choices) && !s.over() && !(two && s.known != before); out++ {
		if out >= 0 && !done.has(out) {
			continue
		}
		rest := done
		if out >= 0 {
			rest = done.minus(p.choices[out].ifLeft.with(out))
		}
		s.offerSet(rest)
		s.nodes += s.into(rest, out, 0, two) / 8
	}
	return s.known != before
}

// into offers a set with each position from first on added, and each two.
func (s *search) into(rest set, out, first int, two bool) (tried int) {
	for in := first; in < len(s.p.choices); in++ {
		if in == out || rest.has(in) {
			continue
		}
		c := &s.p.choices[in]
		all := rest.minus(c.entailed).plus(c.needs)
		tried++
		if s.offerSet(all); two {
			tried += s.into(all, out, in+1, false)
		}
	}
	return tried
}

// offerSet offers a set of positions that keeps requirements and exclusions, if
// it keeps the groups and the budget too.
func (s *search) offerSet(done set) {
	p := s.p
	for _, members := range p.exact {
		if members.and(done).empty() {
			return
		}
	}
	n := s.p.start
	for _, pos := range done.list() {
		n.key += p.choices[pos].cost<<countBits + 1
		n.taken = n.taken.with(p.choices[pos].rank)
	}
	if n.cost() > p.budget {
		return
	}
	for i := range p.aspects {
		s.up[i] = p.aspects[i].sum
	}
	for _, pos := range done.list() {
		for _, e := range p.choices[pos].deltas {
			s.up[e.aspect] -= e.amount
		}
	}
	for i := range p.aspects {
		n.points -= clamp(s.up[i], p.aspects[i].maximum)
	}
	s.offer(&n)
}

// positions are those of options by rank that are not fixed.
func (p *problem) positions(ranks set) (done set) {
	for pos := range p.choices {
		if ranks.has(p.choices[pos].rank) {
			done = done.with(pos)
		}
	}
	return done
}
