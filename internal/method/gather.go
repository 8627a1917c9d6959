package method

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"bareframe/internal/fault"
)

// Compute applies a list to the zones of a frame. A list or zones that are not
// valid are a fault.Invalid "method-rules" with pointers into Input; amounts
// that outgrow every use are a fault.Invalid "method-amount".
// O(factors x zones) exact operations.
func Compute(in Input) (Result, error) {
	r := &reader{}
	return prepare(r, in.List, in.Known).compute(r, in.Zones)
}

// Compute is Compute for a list that was prepared.
func (p *Prepared) Compute(zones []Zone) (Result, error) { return p.compute(&reader{}, zones) }

func (p *Prepared) compute(r *reader, zones []Zone) (Result, error) {
	c := &reckoning{Prepared: p, zones: zones, facts: p.names.zones(r, zones)}
	if err := r.f.Err(code); err != nil {
		return Result{}, err
	}
	if p.factors*len(zones) > maxWork {
		return Result{}, fault.New(fault.Invalid, "method-amount", "%d factors for %d zones are too many to be reckoned at once", p.factors, len(zones))
	}
	made, err := c.run()
	if err != nil {
		return Result{}, err
	}
	return c.gather(made), nil
}

func (l List) factors() int {
	n := 0
	for _, rule := range l.Rules {
		for _, p := range rule.Parts {
			n += len(p.Factors)
		}
	}
	return n
}

// run applies the rules, each after those that it reads, and returns by
// position what they made.
func (c *reckoning) run() ([]Made, error) {
	c.amounts = make([][]ratio, len(c.order))
	made := make([]Made, len(c.order))
	for _, i := range c.order {
		shares, first, err := c.shares(i)
		if err != nil {
			return nil, err
		}
		made[i] = c.made(&c.plans[i], shares, first)
	}
	return made, nil
}

func (c *reckoning) made(rule *planned, shares []Share, first string) Made {
	m := Made{Rule: rule.Key, Name: rule.Name, Sentence: rule.sentence, Note: rule.Note, Source: rule.Source, Unit: rule.Unit, Fixed: rule.fixed.round(rulePlaces), Zones: shares, first: first, exact: rule.fixed}
	for i := range shares {
		m.exact = m.exact.plus(shares[i].exact)
	}
	m.Amount = m.exact.round(shownPlaces)
	return m
}

// target is a task, or a task and a material.
type target struct{ task, material string }

func (c *reckoning) gather(made []Made) Result {
	by := map[target][]Made{}
	for i, m := range made {
		if m.first == "" {
			continue
		}
		t := target{c.names.rule[i].Task, c.names.rule[i].Material}
		by[t] = append(by[t], m)
	}
	out := Result{Tasks: []TaskHours{}, Materials: []TaskMaterial{}, Input: Input{c.list, c.known, c.zones}}
	for _, t := range slices.SortedFunc(maps.Keys(by), func(a, b target) int { return cmp.Or(cmp.Compare(a.task, b.task), cmp.Compare(a.material, b.material)) }) {
		rules := by[t]
		slices.SortFunc(rules, func(a, b Made) int { return cmp.Compare(a.Rule, b.Rule) })
		if t.material == "" {
			out.Tasks = append(out.Tasks, c.hours(t, rules))
		} else {
			out.Materials = append(out.Materials, c.material(t, rules))
		}
	}
	return out
}

func (c *reckoning) hours(t target, rules []Made) TaskHours {
	low, likely, high := whole(0), whole(0), whole(0)
	for i := range rules {
		exact, rule := rules[i].exact, &c.plans[c.names.rules[rules[i].Rule]]
		likely, low, high = likely.plus(exact), low.plus(exact.times(rule.low)), high.plus(exact.times(rule.high))
	}
	h := ThreePoint{low.round(hourPlaces), likely.round(hourPlaces), high.round(hourPlaces)}
	words := sum(rules) + "; low " + h.Low.StringFixed(hourPlaces) + " h, high " + h.High.StringFixed(hourPlaces) + " h."
	return TaskHours{Task: t.task, Name: c.known.task(t.task), Hours: h, Rules: rules, Words: words}
}

func (c *reckoning) material(t target, rules []Made) TaskMaterial {
	exact := total(rules)
	out := TaskMaterial{Task: t.task, Material: t.material, Name: c.known.material(t.material), Unit: rules[0].Unit, Rules: rules, Words: sum(rules)}
	if counts(out.Unit) {
		out.Quantity = exact.round(0)
		if out.Quantity.Rat().Cmp(exact.rat()) < 0 {
			out.Quantity = out.Quantity.Add(one)
		}
	} else {
		out.Quantity = exact.round(goodsPlaces)
	}
	switch {
	case exact.is(out.Quantity):
	case counts(out.Unit):
		out.Words += ", bought whole: " + out.Quantity.String()
	default:
		out.Words += ", rounded to " + out.Quantity.String()
	}
	out.Words += "."
	return out
}

func total(rules []Made) ratio {
	t := whole(0)
	for i := range rules {
		t = t.plus(rules[i].exact)
	}
	return t
}

// sum says how the rules add up.
func sum(rules []Made) string {
	terms := make([]string, len(rules))
	for i, m := range rules {
		terms[i] = quoted(m.Name) + " " + shown(m.exact, m.Unit)
	}
	words := strings.Join(terms, " + ")
	if len(terms) > 1 {
		words += comesTo(total(rules), rules[0].Unit)
	}
	return words
}
