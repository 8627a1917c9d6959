package localrules

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Bounds of a rule set.
const (
	MaxTextLength = 2000
	MaxListLength = 40
	MaxYears      = 50
	percentPlaces = 4
	amountPlaces  = 3 // of the currency with the most
)

const code = "local-rules"

// Parse reads a rule set from JSON and validates it. Unknown members are
// refused. Errors are fault.Invalid "local-rules".
func Parse(text []byte) (RuleSet, error) {
	var r RuleSet
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&r); err != nil {
		return RuleSet{}, fault.New(fault.Invalid, code, "this is not a rule set: %s", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return RuleSet{}, fault.New(fault.Invalid, code, "there is text after the rule set")
	}
	return r, r.Validate()
}

// Validate names everything that is wrong with r at once, as a fault.Invalid
// "local-rules" with a pointer into the rule set for each. O(size of r).
func (r RuleSet) Validate() error {
	var f fault.Collector
	r.check(&f, "")
	return f.Err(code)
}

func (r RuleSet) check(f *fault.Collector, at string) {
	for _, text := range []struct{ field, value string }{
		{"/code", r.Code}, {"/name", r.Name}, {"/place", r.Place}, {"/source", r.Source}, {"/check", r.Check},
	} {
		if strings.TrimSpace(text.value) == "" {
			f.Add(at+text.field, "a rule set has to state this")
		}
		bounded(f, at+text.field, text.value)
	}
	bounded(f, at+"/note", r.Note)
	if _, err := time.Parse(time.DateOnly, r.ReadOn); err != nil {
		f.Add(at+"/read_on", "the day on which the source was read is needed, such as 2026-11-25")
	}
	number(f, at+"/written_estimate_over", r.WrittenEstimateOver, amountPlaces)
	r.Consent.check(f, at+"/consent")
	known(f, at+"/record_must_name", r.RecordMustName, Fields())
	known(f, at+"/estimate_must_state", r.EstimateMustState, Charges())
	if !slices.Contains(SuppliesLines(), r.ShopSuppliesLine) {
		f.Add(at+"/shop_supplies_line", "this is one of %s", listed(SuppliesLines()))
	}
	if len(r.InvoiceMustShow) > MaxListLength {
		f.Add(at+"/invoice_must_show", "at most %d entries are allowed", MaxListLength)
		return
	}
	for i, line := range r.InvoiceMustShow {
		if strings.TrimSpace(line) == "" {
			f.Add(fmt.Sprintf("%s/invoice_must_show/%d", at, i), "an entry cannot be empty")
		}
		bounded(f, fmt.Sprintf("%s/invoice_must_show/%d", at, i), line)
	}
	if r.KeepRecordsYears < 0 || r.KeepRecordsYears > MaxYears {
		f.Add(at+"/keep_records_years", "whole years from 0 to %d are needed", MaxYears)
	}
}

// check holds a consent rule against its shape: what the shape needs must be
// there, and nothing else, so that no number looks as if it counted.
func (c Consent) check(f *fault.Collector, at string) {
	needs, ok := map[Shape]struct{ amount, percent, cap bool }{
		NoneOver: {}, LesserOf: {true, true, false}, GreaterOfCapped: {true, true, true}, Percent: {false, true, false},
	}[c.Shape]
	if !ok {
		f.Add(at+"/shape", "the shape is one of %s", listed(Shapes()))
		return
	}
	one := func(field, value string, needed bool, places int32) decimal.Decimal {
		if !needed && value != "" {
			f.Add(at+field, "the shape %s has no such number", c.Shape)
		}
		if !needed {
			return decimal.Decimal{}
		}
		return number(f, at+field, value, places)
	}
	amount := one("/amount", c.Amount, needs.amount, amountPlaces)
	if one("/percent", c.Percent, needs.percent, percentPlaces).GreaterThan(hundred) {
		f.Add(at+"/percent", "a percent from 0 to 100 is needed")
	}
	if most := one("/cap", c.Cap, needs.cap, amountPlaces); needs.cap && most.LessThan(amount) {
		f.Add(at+"/cap", "the cap is below the amount that it caps")
	}
}

var hundred = decimal.NewFromInt(100)

// number reads a number that is needed and not negative.
func number(f *fault.Collector, at, s string, places int32) decimal.Decimal {
	d, err := money.ParseDecimal(s, money.MaxIntegerDigits, places)
	switch {
	case s == "":
		f.Add(at, "a number is needed; 0 is one")
	case err != nil:
		f.Add(at, "%s", fault.As(err).Detail)
	case d.IsNegative():
		f.Add(at, "this cannot be negative")
	default:
		return d
	}
	return decimal.Decimal{}
}

// known checks that a list holds only words of another, each once.
func known[T ~string](f *fault.Collector, at string, words, all []T) {
	if len(words) > len(all) {
		f.Add(at, "at most %d entries are allowed", len(all))
		return
	}
	for i, w := range words {
		if !slices.Contains(all, w) {
			f.Add(fmt.Sprintf("%s/%d", at, i), "this is one of %s", listed(all))
		} else if slices.Contains(words[:i], w) {
			f.Add(fmt.Sprintf("%s/%d", at, i), "this is in the list already")
		}
	}
}

func bounded(f *fault.Collector, at, text string) {
	if utf8.RuneCountInString(text) > MaxTextLength {
		f.Add(at, "use at most %d characters", MaxTextLength)
	}
}

func listed[T ~string](words []T) string {
	texts := make([]string, len(words))
	for i, w := range words {
		texts[i] = string(w)
	}
	return strings.Join(texts, ", ")
}
