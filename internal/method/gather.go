package method

import (
	"cmp"
	"maps"
	"math/big"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Compute applies a list to the zones of a frame. A list or zones that are not
// valid are a fault.Invalid "method-rules" with pointers into Input; amounts
// that outgrow every use are a fault.Invalid "method-amount".
// O(factors x zones) exact operations.
func Compute(in Input) (Result, error) {
	r := &reader{}
	c := reckoning{in: in, names: in.List.check(r, "/list", in.Known)}
	c.facts = c.names.zones(r, in.Zones)
	c.said = in.Known.sayings()
	if err := r.f.Err(code); err != nil {
		return Result{}, err
	}
	if in.List.factors()*len(in.Zones) > maxWork {
		return Result{}, fault.New(fault.Invalid, "method-amount", "%d factors for %d zones are too many to be reckoned at once", in.List.factors(), len(in.Zones))
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
func (c reckoning) run() ([]Made, error) {
	order, _ := c.names.order()
	c.amounts = make([][]*big.Rat, len(order))
	made := make([]Made, len(order))
	for _, i := range order {
		shares, first, err := c.shares(i)
		if err != nil {
			return nil, err
		}
		made[i] = c.made(c.names.rule[i], shares, first)
	}
	return made, nil
}

func (c reckoning) made(rule Rule, shares []Share, first string) Made {
	m := Made{Rule: rule.Key, Name: rule.Name, Sentence: Sentence(rule, c.in.List, c.in.Known), Note: rule.Note, Source: rule.Source, Unit: rule.Unit, Zones: shares, first: first, exact: new(big.Rat)}
	if rule.Fixed != "" {
		m.Fixed = decimal.RequireFromString(rule.Fixed)
		m.exact.Add(m.exact, m.Fixed.Rat())
	}
	for _, s := range shares {
		m.exact.Add(m.exact, s.exact)
	}
	m.Amount = decimal.NewFromBigRat(m.exact, shownPlaces)
	return m
}

// target is a task, or a task and a material.
type target struct{ task, material string }

func (c reckoning) gather(made []Made) Result {
	by := map[target][]Made{}
	for i, m := range made {
		if m.first == "" {
			continue
		}
		t := target{c.names.rule[i].Task, c.names.rule[i].Material}
		by[t] = append(by[t], m)
	}
	out := Result{Tasks: []TaskHours{}, Materials: []TaskMaterial{}, Input: c.in}
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

func (c reckoning) hours(t target, rules []Made) TaskHours {
	low, likely, high := new(big.Rat), new(big.Rat), new(big.Rat)
	for _, m := range rules {
		rule := c.names.rule[c.names.rules[m.Rule]]
		likely.Add(likely, m.exact)
		low.Add(low, rule.Spread.times(m.exact, false))
		high.Add(high, rule.Spread.times(m.exact, true))
	}
	h := ThreePoint{round(low, hourPlaces), round(likely, hourPlaces), round(high, hourPlaces)}
	words := sum(rules) + "; low " + h.Low.StringFixed(hourPlaces) + " h, high " + h.High.StringFixed(hourPlaces) + " h."
	return TaskHours{Task: t.task, Name: c.in.Known.task(t.task), Hours: h, Rules: rules, Words: words}
}

func (c reckoning) material(t target, rules []Made) TaskMaterial {
	exact := total(rules)
	out := TaskMaterial{Task: t.task, Material: t.material, Name: c.in.Known.material(t.material), Unit: rules[0].Unit, Rules: rules, Words: sum(rules)}
	if counts(out.Unit) {
		out.Quantity = round(exact, 0)
		if out.Quantity.Rat().Cmp(exact) < 0 {
			out.Quantity = out.Quantity.Add(one)
		}
	} else {
		out.Quantity = round(exact, goodsPlaces)
	}
	switch {
	case out.Quantity.Rat().Cmp(exact) == 0:
	case counts(out.Unit):
		out.Words += ", bought whole: " + out.Quantity.String()
	default:
		out.Words += ", rounded to " + out.Quantity.String()
	}
	out.Words += "."
	return out
}

// times is the low or the high of a likely amount.
func (s *Spread) times(likely *big.Rat, high bool) *big.Rat {
	switch {
	case s == nil:
		return likely
	case high:
		return new(big.Rat).Mul(likely, rat(s.High))
	}
	return new(big.Rat).Mul(likely, rat(s.Low))
}

// round rounds once, half away from zero.
func round(exact *big.Rat, places int32) decimal.Decimal { return decimal.NewFromBigRat(exact, places) }

func total(rules []Made) *big.Rat {
	t := new(big.Rat)
	for _, m := range rules {
		t.Add(t, m.exact)
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
