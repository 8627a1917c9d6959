package method

import (
	"fmt"
	"maps"
	"reflect"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// MaxTimes bounds the factors of a table and of a spread that are written by hand:
// more than a hundredfold is a slip of the point, not a condition of the steel.
const MaxTimes = 100

// CheckFigures names the figures of rules that compute but that nobody means: a
// rate of zero, a factor of a table or a spread above MaxTimes. Faults are those of
// Check. What Check refuses is not said again. O(size of the list).
func (l List) CheckFigures() error {
	r := &reader{}
	for i, rule := range l.Rules {
		at := fmt.Sprintf("/rules/%d", i)
		if rule.Spread != nil {
			r.atMost(at+"/spread/high", rule.Spread.High)
		}
		for j, p := range rule.Parts {
			for k, f := range p.Factors {
				r.meant(fmt.Sprintf("%s/parts/%d/factors/%d", at, j, k), f)
			}
		}
	}
	return r.f.Err(code)
}

func (r *reader) meant(at string, f Factor) {
	if d, err := money.ParseDecimal(f.Times, ruleDigits, rulePlaces); err == nil && d.IsZero() {
		r.f.Add(at+"/times", "a rate of zero makes nothing: give it a figure, or remove it")
	}
	for _, key := range slices.Sorted(maps.Keys(f.Table)) {
		r.atMost(at+"/table/"+pointer.Replace(key), f.Table[key])
	}
	r.atMost(at+"/other", f.Other)
}

func (r *reader) atMost(at, s string) {
	if d, err := money.ParseDecimal(s, ruleDigits, rulePlaces); err == nil && d.GreaterThan(decimal.NewFromInt(MaxTimes)) {
		r.f.Add(at, "a factor is at most %d", MaxTimes)
	}
}

// Same reports whether two rules say the same. An empty list and none are one.
func (rule Rule) Same(other Rule) bool { return reflect.DeepEqual(rule.plain(), other.plain()) }

func (rule Rule) plain() Rule {
	f := &rule.For
	f.Kinds, f.Sides, f.Zones = slices.Concat(f.Kinds), slices.Concat(f.Sides), slices.Concat(f.Zones)
	f.Conditions, f.Finishes, f.Methods = slices.Concat(f.Conditions), slices.Concat(f.Finishes), slices.Concat(f.Methods)
	parts := make([]Part, len(rule.Parts))
	for i, p := range rule.Parts {
		for _, x := range p.Factors {
			if len(x.Table) == 0 {
				x.Table = nil
			}
			parts[i].Factors = append(parts[i].Factors, x)
		}
	}
	rule.Parts = parts
	return rule
}

// SameFigures reports whether two rules reckon alike: name, note, source, task and
// the zones that they are for aside. O(size of the rules).
func (rule Rule) SameFigures(other Rule) bool {
	return reflect.DeepEqual(rule.figures(), other.figures())
}

func (rule Rule) figures() Rule {
	rule = rule.plain()
	return Rule{Makes: rule.Makes, Material: rule.Material, Unit: rule.Unit, Fixed: rule.Fixed, Each: rule.Each, Parts: rule.Parts, Spread: rule.Spread}
}

// Rule is the rule of a key. O(rules).
func (l List) Rule(key string) (Rule, bool) {
	i := slices.IndexFunc(l.Rules, func(r Rule) bool { return r.Key == key })
	if i < 0 {
		return Rule{}, false
	}
	return l.Rules[i], true
}

// Origin says where a rule's figures come from.
type Origin string

// The origins.
const (
	Starting Origin = "starting" // as the program brings it
	Changed  Origin = "changed"  // the shop's own figure stands for the starting value
	Added    Origin = "added"    // the shop's own rule
)

// OriginIn compares a rule with the one of its key in the list that the program
// brings. Which task it is for is not looked at: a code is no figure.
// The rule that it began as is returned beside it, for the task that it has now.
func (rule Rule) OriginIn(starting List) (Origin, Rule) {
	began, has := starting.Rule(rule.Key)
	if !has {
		return Added, Rule{}
	}
	began.Task = rule.Task
	if rule.Same(began) {
		return Starting, began
	}
	return Changed, began
}
