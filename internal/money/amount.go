package money

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Amount is a whole number of minor units of one currency. The zero value is
// zero in no currency. Amounts are values: no method changes its receiver.
// Compare with Equal or Cmp, not with ==.
type Amount struct {
	value    decimal.Decimal // already at the minor unit
	currency Currency
}

// Zero returns nothing in currency c.
func Zero(c Currency) Amount { return Amount{currency: c} }

// Round rounds d to the minor unit of c, half away from zero.
func Round(d decimal.Decimal, c Currency) Amount {
	return Amount{value: d.Round(c.places), currency: c}
}

// RoundQuotient rounds numerator/denominator to the minor unit of c, half away
// from zero, without rounding the quotient in between. A zero denominator is a
// defect of the caller and panics as the division does.
func RoundQuotient(numerator, denominator decimal.Decimal, c Currency) Amount {
	return Amount{value: numerator.DivRound(denominator, c.places), currency: c}
}

// FromMinor returns the amount of n minor units of c: 1230 US cents are 12.30.
func FromMinor(n int64, c Currency) Amount {
	return Amount{value: decimal.New(n, -c.places), currency: c}
}

// Parse reads an amount written as a plain decimal with at most the places of
// c and at most MaxIntegerDigits before the point; it never rounds. Errors are
// those of ParseDecimal.
func Parse(s string, c Currency) (Amount, error) {
	d, err := ParseDecimal(s, MaxIntegerDigits, c.places)
	if err != nil {
		return Amount{}, err
	}
	return Amount{value: d, currency: c}, nil
}

// Sum adds amounts, all of which must be in c; of none it is Zero(c).
func Sum(c Currency, amounts ...Amount) (Amount, error) {
	total := Zero(c)
	for _, a := range amounts {
		var err error
		if total, err = total.Add(a); err != nil {
			return Amount{}, err
		}
	}
	return total, nil
}

// Add returns a + b, or a fault.Invalid "mixed-currencies".
func (a Amount) Add(b Amount) (Amount, error) {
	if err := a.sameCurrency(b); err != nil {
		return Amount{}, err
	}
	return Amount{value: a.value.Add(b.value), currency: a.currency}, nil
}

// Sub returns a - b, or a fault.Invalid "mixed-currencies".
func (a Amount) Sub(b Amount) (Amount, error) { return a.Add(b.Neg()) }

// Cmp returns -1, 0 or +1 as a is less than, equal to or more than b, or a
// fault.Invalid "mixed-currencies".
func (a Amount) Cmp(b Amount) (int, error) {
	if err := a.sameCurrency(b); err != nil {
		return 0, err
	}
	return a.value.Cmp(b.value), nil
}

// Equal reports whether a and b are the same amount of the same currency.
func (a Amount) Equal(b Amount) bool {
	return a.currency == b.currency && a.value.Equal(b.value)
}

// Neg returns -a.
func (a Amount) Neg() Amount { return Amount{value: a.value.Neg(), currency: a.currency} }

// IsZero reports whether a is nothing.
func (a Amount) IsZero() bool { return a.value.IsZero() }

// Sign returns -1, 0 or +1.
func (a Amount) Sign() int { return a.value.Sign() }

// Decimal returns the value in major units, for further exact arithmetic.
func (a Amount) Decimal() decimal.Decimal { return a.value }

// Currency returns the currency.
func (a Amount) Currency() Currency { return a.currency }

// Fits reports whether a is within what Parse accepts: at most MaxIntegerDigits
// before the point. Callers check it on computed amounts before they keep them.
func (a Amount) Fits() bool {
	return a.value.Abs().LessThan(decimal.New(1, MaxIntegerDigits))
}

// Minor returns the number of minor units. Every amount that Fits, and the sum
// of some thousands of them, is well inside int64; beyond int64 Minor panics
// rather than wrap.
func (a Amount) Minor() int64 {
	minor := a.value.Shift(a.currency.places).BigInt()
	if !minor.IsInt64() {
		panic("money: amount beyond int64 minor units; check Fits first")
	}
	return minor.Int64()
}

// String writes the amount with exactly the places of its currency and no
// currency code: "12.30", "-0.05", "1200".
func (a Amount) String() string { return a.value.StringFixed(a.currency.places) }

// MarshalJSON writes String as a JSON string.
func (a Amount) MarshalJSON() ([]byte, error) { return []byte(`"` + a.String() + `"`), nil }

func (a Amount) sameCurrency(b Amount) error {
	if a.currency == b.currency {
		return nil
	}
	return fault.New(fault.Invalid, "mixed-currencies",
		"amounts in %s and %s do not add; state both in one currency first", a.currency, b.currency)
}
