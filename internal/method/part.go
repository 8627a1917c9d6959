package method

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strings"

	"bareframe/internal/measure"
)

// check asks that the factors are sound and that their product comes out in
// the unit of the rule.
func (p Part) check(r *reader, at string, rule Rule, n names) {
	if len(p.Factors) == 0 || len(p.Factors) > MaxFactors {
		r.f.Add(at+"/factors", "a part needs 1 to %d factors", MaxFactors)
		return
	}
	product, sound := number(), true
	for i, f := range p.Factors {
		u, ok := f.check(r, fmt.Sprintf("%s/factors/%d", at, i), rule, n)
		sound = sound && ok
		if ok {
			product = product.times(u)
		}
	}
	wanted, err := parseUnit(rule.Unit)
	if err != nil || !sound || maps.Equal(product.power, wanted.power) {
		return
	}
	r.f.Add(at, "this part comes out as %s; %s is wanted%s", product.power, wanted.power, p.hint(product, wanted))
}

// hint names the one factor that is upside down, if there is one.
func (p Part) hint(product, wanted compound) string {
	for _, f := range p.Factors {
		u, err := parseUnit(f.Unit)
		if err != nil || f.Times == "" && f.Per == "" {
			continue
		}
		switch {
		case f.Times != "" && maps.Equal(product.over(u).over(u).power, wanted.power):
			return fmt.Sprintf("; it would come out right if you divided by %s %s", f.Times, f.Unit)
		case f.Per != "" && maps.Equal(product.times(u).times(u).power, wanted.power):
			return fmt.Sprintf("; it would come out right if you multiplied by %s %s", f.Per, f.Unit)
		}
	}
	return ""
}

// check returns the unit that the factor brings into the product, and whether
// it has one.
func (f Factor) check(r *reader, at string, rule Rule, n names) (compound, bool) {
	said := 0
	for _, word := range []string{f.Of, f.OfRule, f.Times, f.Per, string(f.By)} {
		if word != "" {
			said++
		}
	}
	if said != 1 {
		r.f.Add(at, "a factor is exactly one of of, of_rule, times, per and by; this one is %d of them", said)
		return compound{}, false
	}
	if f.Unit != "" && f.Times == "" && f.Per == "" {
		r.f.Add(at+"/unit", "only a figure to multiply by or to divide by has a unit")
	}
	if f.By == "" && (len(f.Table) > 0 || f.Other != "") {
		r.f.Add(at+"/table", "a table needs to know what it looks at: %v", Bys())
	}
	switch {
	case f.Of != "":
		u, known := n.quantities[f.Of]
		if !known {
			r.f.Add(at+"/of", "there is no quantity %q", f.Of)
		}
		return u, known && u.size != nil
	case f.OfRule != "":
		return n.ofRule(r, at+"/of_rule", f.OfRule)
	case f.By != "":
		f.checkTable(r, at, n.methods[rule.Stage])
		return number(), true
	}
	return f.checkFigure(r, at)
}

func (n names) ofRule(r *reader, at, key string) (compound, bool) {
	i, known := n.rules[key]
	if !known {
		r.f.Add(at, "there is no rule %q", key)
		return compound{}, false
	}
	if n.rule[i].Makes == Hours {
		return compound{power{measure.Work: 1}, big.NewRat(1, 1)}, true
	}
	u, err := parseUnit(n.rule[i].Unit)
	return u, err == nil
}

func (f Factor) checkFigure(r *reader, at string) (compound, bool) {
	u, known := r.unit(at+"/unit", f.Unit)
	if f.Times != "" {
		_, ok := r.figure(at+"/times", f.Times, true)
		return u, known && ok
	}
	d, ok := r.figure(at+"/per", f.Per, true)
	if ok && d.IsZero() {
		r.f.Add(at+"/per", "nothing can be divided by zero")
	}
	if !known || !ok || d.IsZero() {
		return compound{}, false
	}
	return number().over(u), true
}

func (f Factor) checkTable(r *reader, at string, methods []string) {
	oneOf(r, at+"/by", f.By, Bys())
	if len(f.Table) == 0 {
		r.f.Add(at+"/table", "the table is empty")
	}
	if !r.few(at+"/table", len(f.Table), MaxListed) {
		return
	}
	keys := f.By.keys(methods)
	for _, key := range slices.Sorted(maps.Keys(f.Table)) {
		here := at + "/table/" + pointer.Replace(key)
		if keys != nil {
			oneOf(r, here, key, keys)
		}
		r.figure(here, f.Table[key], true)
	}
	r.figure(at+"/other", f.Other, false)
}

// pointer writes a key into an RFC 6901 pointer.
var pointer = strings.NewReplacer("~", "~0", "/", "~1")

// keys lists what a table may hold, in the order in which it is said.
func (b By) keys(methods []string) []string {
	switch b {
	case ByCondition:
		return texts(Conditions())
	case ByFinish:
		return texts(Finishes())
	case ByKind:
		return texts(Kinds())
	case ByMethod:
		return append([]string{}, methods...)
	}
	return nil
}

func texts[T ~string](words []T) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = string(w)
	}
	return out
}

// of returns what the table looks at in a zone.
func (b By) of(z *Zone, s Stage) string {
	switch b {
	case ByCondition:
		return string(z.Condition)
	case ByFinish:
		return string(z.Finish)
	case ByKind:
		return string(z.Kind)
	}
	return z.Methods[s]
}

// counts reports whether a unit is only bought in whole numbers.
func counts(unit string) bool {
	return unit == string(measure.Piece) || unit == string(measure.Set) || unit == string(measure.Lot)
}
