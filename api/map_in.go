package api

import (
	"regexp"
	"strconv"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// reading turns the texts of one request into values and notes every one that
// cannot be read, so that one answer names them all. The zero value is ready.
type reading struct{ faults fault.Collector }

// err is nil when everything could be read, else Invalid "value-not-readable".
func (r *reading) err() error { return r.faults.Err("value-not-readable") }

// Digits of the longest decimals that the contract takes: money before the
// point, unit prices and percentages behind it.
const (
	wholeDigits   = money.MaxIntegerDigits
	decimalPlaces = 4
)

// decimal reads a plain decimal; an exponent, a blank or NaN is a fault.
func (r *reading) decimal(pointer, text string) decimal.Decimal {
	d, err := money.ParseDecimal(text, wholeDigits, decimalPlaces)
	if err != nil {
		r.faults.Add(pointer, "%s", fault.As(err).Detail)
	}
	return d
}

// optionalDecimal is decimal for a field that may be left out.
func (r *reading) optionalDecimal(pointer string, text *string) *decimal.Decimal {
	if text == nil {
		return nil
	}
	d := r.decimal(pointer, *text)
	return &d
}

// day reads a day that may be left out. The contract's pattern lets the 30th of
// February through; here it is a fault.
func (r *reading) day(pointer string, text *string) domain.Day {
	if text == nil {
		return ""
	}
	d, err := domain.ParseDay(*text)
	if err != nil {
		r.faults.Add(pointer, "%s", fault.As(err).Detail)
	}
	return d
}

// versionPattern is a strong entity tag of ours, the same without its quotes,
// or the bare version number. A weak tag never matches (RFC 9110, 13.1.1).
var versionPattern = regexp.MustCompile(`^(?:"v([1-9][0-9]{0,8})"|v?([1-9][0-9]{0,8}))$`)

// precondition reads If-Match: the version that an edit was made on. A missing
// header is the use case's to refuse.
func precondition(header *string) (app.Precondition, error) {
	if header == nil {
		return app.Precondition{}, nil
	}
	m := versionPattern.FindStringSubmatch(*header)
	if m == nil {
		return app.Precondition{}, fault.InvalidField("if-match-not-readable", "/header/If-Match",
			`Send the ETag of the last answer, such as "v12", as If-Match.`)
	}
	version, err := strconv.Atoi(m[1] + m[2])
	if err != nil {
		return app.Precondition{}, err
	}
	return app.Precondition{Given: true, Version: version}, nil
}

// ordinaryPage is how many rows a page has when nobody says.
const ordinaryPage = 50

func pageOf(limit *Limit, cursor *Cursor) app.Page {
	page := app.Page{Limit: ordinaryPage, After: orZero(cursor)}
	if limit != nil {
		page.Limit = *limit
	}
	return page
}

// orZero is what an optional field says, or the zero value when it is left out.
func orZero[T any](field *T) T {
	if field == nil {
		var zero T
		return zero
	}
	return *field
}
