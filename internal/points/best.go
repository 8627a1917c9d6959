package points

import (
	"context"
	"fmt"
)

// outcome is what a search for one budget has shown.
type outcome struct {
	status Status
	done   []int // options in the order of the input; nil with found false
	found  bool
	cost   int64
	points Points
	bound  Points
	nodes  int
}

// within looks for the best set within a budget; -1 is no bound.
func (j *job) within(ctx context.Context, budget int64) outcome {
	p := j.problem(budget)
	if p == nil {
		return outcome{status: Impossible}
	}
	s := newSearch(ctx, p, max(1, j.nodes))
	s.run()
	j.nodes -= s.nodes
	o := outcome{status: Optimal, found: s.found, nodes: s.nodes, points: Points(s.points * p.unit), bound: Points(s.points * p.unit), cost: s.key >> countBits}
	if s.found {
		var done set
		for _, c := range p.choices {
			if s.taken.has(c.rank) {
				done = done.with(c.option)
			}
		}
		o.done = done.list()
	}
	switch {
	case s.stopped && s.dropped != lowest:
		o.status = Stopped
		if top := s.dropped >> fine; !s.found || top > s.points {
			o.bound = Points(top * p.unit)
		}
	case !s.found:
		o.status = Impossible
	}
	return o
}

func (j *job) best(ctx context.Context) Best {
	o := j.within(ctx, j.budget)
	b := Best{Status: o.status, Bound: o.bound, Nodes: o.nodes, Items: []ItemAfter{}}
	if o.found {
		b.Selection = j.selection(o.done)
		b.Items, _ = j.after(o.done)
	}
	b.Words = j.words(b)
	return b
}

// words say what was shown and how.
func (j *job) words(b Best) []string {
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
