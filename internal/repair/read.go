package repair

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/measure"
	"bareframe/internal/money"
)

// Bounds of a list and of a finding.
const (
	MaxRules      = 200
	MaxMaterials  = 40
	MaxCautions   = 40
	MaxCodeLength = 60
	MaxTextLength = 2000
	MaxCrew       = 20
	MaxMillimetre = 20_000
	MaxCount      = 1000
	intDigits     = 6
	places        = 4
)

const code = "repair-list"

// Parse reads a list from JSON and validates it. Unknown members are refused.
// Errors are fault.Invalid "repair-list".
func Parse(text []byte) (List, error) {
	var l List
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&l); err != nil {
		return List{}, fault.New(fault.Invalid, code, "this is not a repair list: %s", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return List{}, fault.New(fault.Invalid, code, "there is text after the repair list")
	}
	return l, l.Validate()
}

// Validate names everything that is wrong with l at once, as a fault.Invalid
// "repair-list" with a pointer into the list for each. O(size of l).
func (l List) Validate() error {
	var f fault.Collector
	l.check(&reader{f: &f}, "")
	return f.Err(code)
}

func (l List) check(r *reader, at string) {
	r.text(at+"/note", l.Note, false)
	if len(l.Repairs) > MaxRules || len(l.Cautions) > MaxCautions {
		r.f.Add(at+"/repairs", "at most %d repairs and %d cautions are allowed", MaxRules, MaxCautions)
		return
	}
	for _, key := range slices.Sorted(maps.Keys(l.Cautions)) {
		r.text(at+"/cautions/"+key, l.Cautions[key], true)
	}
	seen := map[string]bool{}
	for i, rule := range l.Repairs {
		here := fmt.Sprintf("%s/repairs/%d", at, i)
		rule.check(r, here)
		for j, key := range rule.Cautions {
			if _, known := l.Cautions[key]; !known {
				r.f.Add(fmt.Sprintf("%s/cautions/%d", here, j), "the list has no caution with this key")
			}
		}
		if seen[rule.Code] {
			r.f.Add(here+"/code", "another repair has this code")
		}
		seen[rule.Code] = true
	}
}

func (rule Rule) check(r *reader, at string) {
	r.word(at+"/code", rule.Code, true)
	r.text(at+"/name", rule.Name, true)
	r.text(at+"/note", rule.Note, false)
	r.word(at+"/skill", rule.Skill, true)
	r.word(at+"/station", rule.Station, false)
	r.word(at+"/tax_class", rule.TaxClass, true)
	oneOf(r, at+"/work", rule.Work, Works())
	oneOf(r, at+"/unit", rule.Unit, Units())
	if rule.Crew < 1 || rule.Crew > MaxCrew {
		r.f.Add(at+"/crew", "a crew of 1 to %d is needed", MaxCrew)
	}
	if len(rule.Conditions) == 0 || len(rule.Conditions) > len(Conditions()) {
		r.f.Add(at+"/conditions", "list the conditions that the repair answers")
		return
	}
	for i, c := range rule.Conditions {
		oneOf(r, fmt.Sprintf("%s/conditions/%d", at, i), c, Conditions())
	}
	for _, c := range slices.Sorted(maps.Keys(rule.Factors)) {
		here := at + "/factors/" + string(c)
		if !slices.Contains(rule.Conditions, c) {
			r.f.Add(here, "the repair does not answer this condition, so its factor would never count")
		}
		if r.number(here, rule.Factors[c]).IsZero() {
			r.f.Add(here, "a factor above 0 is needed")
		}
	}
	rule.Hours.check(r, at+"/hours")
	if len(rule.Materials) > MaxMaterials {
		r.f.Add(at+"/materials", "at most %d materials are allowed", MaxMaterials)
		return
	}
	for i, m := range rule.Materials {
		m.check(r, fmt.Sprintf("%s/materials/%d", at, i))
	}
}

// check asks that both parts rise from low to high, so that the hours do at any
// size.
func (h Hours) check(r *reader, at string) {
	lowFixed, lowUnit := h.Low.read(r, at+"/low")
	likelyFixed, likelyUnit := h.Likely.read(r, at+"/likely")
	highFixed, highUnit := h.High.read(r, at+"/high")
	if likelyFixed.LessThan(lowFixed) || likelyUnit.LessThan(lowUnit) {
		r.f.Add(at+"/likely", "the likely hours are below the low ones")
	}
	if highFixed.LessThan(likelyFixed) || highUnit.LessThan(likelyUnit) {
		r.f.Add(at+"/high", "the high hours are below the likely ones")
	}
}

func (m Material) check(r *reader, at string) {
	r.text(at+"/item", m.Item, true)
	r.word(at+"/tax_class", m.TaxClass, true)
	r.word(at+"/price_item", m.PriceItem, false)
	if !measure.Unit(m.Unit).Known() {
		_, err := measure.ParseUnit(m.Unit)
		r.f.Add(at+"/unit", "%s", fault.As(err).Detail)
	}
	m.Line.read(r, at)
	if (m.PriceItem == "") == (m.UnitPrice == "") {
		r.f.Add(at+"/price_item", "name a row of the price book or a unit price, and not both")
	}
	if m.UnitPrice != "" {
		r.number(at+"/unit_price", m.UnitPrice)
	}
}

func (l Line) read(r *reader, at string) (fixed, perUnit decimal.Decimal) {
	return r.number(at+"/fixed", l.Fixed), r.number(at+"/per_unit", l.PerUnit)
}

// reader notes what is wrong while it reads.
type reader struct{ f *fault.Collector }

// number reads a decimal that is not negative.
func (r *reader) number(at, s string) decimal.Decimal {
	d, err := money.ParseDecimal(s, intDigits, places)
	if err != nil {
		r.f.Add(at, "%s", fault.As(err).Detail)
		return decimal.Decimal{}
	}
	if d.IsNegative() {
		r.f.Add(at, "this cannot be negative")
		return decimal.Decimal{}
	}
	return d
}

func (r *reader) text(at, s string, needed bool) {
	if needed && strings.TrimSpace(s) == "" || utf8.RuneCountInString(s) > MaxTextLength {
		r.f.Add(at, "a text of at most %d characters is needed", MaxTextLength)
	}
}

func (r *reader) word(at, s string, needed bool) {
	if needed && strings.TrimSpace(s) == "" || utf8.RuneCountInString(s) > MaxCodeLength {
		r.f.Add(at, "a word of at most %d characters is needed", MaxCodeLength)
	}
}

func oneOf[T ~string](r *reader, at string, word T, all []T) {
	if !slices.Contains(all, word) {
		texts := make([]string, len(all))
		for i, w := range all {
			texts[i] = string(w)
		}
		r.f.Add(at, "this is one of %s", strings.Join(texts, ", "))
	}
}

func (f Finding) check(r *reader, at string) {
	if f.Condition == "" && f.What == "" {
		r.f.Add(at+"/condition", "say the condition of the steel, or what was found")
	}
	if f.Condition != "" {
		oneOf(r, at+"/condition", f.Condition, Conditions())
	}
	for _, n := range []struct {
		field       string
		value, most int
	}{{"/length_mm", f.LengthMM, MaxMillimetre}, {"/width_mm", f.WidthMM, MaxMillimetre}, {"/count", f.Count, MaxCount}} {
		if n.value < 0 || n.value > n.most {
			r.f.Add(at+n.field, "a whole number from 0 to %d is needed", n.most)
		}
	}
	r.word(at+"/what", f.What, false)
}
