package method

import (
	"maps"
	"slices"
	"strings"
)

// Sentence says a rule as an owner reads it: what it makes, of what, for which
// zones. The list names methods and other rules, known names quantities and
// materials; what they do not name is said by its key.
func Sentence(rule Rule, l List, known Known) string {
	var terms []string
	if rule.Fixed != "" {
		terms = append(terms, figure(rule.Fixed, rule.Unit)+" once")
	}
	if rule.Each != "" {
		terms = append(terms, figure(rule.Each, rule.Unit)+" a zone")
	}
	for _, p := range rule.Parts {
		words := make([]string, len(p.Factors))
		for i, f := range p.Factors {
			words[i] = f.sentence(i == 0, rule, l, known)
		}
		terms = append(terms, strings.Join(words, ""))
	}
	if len(terms) == 0 {
		return "nothing"
	}
	words := strings.Join(terms, ", plus ")
	if rule.Makes == Material {
		words = known.material(rule.Material) + ": " + words
	}
	return words + rule.For.sentence(rule.Stage, l) + rule.Spread.sentence() + "."
}

func (f Factor) sentence(first bool, rule Rule, l List, known Known) string {
	words := figure(f.Times+f.Per, f.Unit) // at most one of them is given
	switch {
	case f.Of != "":
		words = known.say(f.Of)
	case f.OfRule != "":
		words = quoted(l.rule(f.OfRule))
	case f.By != "":
		words = "factor of " + string(f.By) + " (" + f.table(rule.Stage, l) + ")"
	}
	return sign(f, first) + words
}

// table lists a table in the order of its kind: A 1, B 1.1, any other 1.
func (f Factor) table(s Stage, l List) string {
	keys := f.By.keys(l.methods(s))
	var words []string
	for _, key := range keys {
		if text, ok := f.Table[key]; ok {
			words = append(words, l.short(f.By, key, s)+" "+text)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(f.Table)) {
		if !slices.Contains(keys, key) {
			words = append(words, key+" "+f.Table[key])
		}
	}
	if len(f.Table) < len(keys) {
		words = append(words, "any other "+f.at(""))
	}
	return strings.Join(words, ", ")
}

func (f For) sentence(s Stage, l List) string {
	words := ""
	if len(f.Kinds) > 0 {
		words += " for " + anyOf(f.Kinds, Kind.plural)
	}
	if len(f.Zones) > 0 {
		words += " in " + anyOf(f.Zones, func(code string) string { return strings.ReplaceAll(code, "-", " ") })
	}
	if len(f.Sides) > 0 {
		words += " at the " + anyOf(f.Sides, func(side Side) string { return string(side) })
	}
	if len(f.Conditions) > 0 {
		words += " where it is " + anyOf(f.Conditions, Condition.spoken)
	}
	if len(f.Finishes) > 0 {
		words += " with the finish " + anyOf(f.Finishes, Finish.spoken)
	}
	if len(f.Methods) > 0 {
		words += " by " + anyOf(f.Methods, func(key string) string { return quoted(l.method(s, key)) })
	}
	if words == "" {
		return ""
	}
	return ", only" + words
}

func (s *Spread) sentence() string {
	if s == nil {
		return ""
	}
	return "; low " + s.Low + " times, high " + s.High + " times that"
}

// anyOf joins words: a, b or c.
func anyOf[T any](list []T, say func(T) string) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = say(x)
	}
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return words[0]
}
