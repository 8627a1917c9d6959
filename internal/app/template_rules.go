package app

import (
	"fmt"
	"slices"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
)

// RuleStanding is a rule as an owner reads it.
type RuleStanding struct {
	method.Rule
	Sentence string
	Origin   method.Origin
	Began    method.Rule // the starting value; only of a changed rule
}

// standings says every rule of a list and where its figures come from.
func (a *App) standings(list method.List, known method.Known) []RuleStanding {
	out, starting := make([]RuleStanding, len(list.Rules)), a.startingOf(list)
	for i, rule := range list.Rules {
		out[i] = RuleStanding{Rule: rule, Sentence: method.Sentence(rule, list, known)}
		out[i].Origin, out[i].Began = rule.OriginIn(starting)
	}
	return out
}

// edited takes an edit over into a plan. Rules that were sent replace those of the
// plan; the ways of working that they may name stay. Without an own list the
// program's holds, and a list that comes to the same is none of the shop's own. What
// is changed today is the shop's own figure from that day on; see sourced.
func (a *App) edited(base, e domain.TemplatePlan, today domain.Day) domain.TemplatePlan {
	list, own := a.listOf(base), base.Methods != nil
	base = base.Edited(e)
	if e.Methods == nil || !own && slices.EqualFunc(e.Methods.Rules, list.Rules, method.Rule.Same) {
		return base
	}
	list.Rules = a.sourced(list, e.Methods.Rules, today)
	base.Methods = &list
	return base
}

// sourced gives a rule whose figures were changed, while the words on where they
// come from were not, the shop as its source; back at the starting value, that one's.
func (a *App) sourced(was method.List, rules []method.Rule, today domain.Day) []method.Rule {
	out, starting := slices.Clone(rules), a.startingOf(was)
	for i := range out {
		before, known := was.Rule(out[i].Key)
		if !known || before.Source != out[i].Source || before.SameFigures(out[i]) {
			continue
		}
		if began, has := starting.Rule(out[i].Key); has && began.SameFigures(out[i]) {
			out[i].Source = began.Source
			continue
		}
		out[i].Source = fmt.Sprintf("our own figure, %s", today)
	}
	return out
}

// startingOf is the list that the program brings from which a list comes: the one
// whose keys most of its rules have, the general one where none has more. A copy of
// a template, and a renamed one, so keeps its way back.
func (a *App) startingOf(list method.List) method.List {
	best, most := a.methods, 0
	for _, brought := range append([]method.List{a.methods}, a.brought...) {
		n := 0
		for _, rule := range list.Rules {
			if _, has := brought.Rule(rule.Key); has {
				n++
			}
		}
		if n > most {
			best, most = brought, n
		}
	}
	return best
}

func (a *App) listOf(plan domain.TemplatePlan) method.List {
	if plan.Methods != nil {
		return *plan.Methods
	}
	return a.methods
}

// knownTo are the names that the rules of a plan may use.
func (a *App) knownTo(plan domain.TemplatePlan, book domain.PriceBook) method.Known {
	c := craft{system: a.takeoff}
	if plan.Takeoff != nil {
		c.system = plan.Takeoff
	}
	known := method.Known{Quantities: c.quantities(), Materials: supplied(book)}
	for _, t := range plan.Tasks {
		known.Tasks = append(known.Tasks, method.Named{Key: t.Key, Name: t.Name})
	}
	return known
}

// rulesHold refuses rules of a plan's own that do not compute, name what is not
// there, or hold figures that nobody means. A rule that is still the starting value,
// or as it was stored, may name what is not there: it then makes nothing.
func (a *App) rulesHold(base, plan domain.TemplatePlan, book domain.PriceBook) error {
	if plan.Methods == nil {
		return nil
	}
	list := *plan.Methods
	asleep := map[string]bool{}
	for i, rule := range list.Rules {
		if a.untouched(base, rule) {
			for _, member := range []string{"task", "material", "unit"} {
				asleep[fmt.Sprintf("/rules/%d/%s", i, member)] = true
			}
		}
	}
	var found fault.Collector
	for _, err := range []error{list.Check(a.knownTo(plan, book)), list.CheckFigures(), a.zonesHold(base, plan)} {
		e := fault.As(err)
		if e == nil {
			continue
		}
		for _, f := range e.Fields {
			if !asleep[f.Pointer] {
				found.Add("/methods"+f.Pointer, "%s", f.Detail)
			}
		}
	}
	return found.Err("method-rules")
}

// untouched reports whether a rule is the starting value or stands so in a plan.
func (a *App) untouched(base domain.TemplatePlan, rule method.Rule) bool {
	origin, _ := rule.OriginIn(a.startingOf(a.listOf(base)))
	return origin == method.Starting || slices.ContainsFunc(a.listOf(base).Rules, rule.Same)
}

// zonesHold looks the zones that rules name up in the layout that jobs begin with.
func (a *App) zonesHold(base, plan domain.TemplatePlan) error {
	layout, framed := a.layout(plan.Frame)
	if !framed {
		return nil
	}
	var found fault.Collector
	for i, rule := range plan.Methods.Rules {
		if a.untouched(base, rule) {
			continue
		}
		for j, code := range rule.For.Zones {
			if !slices.ContainsFunc(layout.Zones, func(z domain.LayoutZone) bool { return z.Code == code }) {
				found.Add(fmt.Sprintf("/rules/%d/for/zones/%d", i, j), "%s has no zone %q", layout.Name, code)
			}
		}
	}
	return found.Err("method-rules")
}
