package takeoff

import (
	"math"

	"github.com/shopspring/decimal"

	"bareframe/internal/measure"
)

// SteelDensity is the true density of mild steel in kg/m3 that weights rest on.
const SteelDensity = 7850

const (
	kgOfMM2M = SteelDensity * 1e-6 // 1 mm2 of steel over 1 m
	minutes  = 60                  // in an hour
)

// aTie is how near below a tie a value counts as one, as a share of it: hundreds of
// times what a chain of operations here is off, and far less than a quantity shows.
const aTie = 1e-12

// rounded is a value in whole units of the last place, half away from zero. Binary
// fractions miss decimal ties by a hair, so what lies within aTie of one is one.
// Values are not negative and are bounded by what is read.
func rounded(v float64, places int32) int64 {
	return int64(math.Floor(v*powers[places]*(1+aTie) + 0.5))
}

var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6}

// Places is how many decimal places quantities of a unit are rounded to: areas to
// 1 cm2, litres to 0.1 ml, kilograms to 0.1 g, hours to 0.0001 h, lengths to 1 mm,
// films to 0.1 um, pieces to 0.01 because they may be expected ones.
func Places(u measure.Unit) int32 {
	switch u {
	case measure.Metre:
		return 3
	case measure.Micrometre:
		return 1
	case measure.Piece:
		return 2
	}
	return 4
}

// asDecimal is the value of whole units of the last place.
func asDecimal(units int64, places int32) decimal.Decimal { return decimal.New(units, -places) }
