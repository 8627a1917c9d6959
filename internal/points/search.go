package points

import (
	"cmp"
	"context"
	"slices"
)

// search goes through the layers of a problem for one aim.
type search struct {
	p     *problem
	ctx   context.Context
	aim   aim
	known known
	later []set // by layer: the positions from it on
	nodes int
	limit int
	pool  []*prices // newest last

	stopped bool
	dropped int64 // the highest bound of what was not looked at; none when lowest

	// Room to work in.
	up, down, unitWorth []int64
	left                []int32
	picked, units       []int
	unitAt              []int
	slopes              *prices
	rows                []row
	water               [2]layer
}

// aim is what a search has to find or to show that there is none.
type aim int

const (
	more aim = iota // a set that buys more points
	less            // one that buys as much for less, with fewer options or earlier ids
)

// known is the best set known, in units of the problem.
type known struct {
	found  bool
	points int64
	key    int64
	taken  set
}

const lowest = -1 << 62

// Widths of the first runs, which find good sets, and of what is still done after
// a stop.
const (
	narrow     = 24
	wider      = 400
	stopWidth  = 24
	rootSteps  = 120
	layerSteps = 16
	poolSize   = 3
)

func newSearch(ctx context.Context, p *problem, aim aim, limit int) *search {
	n := len(p.choices)
	s := &search{p: p, ctx: ctx, aim: aim, limit: limit, later: make([]set, n+1), dropped: lowest,
		up: make([]int64, len(p.aspects)), down: make([]int64, len(p.aspects)), left: make([]int32, len(p.aspects)),
		unitAt: make([]int, len(p.units)), unitWorth: make([]int64, len(p.units))}
	s.slopes = s.newPrices()
	for d := n - 1; d >= 0; d-- {
		s.later[d] = s.later[d+1].with(d)
	}
	for u := range s.unitAt {
		s.unitAt[u] = -1
	}
	return s
}

// run looks for the best set, first narrowly, then at all that is left.
func (s *search) run(widths ...int) {
	root := node{top: 1 << 62}
	first := s.firstPrices(&root)
	for _, width := range append(widths, 0) {
		s.pool = append(s.pool[:0], s.tuned(0, &root, nil, first, rootSteps))
		first = s.pool[0]
		s.dropped = lowest
		if !s.hopeless(0, &root, nil, s.pool...) {
			s.through(width)
		}
		if s.stopped || s.dropped == lowest {
			return
		}
	}
}

// through goes through all layers with at most width nodes in each; 0 is any
// number.
func (s *search) through(width int) {
	var from, to layer
	from.reset(0)
	from.nodes = append(from.nodes, node{top: 1 << 62})
	for d := range s.p.choices {
		to.reset(len(s.p.open[d+1]))
		s.expand(d, &from, &to)
		if d+1 < len(s.p.choices) {
			s.sharpen(d+1, &to)
		}
		if s.stopped {
			width = stopWidth
		}
		s.sieve(d+1, &to, width)
		s.dive(d+1, &to)
		from, to = to, from
	}
	for i := range from.nodes {
		s.offer(&from.nodes[i])
	}
}

// expand makes the children of a layer that are not hopeless.
func (s *search) expand(d int, from, to *layer) {
	for i := range from.nodes {
		n := &from.nodes[i]
		if !s.stopped && s.over() {
			s.stopped = true
		}
		if s.stopped && i >= stopWidth {
			s.dropped = max(s.dropped, n.top)
			continue
		}
		for _, take := range [...]bool{true, false} {
			if take && n.barred.has(d) || !s.grown(d, n, from.sumsOf(i), take, to) {
				continue
			}
			s.nodes++
			last := len(to.nodes) - 1
			if s.hopeless(d+1, &to.nodes[last], to.sumsOf(last), s.pool...) {
				to.nodes, to.sums = to.nodes[:last], to.sums[:last*to.width]
			}
		}
	}
}

// over reports whether the search has come to a limit.
func (s *search) over() bool {
	return s.nodes >= s.limit || s.nodes&1023 == 0 && s.ctx.Err() != nil
}

// hopeless reports whether some of the prices show that nothing that a node can
// end with is what is aimed at.
func (s *search) hopeless(d int, n *node, sums []int32, pool ...*prices) bool {
	if s.aim == less && n.key > s.known.key {
		return true
	}
	spare := s.p.budget - s.known.key>>countBits // of the budget, beside the known set
	many := s.aim == less && s.tooMany(d, n, sums)
	for k := len(pool) - 1; k >= 0; k-- {
		m := pool[k]
		top := s.ceiling(d, n, sums, m)
		n.top = min(n.top, top)
		switch {
		case !s.known.found:
			return false
		case s.aim == more && top>>fine <= s.known.points:
			return true
		case s.aim == less && (top-s.p.worth(m.budget, spare, false))>>fine < s.known.points:
			return true
		case many && (top-s.p.worth(m.budget, spare+1, false))>>fine < s.known.points:
			return true // not for less, and for as much only with too many
		}
	}
	return false
}

// sharpen tunes prices for the layer's most promising node and holds the layer
// against them.
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
	m := s.tuned(d, &l.nodes[top], l.sumsOf(top), s.pool[len(s.pool)-1], layerSteps)
	if s.pool = append(s.pool, m); len(s.pool) > poolSize {
		s.pool = slices.Delete(s.pool, 1, 2)
	}
	kept := 0
	for i := range l.nodes {
		if s.hopeless(d, &l.nodes[i], l.sumsOf(i), m) {
			continue
		}
		l.nodes[kept] = l.nodes[i]
		copy(l.sumsOf(kept), l.sumsOf(i))
		kept++
	}
	l.nodes, l.sums = l.nodes[:kept], l.sums[:kept*l.width]
}

// offer keeps a complete set when it is the best known.
func (s *search) offer(n *node) {
	points := s.p.base + n.points
	k := &s.known
	if k.found {
		order := cmp.Or(cmp.Compare(points, k.points), cmp.Compare(k.key, n.key))
		if order < 0 || order == 0 && !n.taken.before(k.taken) {
			return
		}
	}
	*k = known{true, points, n.key, n.taken}
}
