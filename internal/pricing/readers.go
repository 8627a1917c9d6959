package pricing

import (
	"slices"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// faults gathers faults and counts them.
type faults struct {
	fault.Collector
	count int
}

// Add notes a fault at pointer.
func (f *faults) Add(pointer, detail string, args ...any) {
	f.count++
	f.Collector.Add(pointer, detail, args...)
}

// fault notes the detail of err at pointer.
func (d *document) fault(pointer string, err error) {
	d.faults.Add(pointer, "%s", fault.As(err).Detail)
}

// class checks that a tax class is known and has a rate, and returns the rate.
func (d *document) class(at, field string, c TaxClass) decimal.Decimal {
	rate, ok := d.rates[c]
	switch {
	case ok:
	case slices.Contains(TaxClasses(), c):
		d.faults.Add(at+field, "the shop has no rate for the tax class %s", c)
	default:
		d.faults.Add(at+field, "%s", unknownClass)
	}
	return rate
}

// id checks an identifier and reports whether it can be used as one.
func (d *document) id(at, field, id string) bool {
	if id == "" || utf8.RuneCountInString(id) > MaxIDLength {
		d.faults.Add(at+field, "an id of 1 to %d characters is needed", MaxIDLength)
		return false
	}
	return true
}

func (d *document) text(at, field, text string) {
	if utf8.RuneCountInString(text) > MaxTextLength {
		d.faults.Add(at+field, "use at most %d characters", MaxTextLength)
	}
}

// positive reads a decimal that is not negative; empty text is zero.
func (d *document) positive(at, field, s string, places int32) decimal.Decimal {
	if s == "" {
		return decimal.Decimal{}
	}
	value, err := money.ParseDecimal(s, MaxIntDigits, places)
	if err != nil {
		d.fault(at+field, err)
	} else if value.IsNegative() {
		d.faults.Add(at+field, "this cannot be negative")
		return decimal.Decimal{}
	}
	return value
}

// percent reads a percent from 0 to most; empty text is zero.
func (d *document) percent(at, field, s string, most decimal.Decimal) decimal.Decimal {
	value := d.positive(at, field, s, percentPlaces)
	if s != "" && value.GreaterThan(most) {
		d.faults.Add(at+field, "a percent from 0 to %s is needed", most)
	}
	return value
}

// amount reads an amount that is not negative; empty text is zero.
func (d *document) amount(at, field, s string) money.Amount {
	if s == "" {
		return d.zero()
	}
	a, err := money.Parse(s, d.currency)
	if err != nil {
		d.fault(at+field, err)
		return d.zero()
	}
	if a.Sign() < 0 {
		d.faults.Add(at+field, "this cannot be negative")
		return d.zero()
	}
	return a
}

// portion is a percent of something, or an amount.
type portion struct {
	percent   decimal.Decimal
	amount    money.Amount
	byPercent bool
}

// portion reads what must be given in exactly one of two ways.
func (d *document) portion(at, percent, amount string) portion {
	if (percent == "") == (amount == "") {
		d.faults.Add(at, "give a percent or an amount, and not both")
		return portion{amount: d.zero()}
	}
	if amount != "" {
		return portion{amount: d.amount(at, "/amount", amount)}
	}
	return portion{percent: d.percent(at, "/percent", percent, maxPercent), byPercent: true}
}

// of returns the portion of base, rounded when it is a percent.
func (p portion) of(base money.Amount) money.Amount {
	if !p.byPercent {
		return p.amount
	}
	return money.Round(base.Decimal().Mul(p.percent).Shift(-2), base.Currency())
}
