package points

import (
	"cmp"
	"context"
)

// search goes through the layers of a problem for one aim.
type search struct {
	p       *problem
	ctx     context.Context
	ties    bool // points and cost are settled; fewer options or earlier ids are looked for
	forLess bool // prices are tuned to show that nothing is as good for less
	known   known
	later   []set // by layer: the positions from it on
	nodes   int
	limit   int
	pool    []*prices // newest last

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

// known is the best set known, in units of the problem.
type known struct {
	found  bool
	points int64
	key    int64
	taken  set
}

const lowest = -1 << 62

const (
	narrow     = 24 // width of the first run, which finds good sets
	stopWidth  = 24 // and of what is still done after a stop
	poolSize   = 4  // prices: two for the root, the others for the last layers
	block      = 48 // nodes that share prices of their own
	rootSteps  = 120
	layerSteps = 16
	blockSteps = 24
)

func newSearch(ctx context.Context, p *problem, limit int) *search {
	n := len(p.choices)
	s := &search{p: p, ctx: ctx, limit: limit, later: make([]set, n+1), dropped: lowest,
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

// run looks for the best set with at most width nodes in each layer; 0 is any
// number.
func (s *search) run(width int) {
	s.dropped = lowest
	s.prepare()
	root := s.p.start
	if !s.hopeless(0, &root, nil, s.pool...) {
		s.through(width)
	}
}

// prepare tunes the prices of the root, for either question.
func (s *search) prepare() {
	root := s.p.start
	first := s.firstPrices(&root)
	if len(s.pool) > 1 {
		first = s.pool[1]
	}
	s.forLess = false
	more := s.tuned(0, &root, nil, first, rootSteps)
	s.forLess = true
	s.pool = append(s.pool[:0], s.tuned(0, &root, nil, more, rootSteps/2), more)
}

// leftOut reports whether the last run left out what might be better.
func (s *search) leftOut() bool { return s.dropped != lowest }

// through goes through all layers.
func (s *search) through(width int) {
	var from, to layer
	from.reset(0)
	from.nodes = append(from.nodes, s.p.start)
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
