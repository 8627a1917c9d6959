package points

import (
	"context"
	"fmt"
)

// best is the best set within the budget.
func (j *job) best(ctx context.Context) Best {
	o := j.within(ctx, j.budget)
	b := Best{Status: o.status, Bound: o.bound, Nodes: o.nodes, Items: []ItemAfter{}}
	if o.found {
		b.Selection = j.selection(o.done)
		b.Items, _ = j.after(o.done)
	}
	b.Words = j.words(b, o.settled)
	return b
}

// words say what was shown and how.
func (j *job) words(b Best, settled bool) []string {
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
	if s := b.Selection; b.Status == Stopped && s != nil && s.Bought.Total() == b.Bound {
		return append(out, fmt.Sprintf("No set within %s buys more. Whether a cheaper or smaller one buys as much was not shown: the search was stopped after %d nodes.", budget, b.Nodes))
	}
	if b.Status == Stopped {
		return append(out, fmt.Sprintf("The search was stopped after %d nodes: no set within %s buys more than %s points.", b.Nodes, budget, b.Bound))
	}
	out = append(out, fmt.Sprintf("No set within %s buys more, and none that buys as much costs less: shown with %d nodes.", budget, b.Nodes))
	if !settled {
		out = append(out, "Another set may do the same with fewer options.")
	}
	return out
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
