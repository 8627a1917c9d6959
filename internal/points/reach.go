package points

import (
	"cmp"
	"slices"
)

// levels are the steps in which the budget left is known to the reach of the
// rest.
const levels = 16

// level is that of a budget left, rounded up.
func (p *problem) level(left int64) int {
	if p.budget == 0 {
		return levels
	}
	return int((left*levels + p.budget - 1) / p.budget)
}

// layers works out for each layer which aspects are open and how far the rest
// can still move each.
func (p *problem) layers() {
	n := len(p.choices)
	p.open = make([][]int, n+1)
	for i := range p.aspects {
		a := &p.aspects[i]
		a.gain, a.harm = make([][levels + 1]int64, n+1), make([][levels + 1]int64, n+1)
		for d := n - 1; d >= 0; d-- {
			a.gain[d], a.harm[d] = a.gain[d+1], a.harm[d+1]
			if p.choices[d].touches(i) {
				a.gain[d], a.harm[d] = p.reach(i, d, 1), p.reach(i, d, -1)
			}
		}
		for d := range n + 1 {
			if a.first < d && a.gain[d][levels]+a.harm[d][levels] > 0 {
				p.open[d] = append(p.open[d], i)
			}
		}
		// A sum that nothing can bring below the maximum is as good as any other such.
		a.sum = min(a.sum, a.maximum+a.gain[0][levels])
	}
}

func (c *choice) touches(aspect int) bool {
	return slices.ContainsFunc(c.deltas, func(e delta) bool { return e.aspect == aspect })
}

// move is how far a choice or a unit can move an aspect, and for how much.
type move struct{ amount, cost int64 }

// reach is the most that the choices from layer d on can move an aspect in one
// direction, for each level of the budget: the best worth for money first, the
// last one in part, one of each unit.
func (p *problem) reach(aspect, d int, direction int64) (most [levels + 1]int64) {
	moves := p.moves(aspect, d, direction)
	slices.SortFunc(moves, func(a, b move) int {
		if a.cost == 0 || b.cost == 0 {
			return cmp.Compare(a.cost, b.cost)
		}
		return cmp.Compare(part(1<<fine, b.amount, b.cost, false), part(1<<fine, a.amount, a.cost, false))
	})
	for l := range most {
		left := part(p.budget, int64(l), levels, true)
		for _, m := range moves {
			if m.cost > left {
				most[l] += part(m.amount, left, m.cost, true)
				break
			}
			most[l], left = most[l]+m.amount, left-m.cost
		}
	}
	return most
}

func (p *problem) moves(aspect, d int, direction int64) []move {
	var out []move
	units := map[int]int{}
	for _, c := range p.choices[d:] {
		for _, e := range c.deltas {
			amount := e.amount * direction
			if e.aspect != aspect || amount <= 0 {
				continue
			}
			k, shared := units[c.unit]
			if c.unit >= 0 && shared {
				out[k] = move{max(out[k].amount, amount), min(out[k].cost, c.cost)}
				continue
			}
			units[c.unit] = len(out)
			out = append(out, move{amount, c.cost})
		}
	}
	return out
}
