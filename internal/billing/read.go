package billing

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Bounds of an input. They keep every amount inside what money prints.
const (
	MaxEntries    = 5000
	MaxMinutes    = 10_000_000
	MaxDays       = 36_500
	MaxTextLength = 2000
	intDigits     = 9
	ratePlaces    = 6
	percentPlaces = 4
)

const code = "billing-input"

var hundred = decimal.NewFromInt(100)

// reader parses and notes what is wrong.
type reader struct {
	fault.Collector
	currency money.Currency
	rates    map[string]decimal.Decimal
	classes  []string // in the order of the rates, exempt last
}

func read(currency string) *reader {
	r := &reader{rates: map[string]decimal.Decimal{Exempt: {}}}
	var err error
	if r.currency, err = money.ParseCurrency(currency); err != nil {
		r.Add("/currency", "%s", fault.As(err).Detail)
		r.currency, _ = money.ParseCurrency("KWD") // three places, so that the rest can still be read
	}
	return r
}

func (r *reader) taxRates(rates []TaxRate) {
	for i, rate := range rates {
		at := fmt.Sprintf("/tax_rates/%d", i)
		percent := r.number(at+"/percent", rate.Percent, percentPlaces)
		if percent.GreaterThan(hundred) {
			r.Add(at+"/percent", "a percent from 0 to 100 is needed")
		}
		if rate.Class == Exempt {
			if !percent.IsZero() {
				r.Add(at+"/percent", "the class exempt is never taxed; leave it out or say 0")
			}
			continue
		}
		if _, twice := r.rates[rate.Class]; twice {
			r.Add(at+"/class", "this class has a rate already")
			continue
		}
		r.text(at+"/class", rate.Class)
		r.rates[rate.Class] = percent
		r.classes = append(r.classes, rate.Class)
	}
	r.classes = append(r.classes, Exempt)
}

// class checks that what is charged has a rate.
func (r *reader) class(at, class string) {
	if _, ok := r.rates[class]; !ok {
		r.Add(at, "the shop has no rate for the tax class %q", class)
	}
}

func (r *reader) number(at, s string, places int32) decimal.Decimal {
	d, err := money.ParseDecimal(s, intDigits, places)
	if err != nil {
		r.Add(at, "%s", fault.As(err).Detail)
		return decimal.Decimal{}
	}
	if d.IsNegative() {
		r.Add(at, "this cannot be negative")
		return decimal.Decimal{}
	}
	return d
}

func (r *reader) amount(at, s string) money.Amount {
	a, err := money.Parse(s, r.currency)
	if err != nil {
		r.Add(at, "%s", fault.As(err).Detail)
		return r.zero()
	}
	if a.Sign() < 0 {
		r.Add(at, "this cannot be negative")
		return r.zero()
	}
	return a
}

func (r *reader) whole(at string, n, most int) int {
	if n < 0 || n > most {
		r.Add(at, "a whole number from 0 to %d is needed", most)
		return 0
	}
	return n
}

func (r *reader) text(at, s string) {
	if strings.TrimSpace(s) == "" || utf8.RuneCountInString(s) > MaxTextLength {
		r.Add(at, "a text of 1 to %d characters is needed", MaxTextLength)
	}
}

// bounded reports whether a list is short enough to be read.
func (r *reader) bounded(at string, n int) bool {
	if n > MaxEntries {
		r.Add(at, "at most %d entries are allowed, and there are %d", MaxEntries, n)
	}
	return n <= MaxEntries
}

func (r *reader) zero() money.Amount { return money.Zero(r.currency) }

// plus adds amounts of one input, which are all made in its currency.
func plus(a, b money.Amount) money.Amount {
	sum, err := a.Add(b)
	if err != nil {
		panic("billing: one input in two currencies: " + err.Error())
	}
	return sum
}

func minus(a, b money.Amount) money.Amount { return plus(a, b.Neg()) }
