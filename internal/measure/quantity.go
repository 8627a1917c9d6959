package measure

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Bounds of a quantity that Parse accepts, in digits.
const (
	MaxIntegerDigits = 9
	MaxPlaces        = 6
)

// Quantity is a number of units. The zero value is nothing of no unit.
type Quantity struct {
	Value decimal.Decimal
	Unit  Unit
}

// Parse reads a quantity that is not negative, with at most MaxIntegerDigits
// digits before the point and MaxPlaces after it. Errors are fault.Invalid:
// "unknown-unit", "decimal-form", "decimal-size" or "negative-quantity".
func Parse(value, unit string) (Quantity, error) {
	u, err := ParseUnit(unit)
	if err != nil {
		return Quantity{}, err
	}
	d, err := money.ParseDecimal(value, MaxIntegerDigits, MaxPlaces)
	if err != nil {
		return Quantity{}, err
	}
	if d.IsNegative() {
		return Quantity{}, fault.New(fault.Invalid, "negative-quantity", "a quantity cannot be negative")
	}
	return Quantity{Value: d, Unit: u}, nil
}

// Convert states q in another unit of the same dimension, rounded once, half
// away from zero, to places after the point. The factors are exact, so the
// result is exact wherever it needs no more places. An unknown unit is a
// fault.Invalid "unknown-unit", another dimension "unlike-units".
func (q Quantity) Convert(to Unit, places int32) (Quantity, error) {
	from, ok := byUnit[q.Unit]
	target, ok2 := byUnit[to]
	if !ok || !ok2 {
		return Quantity{}, fault.New(fault.Invalid, "unknown-unit", "the unit is not known here")
	}
	if from.dimension != target.dimension {
		return Quantity{}, fault.New(fault.Invalid, "unlike-units",
			"%s measures %s and %s measures %s; they do not convert", q.Unit, from.dimension, to, target.dimension)
	}
	return Quantity{Value: q.Value.Mul(from.factor).DivRound(target.factor, places), Unit: to}, nil
}

// Add returns the sum in the unit of q, rounded to places as by Convert.
func (q Quantity) Add(other Quantity, places int32) (Quantity, error) {
	same, err := other.Convert(q.Unit, places)
	if err != nil {
		return Quantity{}, err
	}
	return Quantity{Value: q.Value.Add(same.Value), Unit: q.Unit}, nil
}

// String writes the value without trailing zeros, a blank and the unit: "12.5 ft".
func (q Quantity) String() string { return q.Value.String() + " " + string(q.Unit) }
