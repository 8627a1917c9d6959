package points

// fixes are options that are decided, by place in the input: no set with them
// otherwise is better than the best known.
type fixes struct{ in, out set }

// fix holds each option, taken and left, against the bound with all that either
// entails, and fixes it the other way where that is hopeless: fixing by reduced
// cost, as in Pisinger, A minimal algorithm for the multiple-choice knapsack
// problem, European Journal of Operational Research 83, 1995.
func (s *search) fix(f fixes) fixes {
	if !s.known.found {
		return f
	}
	for pos := range s.p.choices {
		c := &s.p.choices[pos]
		if s.hopelessWith(c) {
			f.out = f.out.with(c.option)
		} else if s.hopelessWithout(pos) {
			for _, q := range c.needs.list() {
				f.in = f.in.with(s.p.choices[q].option)
			}
		}
	}
	return f
}

func (s *search) hopelessWithout(pos int) bool {
	n := s.p.start
	n.barred = s.p.choices[pos].ifLeft.with(pos)
	return !s.canMeet(0, &n) || s.hopeless(0, &n, nil, s.pool...)
}

// hopelessWith adds what a choice and its requirements are worth to the bound of
// the rest, whether or not that is anything.
func (s *search) hopelessWith(c *choice) bool {
	cost := int64(0)
	for _, q := range c.needs.list() {
		cost += s.p.choices[q].cost
	}
	if !c.entailed.and(c.needs).empty() || cost > s.p.budget {
		return true
	}
	n := s.p.start
	o := s.asked(&n)
	for _, m := range s.pool {
		worth := int64(0)
		n.barred = c.entailed
		copy(s.up, m.up)
		copy(s.down, m.down)
		for _, q := range c.needs.list() {
			worth += s.worth(0, q, &n, m)
		}
		n.barred = c.entailed.plus(c.needs)
		if o.close(s, s.ceiling(0, &n, nil, m)+worth, m) {
			return true
		}
	}
	return false
}

// entail fills in what each choice requires, with what that requires, and all
// that cannot be beside it.
func (p *problem) entail() {
	for pos := range p.choices { // what is required comes first
		c := &p.choices[pos]
		c.needs = c.needs.with(pos)
		for _, k := range c.edges {
			if e := p.edges[k]; e.from == pos {
				c.needs = c.needs.plus(p.choices[e.needs].needs)
			}
		}
		for _, q := range c.needs.list() {
			c.entailed = c.entailed.plus(p.choices[q].conflicts)
		}
	}
}
