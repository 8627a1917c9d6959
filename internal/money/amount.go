package money

import (
	"cmp"
	"math/big"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Amount is a whole number of minor units of one currency. The zero value is
// zero in no currency. Amounts are values: no method changes its receiver.
// Compare with Equal or Cmp, not with ==.
type Amount struct {
	minor    int64            // minor units, unless wide is set
	wide     *decimal.Decimal // major units, where int64 might not hold them
	currency Currency
}

// int64Digits is the number of decimal digits that always fit an int64.
const int64Digits = 18

var powersOfTen = func() (powers [int64Digits + 1]int64) {
	powers[0] = 1
	for i := 1; i <= int64Digits; i++ {
		powers[i] = 10 * powers[i-1]
	}
	return powers
}()

// at makes an amount of d, which has no more places than c.
func at(d decimal.Decimal, c Currency) Amount {
	if d.IsZero() {
		return Amount{currency: c}
	}
	// NumDigits may be one short next to a power of ten; int64 has the room.
	shift := int(d.Exponent() + c.places)
	if shift >= 0 && d.NumDigits()+shift <= int64Digits {
		return Amount{minor: d.CoefficientInt64() * powersOfTen[shift], currency: c}
	}
	wide := d // a copy, so that d itself stays off the heap
	return Amount{wide: &wide, currency: c}
}

// Zero returns nothing in currency c.
func Zero(c Currency) Amount { return Amount{currency: c} }

// Round rounds d to the minor unit of c, half away from zero.
func Round(d decimal.Decimal, c Currency) Amount {
	drop := -int(d.Exponent() + c.places)
	if drop <= 0 || drop > int64Digits || d.NumDigits() > int64Digits {
		return at(d.Round(c.places), c)
	}
	// The same in integers, because this is where pricing spends its time.
	unit := powersOfTen[drop]
	minor, rest := d.CoefficientInt64()/unit, d.CoefficientInt64()%unit
	if rest >= unit-rest {
		minor++
	} else if -rest >= unit+rest {
		minor--
	}
	return Amount{minor: minor, currency: c}
}

// RoundQuotient rounds numerator/denominator to the minor unit of c, half away
// from zero, without rounding the quotient in between. A zero denominator is a
// defect of the caller and panics as the division does.
func RoundQuotient(numerator, denominator decimal.Decimal, c Currency) Amount {
	return at(numerator.DivRound(denominator, c.places), c)
}

// FromMinor returns the amount of n minor units of c: 1230 US cents are 12.30.
func FromMinor(n int64, c Currency) Amount {
	return Amount{minor: n, currency: c}
}

// Parse reads an amount written as a plain decimal with at most the places of
// c and at most MaxIntegerDigits before the point; it never rounds. Errors are
// those of ParseDecimal.
func Parse(s string, c Currency) (Amount, error) {
	d, err := ParseDecimal(s, MaxIntegerDigits, c.places)
	if err != nil {
		return Amount{}, err
	}
	return at(d, c), nil
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
	sum := a.minor + b.minor
	overflow := (sum > a.minor) != (b.minor > 0) && b.minor != 0
	if a.wide != nil || b.wide != nil || overflow {
		return at(a.Decimal().Add(b.Decimal()), a.currency), nil
	}
	return Amount{minor: sum, currency: a.currency}, nil
}

// Sub returns a - b, or a fault.Invalid "mixed-currencies".
func (a Amount) Sub(b Amount) (Amount, error) { return a.Add(b.Neg()) }

// Cmp returns -1, 0 or +1 as a is less than, equal to or more than b, or a
// fault.Invalid "mixed-currencies".
func (a Amount) Cmp(b Amount) (int, error) {
	if err := a.sameCurrency(b); err != nil {
		return 0, err
	}
	if a.wide != nil || b.wide != nil {
		return a.Decimal().Cmp(b.Decimal()), nil
	}
	return cmp.Compare(a.minor, b.minor), nil
}

// Equal reports whether a and b are the same amount of the same currency.
func (a Amount) Equal(b Amount) bool {
	order, err := a.Cmp(b)
	return err == nil && order == 0
}

// Neg returns -a.
func (a Amount) Neg() Amount {
	if a.wide != nil || a.minor == -a.minor && a.minor != 0 { // the lowest int64 is its own negative
		return at(a.Decimal().Neg(), a.currency)
	}
	return Amount{minor: -a.minor, currency: a.currency}
}

// IsZero reports whether a is nothing.
func (a Amount) IsZero() bool { return a.Sign() == 0 }

// Sign returns -1, 0 or +1.
func (a Amount) Sign() int {
	if a.wide != nil {
		return a.wide.Sign()
	}
	return cmp.Compare(a.minor, 0)
}

// Decimal returns the value in major units, for further exact arithmetic.
func (a Amount) Decimal() decimal.Decimal {
	if a.wide != nil {
		return *a.wide
	}
	return decimal.New(a.minor, -a.currency.places)
}

// Currency returns the currency.
func (a Amount) Currency() Currency { return a.currency }

// Fits reports whether a is within what Parse accepts: at most MaxIntegerDigits
// before the point. Callers check it on computed amounts before they keep them.
func (a Amount) Fits() bool {
	limit := powersOfTen[MaxIntegerDigits+a.currency.places]
	return a.wide == nil && -limit < a.minor && a.minor < limit
}

// Minor returns the number of minor units. Every amount that Fits, and the sum
// of some thousands of them, is well inside int64; beyond int64 Minor panics
// rather than wrap.
func (a Amount) Minor() int64 {
	if a.wide == nil {
		return a.minor
	}
	minor := a.units()
	if !minor.IsInt64() {
		panic("money: amount beyond int64 minor units; check Fits first")
	}
	return minor.Int64()
}

// units returns the minor units as a new integer of any size.
func (a Amount) units() *big.Int {
	if a.wide == nil {
		return big.NewInt(a.minor)
	}
	return a.wide.Shift(a.currency.places).BigInt()
}

// String writes the amount with exactly the places of its currency and no
// currency code: "12.30", "-0.05", "1200".
func (a Amount) String() string { return a.Decimal().StringFixed(a.currency.places) }

// MarshalJSON writes String as a JSON string.
func (a Amount) MarshalJSON() ([]byte, error) { return []byte(`"` + a.String() + `"`), nil }

func (a Amount) sameCurrency(b Amount) error {
	if a.currency == b.currency {
		return nil
	}
	return fault.New(fault.Invalid, "mixed-currencies",
		"amounts in %s and %s do not add; state both in one currency first", a.currency, b.currency)
}
