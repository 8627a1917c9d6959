package points

import "context"

const (
	rounds   = 3    // of fixing at most; the last problem is searched as it is
	tieNodes = 2000 // for the search among equal sets
)

// outcome is what the searches for one budget have shown.
type outcome struct {
	status  Status
	found   bool
	done    []int // options in the order of the input
	cost    int64
	points  Points
	bound   Points
	nodes   int
	settled bool // of equal sets it has the fewest options, and of those the first ids
}

// within looks for the best set within a budget; -1 is no bound.
func (j *job) within(ctx context.Context, budget int64) outcome {
	o := j.mostForLeast(ctx, budget)
	if o.status == Optimal && j.nodes > 0 {
		j.settle(ctx, &o)
	}
	return o
}

// mostForLeast looks for the most points within a budget, and of those the least
// cost. Options that the bound decides are fixed, and what is left is a smaller
// problem, in a better order and with a better bound.
func (j *job) mostForLeast(ctx context.Context, budget int64) outcome {
	o := outcome{status: Impossible}
	var f fixes
	for round := 0; ; round++ {
		p := j.problem(budget, f)
		if p == nil {
			return o // no other set keeps the groups
		}
		s := newSearch(ctx, p, max(1, j.nodes))
		s.known = j.known(p, &o)
		s.run(narrow)
		next := f
		if s.leftOut() && !s.stopped {
			s.improveNearBound()
			if round < rounds {
				next = s.fix(f)
			}
		}
		if next == f && s.leftOut() {
			s.run(0)
		}
		j.note(s, &o)
		if next == f || s.stopped {
			return o
		}
		f = next
	}
}

// note takes over what a search has found and shown.
func (j *job) note(s *search, o *outcome) {
	j.nodes -= s.nodes
	o.nodes += s.nodes
	if k := s.known; k.found {
		o.found, o.status = true, Optimal
		o.points, o.cost, o.done = Points(k.points*s.p.unit), k.key>>countBits+s.p.spent, j.doneBy(k.taken)
		o.bound = o.points
	}
	if s.stopped && s.leftOut() {
		o.status = Stopped
		if top := s.dropped >> fine; !s.known.found || top > s.known.points {
			o.bound = Points(top * s.p.unit)
		}
	}
}

// settle looks for fewer options and earlier ids among sets that buy as much for
// as little, as far as tieNodes go. Points and cost are proved before it begins.
func (j *job) settle(ctx context.Context, o *outcome) {
	s := j.tieSearch(ctx, o, fixes{})
	s.prepare()
	if s = j.tieSearch(ctx, o, s.fix(fixes{})); s == nil {
		o.settled = true
		return
	}
	s.run(0)
	o.settled = !s.leftOut()
	o.done = j.doneBy(s.known.taken)
	o.nodes += s.nodes
	j.nodes -= s.nodes
}

// tieSearch is nil where nothing is left to decide.
func (j *job) tieSearch(ctx context.Context, o *outcome, f fixes) *search {
	p := j.problem(o.cost, f)
	if p == nil {
		return nil
	}
	s := newSearch(ctx, p, min(tieNodes, j.nodes))
	s.known, s.ties = j.known(p, o), true
	return s
}

// known is the set of an outcome in the units of p. It may hold options that p
// leaves out, or lack some that p fixes in: p only knows that with them no set is
// better. So its cost beside the fixed ones may be below 0, or above all of p.
func (j *job) known(p *problem, o *outcome) known {
	if !o.found {
		return known{}
	}
	k := known{found: true, points: int64(o.points) / p.unit, key: (o.cost-p.spent)<<countBits + int64(len(o.done))}
	ranks := j.ranks()
	for _, i := range o.done {
		k.taken = k.taken.with(ranks[i])
	}
	return k
}

// doneBy turns a set of ranks into options in the order of the input.
func (j *job) doneBy(taken set) []int {
	var done []int
	for i, rank := range j.ranks() {
		if taken.has(rank) {
			done = append(done, i)
		}
	}
	return done
}
