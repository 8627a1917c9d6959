package pricing

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// Bounds of an input. They keep a price computable in milliseconds and every
// amount within money.MaxIntegerDigits.
const (
	MaxLines       = 5000
	MaxPhases      = 200
	MaxAdjustments = 100
	MaxDraws       = 100
	MaxIDLength    = 100
	MaxTextLength  = 2000
	MaxIntDigits   = 9 // of a quantity or unit price
	MaxPlaces      = 6 // of a quantity or unit price
	percentPlaces  = 4
)

var (
	one     = decimal.NewFromInt(1)
	hundred = decimal.NewFromInt(100)

	maxPercent = hundred
	maxMarkup  = decimal.NewFromInt(1000) // more is a slip of the finger
)

// read parses everything in the input that can be judged by itself.
func read(in Input) *document {
	d := &document{in: in, rates: map[TaxClass]decimal.Decimal{Exempt: {}},
		rateText: map[TaxClass]string{Exempt: "0"}, phases: map[string]int{}}
	var err error
	if d.currency, err = money.ParseCurrency(in.Currency); err != nil {
		d.fault("/currency", err)
		d.currency, _ = money.ParseCurrency("KWD") // three places, so that the rest can still be read
	}
	if in.TaxBasis != PerDocument && in.TaxBasis != PerLine {
		d.faults.Add("/tax_basis", `the tax basis is "document" or "line"`)
	}
	if !d.bounded() {
		return d // the rest would take too long, and so would its faults
	}
	d.readRates()
	d.readPhases()
	d.readLines()
	d.checkOptions()
	d.checkCarried()
	d.readAdjustments()
	d.readSchedule()
	d.prepaid = d.amount("", "/prepaid", in.Prepaid)
	return d
}

// bounded checks the lengths of the lists and reports whether all are allowed.
func (d *document) bounded() bool {
	ok := true
	for _, list := range []struct {
		pointer string
		n, most int
	}{
		{"/tax_rates", len(d.in.TaxRates), len(TaxClasses())},
		{"/phases", len(d.in.Phases), MaxPhases},
		{"/lines", len(d.in.Lines), MaxLines},
		{"/adjustments", len(d.in.Adjustments), MaxAdjustments},
		{"/draws", len(d.in.Draws), MaxDraws},
	} {
		if list.n > list.most {
			d.faults.Add(list.pointer, "at most %d entries are allowed, and there are %d", list.most, list.n)
			ok = false
		}
	}
	return ok
}

func (d *document) readRates() {
	seen := map[TaxClass]bool{}
	for i, rate := range d.in.TaxRates {
		at := fmt.Sprintf("/tax_rates/%d", i)
		if !slices.Contains(TaxClasses(), rate.Class) {
			d.faults.Add(at+"/class", "%s", unknownClass)
			continue
		}
		if seen[rate.Class] {
			d.faults.Add(at+"/class", "this class has a rate already")
		}
		seen[rate.Class] = true
		percent := d.percent(at, "/percent", rate.Percent, maxPercent)
		if rate.Percent == "" {
			d.faults.Add(at+"/percent", "a rate needs a percent; 0 is a rate")
		}
		if rate.Class == Exempt && !percent.IsZero() {
			d.faults.Add(at+"/percent", "the class exempt is never taxed; leave it out or say 0")
		}
		d.rates[rate.Class], d.rateText[rate.Class] = percent, percent.String()
	}
}

func (d *document) readPhases() {
	for i, p := range d.in.Phases {
		at := fmt.Sprintf("/phases/%d", i)
		d.text(at, "/name", p.Name)
		if !d.id(at, "/id", p.ID) {
			continue
		}
		if _, twice := d.phases[p.ID]; twice {
			d.faults.Add(at+"/id", "another phase has this id")
			continue
		}
		d.phases[p.ID] = i
	}
}

var unknownClass = "the tax class must be one of " + joined(TaxClasses())

func joined[T ~string](words []T) string {
	texts := make([]string, len(words))
	for i, w := range words {
		texts[i] = string(w)
	}
	return strings.Join(texts, ", ")
}
