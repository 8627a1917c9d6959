package points

import (
	"cmp"
	"slices"
)

// row is a node of a layer with the hash of what the rest can feel of it.
type row struct {
	hash uint64
	at   int
}

// sieve leaves out nodes that another dominates and, where width is given, all
// but the most promising ones.
func (s *search) sieve(d int, l *layer, width int) {
	s.dominate(l)
	s.outdone(d, l)
	if width > 0 && len(l.nodes) > width {
		s.narrow(l, width)
	}
}

// dominate goes through nodes that agree in what the rest can feel, from the most
// points down, and keeps those that cost less than all before.
func (s *search) dominate(l *layer) {
	s.rows = s.rows[:0]
	for i := range l.nodes {
		s.rows = append(s.rows, row{l.hash(i), i})
	}
	slices.SortFunc(s.rows, func(a, b row) int {
		if a.hash != b.hash {
			return cmp.Compare(a.hash, b.hash)
		}
		m, n := &l.nodes[a.at], &l.nodes[b.at]
		if c := cmp.Or(cmp.Compare(n.points, m.points), cmp.Compare(m.key, n.key)); c != 0 {
			return c
		}
		if m.taken.before(n.taken) {
			return -1
		}
		return 1
	})
	last := -1
	keep := s.rows[:0]
	for _, r := range s.rows {
		if last >= 0 && l.agree(last, r.at) && l.nodes[r.at].key >= l.nodes[last].key {
			continue
		}
		last = r.at
		keep = append(keep, r)
	}
	l.pick(keep)
}

// narrow keeps the nodes with the highest bounds and notes the highest of the
// rest.
func (s *search) narrow(l *layer, width int) {
	s.rows = s.rows[:0]
	for i := range l.nodes {
		s.rows = append(s.rows, row{0, i})
	}
	slices.SortFunc(s.rows, func(a, b row) int {
		m, n := &l.nodes[a.at], &l.nodes[b.at]
		return cmp.Or(cmp.Compare(n.top, m.top), cmp.Compare(a.at, b.at))
	})
	for _, r := range s.rows[width:] {
		s.dropped = max(s.dropped, l.nodes[r.at].top)
	}
	l.pick(s.rows[:width])
}

// pick leaves only these nodes.
func (l *layer) pick(rows []row) {
	slices.SortFunc(rows, func(a, b row) int { return cmp.Compare(a.at, b.at) })
	for k, r := range rows {
		l.nodes[k] = l.nodes[r.at]
		copy(l.sumsOf(k), l.sumsOf(r.at))
	}
	l.nodes, l.sums = l.nodes[:len(rows)], l.sums[:len(rows)*l.width]
}

// agree reports whether the rest cannot tell two nodes apart but by points and
// cost.
func (l *layer) agree(a, b int) bool {
	m, n := &l.nodes[a], &l.nodes[b]
	return m.barred == n.barred && m.met == n.met && slices.Equal(l.sumsOf(a), l.sumsOf(b))
}

func (l *layer) hash(i int) uint64 {
	n := &l.nodes[i]
	h := uint64(14695981039346656037)
	mix := func(v uint64) { h = (h ^ v ^ v>>29) * 1099511628211 }
	mix(n.barred[0])
	mix(n.barred[1])
	mix(n.met)
	for _, v := range l.sumsOf(i) {
		mix(uint64(uint32(v)))
	}
	return h
}
