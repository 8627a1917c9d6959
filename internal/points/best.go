package points

import (
	"context"
	"fmt"
)

// outcome is what the searches for one budget have shown.
type outcome struct {
	status Status
	found  bool
	done   []int // options in the order of the input
	cost   int64
	points Points
	bound  Points
	nodes  int
	proved aim // the last aim that was shown to be beyond reach, with Stopped
}

// within looks for the best set within a budget; -1 is no bound. Most points come
// first, then the least cost of those with its ties: each is a search of its own, with a budget just as large as it needs, because a bound that is
// good at the one is poor at the other.
func (j *job) within(ctx context.Context, budget int64) outcome {
	o := outcome{status: Impossible, proved: -1}
	if j.search(ctx, more, budget, &o); o.status == Optimal {
		o.proved = more
		j.search(ctx, less, o.cost, &o)
	}
	return o
}

// search runs one search and takes over what it has found and shown.
func (j *job) search(ctx context.Context, aim aim, budget int64, o *outcome) {
	p := j.problem(budget)
	if p == nil {
		return // no groups are kept for less
	}
	s := newSearch(ctx, p, aim, max(1, j.nodes))
	if o.found {
		s.known = j.known(p, o)
	}
	if aim == more {
		s.run(narrow, wider)
	} else {
		s.run(narrow)
	}
	j.nodes -= s.nodes
	o.nodes += s.nodes
	if s.known.found {
		o.found, o.status = true, Optimal
		o.points, o.cost, o.done = Points(s.known.points*p.unit), s.known.key>>countBits, j.doneBy(s.known.taken)
		o.bound = o.points
	}
	if s.stopped && s.dropped != lowest {
		o.status = Stopped
		if top := s.dropped >> fine; aim == more && (!s.known.found || top > s.known.points) {
			o.bound = Points(top * p.unit)
		}
	}
}

// known is the set of an outcome in the units of p. It may hold options that p
// leaves out, which p then knows to be no part of a better one.
func (j *job) known(p *problem, o *outcome) known {
	k := known{found: true, points: int64(o.points) / p.unit, key: o.cost<<countBits + int64(len(o.done))}
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

func (j *job) best(ctx context.Context) Best {
	o := j.within(ctx, j.budget)
	b := Best{Status: o.status, Bound: o.bound, Nodes: o.nodes, Items: []ItemAfter{}}
	if o.found {
		b.Selection = j.selection(o.done)
		b.Items, _ = j.after(o.done)
	}
	b.Words = j.words(b, o.proved)
	return b
}

// words say what was shown and how.
func (j *job) words(b Best, proved aim) []string {
	budget := "any budget"
	if j.in.Budget != "" {
		budget = fmt.Sprintf("%s %s", j.in.Budget, j.in.Currency)
	}
	if b.Status == Impossible {
		return []string{fmt.Sprintf("No set of options keeps the groups within %s.", budget)}
	}
	var out []string
	if s := b.Selection; s != nil {
		out = append(out, fmt.Sprintf("%d of %d options for %s %s buy %s points: %s for originality and %s for condition.",
			len(s.Options), len(j.options), s.Cost, j.in.Currency, s.Bought.Total(), s.Bought.Originality, s.Bought.Condition))
	}
	if b.Status == Stopped && proved >= more {
		return append(out, fmt.Sprintf("No set within %s buys more. Whether a cheaper or smaller one buys as much was not shown: the search was stopped after %d nodes.", budget, b.Nodes))
	}
	if b.Status == Stopped {
		return append(out, fmt.Sprintf("The search was stopped after %d nodes: no set within %s buys more than %s points.", b.Nodes, budget, b.Bound))
	}
	return append(out, fmt.Sprintf("No set within %s buys more, and none that buys as much costs less: shown with %d nodes.", budget, b.Nodes))
}

// frontier goes from the dear end down: the best set of each budget just below
// the cost of the one before.
func (j *job) frontier(ctx context.Context, best Best) *Frontier {
	f := &Frontier{Status: best.Status, Sets: []Selection{}}
	if best.Selection == nil || best.Status != Optimal {
		return f
	}
	for s := best.Selection; ; {
		f.Sets = append(f.Sets, *s)
		cost := s.Cost.Minor()
		if cost == 0 {
			break
		}
		o := j.within(ctx, cost-1)
		f.Nodes += o.nodes
		if o.status != Optimal {
			if o.status == Stopped {
				f.Status = Stopped
			}
			break
		}
		s = j.selection(o.done)
	}
	for a, b := 0, len(f.Sets)-1; a < b; a, b = a+1, b-1 {
		f.Sets[a], f.Sets[b] = f.Sets[b], f.Sets[a]
	}
	return f
}
