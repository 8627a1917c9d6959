package money

import (
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// MaxIntegerDigits bounds what Parse accepts: below a million million.
const MaxIntegerDigits = 12

// ParseDecimal reads a plain decimal: an optional minus sign, digits, and an
// optional point with digits after it. It is meant for quantities, unit prices
// and percents, which may carry more places than a currency.
//
// Exponents, NaN, infinities, a plus sign, blanks, separators and a leading or
// trailing point are refused, as are more than maxInt integer digits (leading
// zeros count) or more than maxPlaces decimal places. Errors are fault.Invalid
// with the code "decimal-form" or "decimal-size". O(len(s)), bounded by the limits.
func ParseDecimal(s string, maxInt, maxPlaces int32) (decimal.Decimal, error) {
	whole, frac, point := strings.Cut(strings.TrimPrefix(s, "-"), ".")
	if !digits(whole) || point && !digits(frac) {
		return decimal.Decimal{}, fault.New(fault.Invalid, "decimal-form",
			"write a plain decimal number such as 12.5, with a point and without exponent, blanks or separators")
	}
	if len(whole) > int(maxInt) || len(frac) > int(maxPlaces) {
		return decimal.Decimal{}, fault.New(fault.Invalid, "decimal-size",
			"use at most %d digits before the point and %d after it", maxInt, maxPlaces)
	}
	if len(whole)+len(frac) <= int64Digits {
		return small(strings.HasPrefix(s, "-"), whole, frac), nil
	}
	d, err := decimal.NewFromString(s)
	if err != nil {
		return decimal.Decimal{}, fault.New(fault.Invalid, "decimal-form", "this is not a decimal number").Because(err)
	}
	return d, nil
}

// small makes the decimal of digits that fit an int64, as almost all do.
func small(negative bool, whole, frac string) decimal.Decimal {
	n := int64(0)
	for _, part := range [...]string{whole, frac} {
		for i := range len(part) {
			n = 10*n + int64(part[i]-'0')
		}
	}
	if negative {
		n = -n
	}
	return decimal.New(n, -int32(len(frac)))
}

// digits reports whether s is one or more ASCII digits.
func digits(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}
