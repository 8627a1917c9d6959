package method

import (
	"reflect"
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// index finds the rules and zones of an input by key.
type index struct {
	in    Input
	rules map[string]int
	zones map[string]int
}

func (in Input) index() index {
	x := index{in, map[string]int{}, map[string]int{}}
	for i, rule := range in.List.Rules {
		x.rules[rule.Key] = i
	}
	for i, z := range in.Zones {
		x.zones[z.ID] = i
	}
	return x
}

func (x index) rule(key string) (Rule, bool) {
	i, ok := x.rules[key]
	if !ok {
		return Rule{}, false
	}
	return x.in.List.Rules[i], true
}

func (x index) zone(id string) (Zone, bool) {
	i, ok := x.zones[id]
	if !ok {
		return Zone{}, false
	}
	return x.in.Zones[i], true
}

// reads are the rules that a rule reads, itself first, and what they look at.
type reads struct {
	rules      []string
	bys        []By
	sides      bool
	codes      bool
	stages     []Stage
	quantities []string
}

func (x index) reads(key string) reads {
	var r reads
	x.read(key, &r)
	return r
}

func (x index) read(key string, r *reads) {
	rule, known := x.rule(key)
	if !known || slices.Contains(r.rules, key) {
		return
	}
	r.rules = append(r.rules, key)
	r.look(len(rule.For.Conditions) > 0, ByCondition)
	r.look(len(rule.For.Finishes) > 0, ByFinish)
	r.look(len(rule.For.Kinds) > 0, ByKind)
	r.look(len(rule.For.Methods) > 0, ByMethod)
	r.sides = r.sides || len(rule.For.Sides) > 0
	r.codes = r.codes || len(rule.For.Zones) > 0
	r.stages = append(r.stages, rule.Stage)
	for _, p := range rule.Parts {
		for _, f := range p.Factors {
			r.look(f.By != "", f.By)
			if f.Of != "" && !slices.Contains(r.quantities, f.Of) {
				r.quantities = append(r.quantities, f.Of)
			}
			x.read(f.OfRule, r)
		}
	}
}

func (r *reads) look(does bool, at By) {
	if does && !slices.Contains(r.bys, at) {
		r.bys = append(r.bys, at)
	}
}

// why says what about the zone or the rule made an amount move.
func (c comparing) why(s spot) string {
	was, before := c.was.zone(s.zone)
	is, after := c.is.zone(s.zone)
	switch {
	case s.zone == "":
		return c.whyFixed(s)
	case !before:
		return "the zone is new"
	case !after:
		return "the zone is gone"
	}
	r := c.is.reads(s.rule)
	if len(r.rules) == 0 {
		return "the rule is gone"
	}
	reasons := append(c.changed(was, is, r), c.changedRules(s.rule, r)...)
	if len(reasons) == 0 {
		return "what the rules may name was changed"
	}
	return strings.Join(reasons, "; ")
}

func (c comparing) whyFixed(s spot) string {
	r := c.is.reads(s.rule)
	if len(r.rules) == 0 {
		return "the rule is gone"
	}
	if reasons := c.changedRules(s.rule, r); len(reasons) > 0 {
		return strings.Join(reasons, "; ")
	}
	for _, m := range c.after.made() {
		if m.Rule == s.rule {
			return "since " + c.zoneName(m.first) + " now counts"
		}
	}
	return "no zone counts any more"
}

// changed says what differs between two states of a zone, as far as r looks at
// it. The condition, the finish and the methods also stand for quantities that
// follow from them.
func (c comparing) changed(was, is Zone, r reads) []string {
	quantities := c.changedQuantities(was, is, r)
	follows := len(quantities) > 0
	l := c.is.in.List
	var out []string
	say := func(looked bool, what, from, to string) {
		if from != to && looked {
			out = append(out, what+" from "+from+" to "+to)
		}
	}
	say(follows || slices.Contains(r.bys, ByCondition), "condition", was.Condition.spoken(), is.Condition.spoken())
	say(follows || slices.Contains(r.bys, ByFinish), "finish", was.Finish.spoken(), is.Finish.spoken())
	say(slices.Contains(r.bys, ByKind), "kind", l.long(ByKind, string(was.Kind), ""), l.long(ByKind, string(is.Kind), ""))
	say(r.sides, "side", string(was.Side), string(is.Side))
	say(r.codes, "code", was.Code, is.Code)
	for _, s := range Stages() {
		looked := slices.Contains(r.bys, ByMethod) && slices.Contains(r.stages, s)
		say(follows || looked, string(s)+" method", c.was.in.List.long(ByMethod, was.Methods[s], s), l.long(ByMethod, is.Methods[s], s))
	}
	return append(out, quantities...)
}

func (c comparing) changedQuantities(was, is Zone, r reads) []string {
	var out []string
	for _, name := range r.quantities {
		from, to := was.quantity(name), is.quantity(name)
		if from != to {
			out = append(out, c.is.in.Known.say(name)+" from "+from+" to "+to)
		}
	}
	return out
}

// quantity is a quantity of the zone as it is said.
func (z Zone) quantity(name string) string {
	for _, q := range z.Quantities {
		if q.Name == name {
			return figure(decimal.RequireFromString(q.Value).String(), q.Unit)
		}
	}
	return "none"
}

func (c comparing) changedRules(key string, r reads) []string {
	if _, old := c.was.rule(key); !old {
		return []string{"the rule is new"}
	}
	var out []string
	for _, k := range r.rules {
		is, _ := c.is.rule(k)
		was, old := c.was.rule(k)
		if !old || !reflect.DeepEqual(was, is) {
			out = append(out, "the rule "+quoted(is.Name)+" was changed")
		}
	}
	return out
}

func (c comparing) ruleName(key string) string {
	if rule, ok := c.is.rule(key); ok {
		return rule.Name
	}
	rule, _ := c.was.rule(key)
	return rule.Name
}

func (c comparing) zoneName(id string) string {
	if z, ok := c.is.zone(id); ok {
		return z.Name
	}
	z, _ := c.was.zone(id)
	return z.Name
}

// made lists what all rules made.
func (r Result) made() []Made {
	var out []Made
	for _, t := range r.Tasks {
		out = append(out, t.Rules...)
	}
	for _, m := range r.Materials {
		out = append(out, m.Rules...)
	}
	return out
}
