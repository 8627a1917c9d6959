package method

import (
	"fmt"
	"slices"

	"bareframe/internal/fault"
	"bareframe/internal/measure"
)

// names are what the rules of a list may refer to.
type names struct {
	quantities map[string]compound
	kinds      map[string]int  // by position among the known
	wanted     []wanted        // by the same
	tasks      map[string]bool // nil: any
	materials  map[string]Supplied
	methods    map[Stage][]string
	rules      map[string]int
	rule       []Rule
}

// Check names everything that is wrong with the list at once, as a
// fault.Invalid "method-rules" with a pointer into the list for each: units that
// do not come out, unknown and repeated names, table keys that are nothing,
// division by zero, rules that run in a circle, figures and texts out of bounds.
// O(size of the list and of known).
func (l List) Check(known Known) error {
	r := &reader{}
	l.check(r, "", known)
	return r.f.Err(code)
}

func (l List) check(r *reader, at string, known Known) names {
	n := names{methods: map[Stage][]string{}, rules: map[string]int{}, rule: l.Rules}
	r.text(at+"/note", l.Note, false)
	if !r.few(at+"/methods", len(l.Methods), MaxMethods) || !r.few(at+"/rules", len(l.Rules), MaxRules) {
		return n
	}
	known.names(r, &n)
	for i, m := range l.Methods {
		m.check(r, fmt.Sprintf("%s/methods/%d", at, i), n)
		n.methods[m.Stage] = append(n.methods[m.Stage], m.Key)
	}
	for i, rule := range l.Rules {
		if _, twice := n.rules[rule.Key]; twice {
			r.f.Add(fmt.Sprintf("%s/rules/%d/key", at, i), "another rule has the key %q", rule.Key)
			continue
		}
		n.rules[rule.Key] = i
	}
	counted := map[string]string{}
	for i, rule := range l.Rules {
		here := fmt.Sprintf("%s/rules/%d", at, i)
		rule.check(r, here, n)
		if rule.Makes != Material {
			continue
		}
		if other, twice := counted[rule.Material]; twice && other != rule.Unit {
			r.f.Add(here+"/unit", "another rule counts %q in %s", rule.Material, other)
		}
		counted[rule.Material] = rule.Unit
	}
	n.noCircles(r, at)
	return n
}

func (k Known) names(r *reader, n *names) {
	n.quantities, n.kinds = map[string]compound{}, map[string]int{}
	if !r.few("/known/quantities", len(k.Quantities), MaxKnown) || !r.few("/known/tasks", len(k.Tasks), MaxKnown) || !r.few("/known/materials", len(k.Materials), MaxKnown) {
		return
	}
	for i, q := range k.Quantities {
		here := fmt.Sprintf("/known/quantities/%d", i)
		r.word(here+"/name", q.Name, true)
		r.word(here+"/words", q.Words, true)
		if _, twice := n.quantities[q.Name]; twice {
			r.f.Add(here+"/name", "another quantity is called %q", q.Name)
		}
		n.quantities[q.Name], _ = r.unit(here+"/unit", q.Unit)
		n.kinds[q.Name] = i
		n.wanted = append(n.wanted, wantedOf(q, n.quantities[q.Name]))
	}
	for _, t := range k.Tasks {
		if n.tasks == nil {
			n.tasks = map[string]bool{}
		}
		n.tasks[t.Key] = true
	}
	for _, m := range k.Materials {
		if n.materials == nil {
			n.materials = map[string]Supplied{}
		}
		n.materials[m.Key] = m
	}
}

func (m Method) check(r *reader, at string, n names) {
	oneOf(r, at+"/stage", m.Stage, Stages())
	r.word(at+"/key", m.Key, true)
	r.word(at+"/name", m.Name, true)
	r.text(at+"/note", m.Note, false)
	r.text(at+"/source", m.Source, false)
	if slices.Contains(n.methods[m.Stage], m.Key) {
		r.f.Add(at+"/key", "another method of the stage has the key %q", m.Key)
	}
}

func (rule Rule) check(r *reader, at string, n names) {
	r.word(at+"/key", rule.Key, true)
	r.word(at+"/name", rule.Name, true)
	r.text(at+"/note", rule.Note, false)
	r.text(at+"/source", rule.Source, true)
	oneOf(r, at+"/stage", rule.Stage, Stages())
	r.word(at+"/task", rule.Task, true)
	if n.tasks != nil && !n.tasks[rule.Task] {
		r.f.Add(at+"/task", "there is no task %q", rule.Task)
	}
	rule.For.check(r, at+"/for", n.methods[rule.Stage])
	r.figure(at+"/fixed", rule.Fixed, false)
	r.figure(at+"/each", rule.Each, false)
	if rule.Fixed == "" && rule.Each == "" && len(rule.Parts) == 0 {
		r.f.Add(at+"/parts", "this rule makes nothing: give it a fixed amount, one for each zone, or a part")
	}
	if !rule.checkKind(r, at, n) || !r.few(at+"/parts", len(rule.Parts), MaxParts) {
		return
	}
	for i, p := range rule.Parts {
		p.check(r, fmt.Sprintf("%s/parts/%d", at, i), rule, n)
	}
}

// checkKind asks for what hours and for what materials need, and reports
// whether the unit is one that parts can come out in.
func (rule Rule) checkKind(r *reader, at string, n names) bool {
	oneOf(r, at+"/makes", rule.Makes, []Makes{Hours, Material})
	unit := measure.Unit(rule.Unit)
	if rule.Makes == Hours {
		if unit != measure.Hour {
			r.f.Add(at+"/unit", "hours are made in h, not in %q", rule.Unit)
		}
		if rule.Material != "" {
			r.f.Add(at+"/material", "a rule that makes hours names no material")
		}
		rule.Spread.check(r, at+"/spread")
		return unit == measure.Hour
	}
	r.word(at+"/material", rule.Material, true)
	if rule.Spread != nil {
		r.f.Add(at+"/spread", "only hours have a low and a high")
	}
	if _, err := measure.ParseUnit(rule.Unit); err != nil {
		r.f.Add(at+"/unit", "%s", fault.As(err).Detail)
		return false
	}
	if row, ok := n.materials[rule.Material]; n.materials != nil && rule.Material != "" && !ok {
		r.f.Add(at+"/material", "there is no material %q", rule.Material)
	} else if ok && row.Unit != rule.Unit {
		r.f.Add(at+"/unit", "the price book counts %q in %s, not in %s", rule.Material, row.Unit, rule.Unit)
	}
	return true
}

func (s *Spread) check(r *reader, at string) {
	if s == nil {
		return
	}
	if low, ok := r.figure(at+"/low", s.Low, true); ok && low.GreaterThan(one) {
		r.f.Add(at+"/low", "the low hours are at most 1 times the likely ones")
	}
	if high, ok := r.figure(at+"/high", s.High, true); ok && high.LessThan(one) {
		r.f.Add(at+"/high", "the high hours are at least 1 times the likely ones")
	}
}

func (f For) check(r *reader, at string, methods []string) {
	each(r, at+"/kinds", f.Kinds, Kinds())
	each(r, at+"/sides", f.Sides, Sides())
	each(r, at+"/conditions", f.Conditions, Conditions())
	each(r, at+"/finishes", f.Finishes, Finishes())
	each(r, at+"/methods", f.Methods, methods)
	if r.few(at+"/zones", len(f.Zones), MaxListed) {
		for i, z := range f.Zones {
			r.word(fmt.Sprintf("%s/zones/%d", at, i), z, true)
		}
	}
}

func each[T ~string](r *reader, at string, list, all []T) {
	if !r.few(at, len(list), MaxListed) {
		return
	}
	for i, x := range list {
		here := fmt.Sprintf("%s/%d", at, i)
		oneOf(r, here, x, all)
		if slices.Index(list, x) < i {
			r.f.Add(here, "%q stands here twice", x)
		}
	}
}
