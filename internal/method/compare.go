package method

import (
	"cmp"
	"maps"
	"slices"

	"github.com/shopspring/decimal"
)

// Comparison says what moved between two results.
type Comparison struct {
	Zones     []ZoneChanged   `json:"zones"` // what is different about the zones themselves
	Tasks     []TaskMoved     `json:"tasks"`
	Materials []MaterialMoved `json:"materials"`
}

// TaskMoved is a task whose hours are not what they were.
type TaskMoved struct {
	Task   string          `json:"task"`
	Name   string          `json:"name,omitempty"`
	Before ThreePoint      `json:"before"`
	After  ThreePoint      `json:"after"`
	Moved  decimal.Decimal `json:"moved"` // likely hours before rounding; the sum of By
	By     []Moved         `json:"by"`
	Words  string          `json:"words"`
}

// MaterialMoved is a material of a task whose quantity is not what it was.
type MaterialMoved struct {
	Task     string          `json:"task"`
	Material string          `json:"material"`
	Name     string          `json:"name,omitempty"`
	Unit     string          `json:"unit"`
	Before   decimal.Decimal `json:"before"`
	After    decimal.Decimal `json:"after"`
	Moved    decimal.Decimal `json:"moved"` // before rounding; the sum of By
	By       []Moved         `json:"by"`
	Words    string          `json:"words"`
}

// Moved is what one rule makes more, or less where Amount is negative, for one
// zone. Without a zone it is the fixed amount of the rule.
type Moved struct {
	Zone   string          `json:"zone,omitempty"`
	Name   string          `json:"name,omitempty"`
	Rule   string          `json:"rule"`
	Amount decimal.Decimal `json:"amount"`
	Why    string          `json:"why"`
	Words  string          `json:"words"`
	exact  ratio
}

// goods is what a task takes: hours where the material is empty.
type goods struct {
	target
	unit string
}

// spot is the place of an amount in a result; without a zone, of a fixed one.
type spot struct {
	goods
	rule, zone string
}

// Compare says per task and material what moved from before to after, by which
// zone and why. Both results must come from Compute: the reasons are read from
// their inputs. The moves of a task add up to what its likely hours moved
// before rounding, exactly. O(size of both results).
func Compare(before, after Result) Comparison {
	c := comparing{before: before, after: after, was: before.Input.index(), is: after.Input.index()}
	moves := c.moves()
	out := Comparison{Zones: c.zones(), Tasks: []TaskMoved{}, Materials: []MaterialMoved{}}
	for _, g := range c.goods() {
		if g.material == "" {
			if m := c.task(g, moves[g]); len(m.By) > 0 || !m.Before.equal(m.After) {
				out.Tasks = append(out.Tasks, m)
			}
		} else if m := c.material(g, moves[g]); len(m.By) > 0 {
			out.Materials = append(out.Materials, m)
		}
	}
	return out
}

// comparing holds both results with their rules and zones by key.
type comparing struct {
	before, after Result
	was, is       index
}

// goods lists what either result has, sorted.
func (c comparing) goods() []goods {
	all := map[goods]bool{}
	for _, r := range []Result{c.before, c.after} {
		for _, t := range r.Tasks {
			all[goods{target{t.Task, ""}, "h"}] = true
		}
		for _, m := range r.Materials {
			all[goods{target{m.Task, m.Material}, m.Unit}] = true
		}
	}
	return slices.SortedFunc(maps.Keys(all), func(a, b goods) int {
		return cmp.Or(cmp.Compare(a.task, b.task), cmp.Compare(a.material, b.material), cmp.Compare(a.unit, b.unit))
	})
}

// amounts lays a result out by place.
func (r Result) amounts() map[spot]ratio {
	out := map[spot]ratio{}
	lay := func(g goods, rules []Made) {
		for _, m := range rules {
			out[spot{g, m.Rule, ""}] = ratioOf(m.Fixed.Rat())
			for _, s := range m.Zones {
				out[spot{g, m.Rule, s.Zone}] = s.exact
			}
		}
	}
	for _, t := range r.Tasks {
		lay(goods{target{t.Task, ""}, "h"}, t.Rules)
	}
	for _, m := range r.Materials {
		lay(goods{target{m.Task, m.Material}, m.Unit}, m.Rules)
	}
	return out
}

// moves lists what is different, by zone in the order of the frame and then by
// rule, fixed amounts last.
func (c comparing) moves() map[goods][]Moved {
	was, is := c.before.amounts(), c.after.amounts()
	out := map[goods][]Moved{}
	all := maps.Clone(was)
	maps.Copy(all, is)
	for s := range all {
		diff := whole(0)
		if is[s].known() {
			diff = is[s]
		}
		if was[s].known() {
			diff = diff.minus(was[s])
		}
		if diff.sign() != 0 {
			out[s.goods] = append(out[s.goods], c.moved(s, diff))
		}
	}
	for _, moves := range out {
		slices.SortFunc(moves, func(a, b Moved) int {
			return cmp.Or(cmp.Compare(c.place(a.Zone), c.place(b.Zone)), cmp.Compare(a.Rule, b.Rule))
		})
	}
	return out
}

// place is where a zone stands: in the new frame, then those that are gone.
func (c comparing) place(zone string) int {
	if z, ok := c.is.zones[zone]; ok {
		return z
	}
	if z, ok := c.was.zones[zone]; ok {
		return len(c.is.zones) + z
	}
	return len(c.is.zones) + len(c.was.zones)
}

func (c comparing) moved(s spot, diff ratio) Moved {
	m := Moved{Zone: s.zone, Rule: s.rule, Amount: diff.round(shownPlaces), Why: c.why(s), exact: diff}
	where := "Once for the task"
	if s.zone != "" {
		m.Name = c.zoneName(s.zone)
		where = m.Name
	}
	m.Words = where + ": " + more(diff, s.unit) + " by " + quoted(c.ruleName(s.rule)) + ", " + m.Why + "."
	return m
}

func (c comparing) task(g goods, by []Moved) TaskMoved {
	m := TaskMoved{Task: g.task, Name: c.after.Input.Known.task(g.task), By: list(by)}
	for _, t := range c.before.Tasks {
		if t.Task == g.task {
			m.Before = t.Hours
		}
	}
	for _, t := range c.after.Tasks {
		if t.Task == g.task {
			m.After = t.Hours
		}
	}
	moved := movedTotal(by)
	m.Moved = moved.round(shownPlaces)
	m.Words = m.Name + ": likely " + m.Before.Likely.StringFixed(hourPlaces) + " h to " + m.After.Likely.StringFixed(hourPlaces) + " h, " + more(moved, g.unit) + "."
	if len(by) == 0 {
		m.Words = m.Name + ": only the low and high hours moved, because the spread of a rule was changed."
	}
	return m
}

func (c comparing) material(g goods, by []Moved) MaterialMoved {
	m := MaterialMoved{Task: g.task, Material: g.material, Name: c.after.Input.Known.material(g.material), Unit: g.unit, By: list(by)}
	for _, t := range c.before.Materials {
		if (goods{target{t.Task, t.Material}, t.Unit}) == g {
			m.Before = t.Quantity
		}
	}
	for _, t := range c.after.Materials {
		if (goods{target{t.Task, t.Material}, t.Unit}) == g {
			m.After = t.Quantity
		}
	}
	moved := movedTotal(by)
	m.Moved = moved.round(shownPlaces)
	m.Words = m.Name + ": " + figure(m.Before.String(), g.unit) + " to " + figure(m.After.String(), g.unit) + ", " + more(moved, g.unit) + "."
	return m
}

func (h ThreePoint) equal(other ThreePoint) bool {
	return h.Low.Equal(other.Low) && h.Likely.Equal(other.Likely) && h.High.Equal(other.High)
}

func list(by []Moved) []Moved { return append([]Moved{}, by...) }

func movedTotal(by []Moved) ratio {
	t := whole(0)
	for _, m := range by {
		t = t.plus(m.exact)
	}
	return t
}

// more says a difference: 0.5 h more, 2 kg less.
func more(diff ratio, unit string) string {
	if diff.sign() < 0 {
		return shown(whole(0).minus(diff), unit) + " less"
	}
	return shown(diff, unit) + " more"
}
