package points

import (
	"cmp"
	"slices"
)

// champions are how many nodes of a layer the others are held against.
const champions = 32

// outdone leaves out nodes that another outdoes whatever the rest does: one with
// no more cost, nothing barred that the other has not, and more points even
// where its sums left are worse. The nodes are gone through by cost.
func (s *search) outdone(d int, l *layer) {
	s.rows = s.rows[:0]
	for i := range l.nodes {
		s.rows = append(s.rows, row{0, i})
	}
	slices.SortFunc(s.rows, func(a, b row) int {
		m, n := &l.nodes[a.at], &l.nodes[b.at]
		return cmp.Or(cmp.Compare(m.key, n.key), cmp.Compare(n.top, m.top), cmp.Compare(a.at, b.at))
	})
	var best []int
	keep := s.rows[:0]
	for _, r := range s.rows {
		if slices.ContainsFunc(best, func(c int) bool { return s.outdoes(d, l, c, r.at) }) {
			continue
		}
		keep = append(keep, r)
		best = l.champion(best, r.at)
	}
	l.pick(keep)
}

// champion lets a node take the place of the champion with the lowest bound.
func (l *layer) champion(best []int, at int) []int {
	if len(best) < champions {
		return append(best, at)
	}
	low := 0
	for k := range best {
		if l.nodes[best[k]].top < l.nodes[best[low]].top {
			low = k
		}
	}
	if l.nodes[best[low]].top < l.nodes[at].top {
		best[low] = at
	}
	return best
}

// outdoes reports whether node a, which costs no more than b, ends no worse than b
// with every rest that b can have.
func (s *search) outdoes(d int, l *layer, a, b int) bool {
	m, n := &l.nodes[a], &l.nodes[b]
	if m.met != n.met || !m.barred.minus(n.barred).empty() {
		return false
	}
	ahead := m.points - n.points
	level := s.p.level(s.p.budget - n.cost())
	left, other := l.sumsOf(a), l.sumsOf(b)
	for k, i := range s.p.open[d] {
		if left[k] != other[k] {
			as := &s.p.aspects[i]
			ahead += leastAhead(int64(left[k]), int64(other[k]), as.maximum, as.gain[d][level], as.harm[d][level])
		}
	}
	if m.key == n.key && ahead == 0 {
		return m.taken.before(n.taken)
	}
	return ahead >= 0
}

// leastAhead is the least by which the deduction still to come on an aspect is
// lower with a sum left of l than with one of o, over all that the rest can do.
// Both are straight between corners, so it is at a corner or an end.
func leastAhead(l, o, maximum, gain, harm int64) int64 {
	least := int64(1) << 40
	for _, at := range [...]int64{gain, -harm, l, l - maximum, o, o - maximum} {
		if at <= gain && at >= -harm {
			least = min(least, toCome(o, at, maximum)-toCome(l, at, maximum))
		}
	}
	return least
}

// toCome is the deduction not yet among the points when the rest takes off so
// much.
func toCome(left, off, maximum int64) int64 {
	switch left {
	case closed:
		return 0
	case linear:
		return -off
	}
	return clamp(left-off, maximum)
}
