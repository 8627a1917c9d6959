package method

import (
	"math"
	"math/big"
	"math/bits"

	"github.com/shopspring/decimal"
)

// ratio is an exact rational number. Nearly all amounts fit into machine words and
// are kept there; one that does not is a big number. The zero value is no number
// at all, which tells a zone that a rule does not cover from one it makes nothing for.
type ratio struct {
	n, d int64 // lowest terms, d above 0
	big  *big.Rat
}

func whole(n int64) ratio { return ratio{n: n, d: 1} }

// ratioOf takes over a big number.
func ratioOf(r *big.Rat) ratio {
	if r.Num().IsInt64() && r.Denom().IsInt64() && r.Num().Int64() != math.MinInt64 {
		return ratio{n: r.Num().Int64(), d: r.Denom().Int64()}
	}
	return ratio{big: r}
}

// rat is the number as a big one, which nobody writes to.
func (a ratio) rat() *big.Rat {
	if a.big != nil {
		return a.big
	}
	if a.d == 0 {
		return new(big.Rat)
	}
	return big.NewRat(a.n, a.d)
}

// known reports whether there is a number.
func (a ratio) known() bool { return a.d != 0 || a.big != nil }

func (a ratio) sign() int {
	switch {
	case a.big != nil:
		return a.big.Sign()
	case a.n > 0:
		return 1
	case a.n < 0:
		return -1
	}
	return 0
}

// times multiplies. In machine words the terms are reduced crosswise first, so
// that the product is in lowest terms.
func (a ratio) times(b ratio) ratio {
	if a.big == nil && b.big == nil && a.d > 0 && b.d > 0 {
		g, h := common(a.n, b.d), common(b.n, a.d)
		n, ok := product(a.n/g, b.n/h)
		d, fits := product(a.d/h, b.d/g)
		if ok && fits {
			return ratio{n: n, d: d}
		}
	}
	return ratioOf(new(big.Rat).Mul(a.rat(), b.rat()))
}

// over divides; b is not 0.
func (a ratio) over(b ratio) ratio {
	if b.big == nil && b.n > 0 {
		return a.times(ratio{n: b.d, d: b.n})
	}
	return ratioOf(new(big.Rat).Quo(a.rat(), b.rat()))
}

func (a ratio) plus(b ratio) ratio {
	if a.big == nil && b.big == nil && a.d > 0 && b.d > 0 {
		g := common(a.d, b.d)
		x, ok := product(a.n, b.d/g)
		y, fits := product(b.n, a.d/g)
		d, also := product(a.d/g, b.d)
		n := x + y
		if ok && fits && also && n != math.MinInt64 && ((x >= 0) != (y >= 0) || (n >= 0) == (x >= 0)) {
			h := common(n, d)
			return ratio{n: n / h, d: d / h}
		}
	}
	return ratioOf(new(big.Rat).Add(a.rat(), b.rat()))
}

func (a ratio) minus(b ratio) ratio {
	if b.big == nil {
		return a.plus(ratio{n: -b.n, d: max(b.d, 1)})
	}
	return a.plus(ratioOf(new(big.Rat).Neg(b.big)))
}

// round rounds once, half away from zero.
func (a ratio) round(places int32) decimal.Decimal {
	if a.big == nil && a.d > 0 && a.n >= 0 && places < int32(len(tens)) {
		high, low := bits.Mul64(uint64(a.n), uint64(tens[places]))
		if high < uint64(a.d) {
			q, left := bits.Div64(high, low, uint64(a.d))
			if left >= uint64(a.d)-left {
				q++
			}
			if q < 1<<63 {
				return decimal.New(int64(q), -places)
			}
		}
	}
	return decimal.NewFromBigRat(a.rat(), places)
}

// is reports whether the number is exactly a decimal.
func (a ratio) is(d decimal.Decimal) bool { return d.Rat().Cmp(a.rat()) == 0 }

// tooLong reports whether the number has outgrown what amounts may have.
func (a ratio) tooLong() bool {
	return a.big != nil && (a.big.Num().BitLen() > maxAmountBits || a.big.Denom().BitLen() > maxAmountBits)
}

var tens = [...]int64{1, 10, 100, 1_000, 10_000, 100_000, 1_000_000, 10_000_000, 100_000_000, 1_000_000_000}

// plain reads a plain decimal of few digits, as quantities nearly all are. ok is
// false for any other text, right or wrong.
func plain(text string) (r ratio, ok bool) {
	var n int64
	places, point := 0, false
	if len(text) == 0 || len(text) > 15 || text[0] == '.' || text[len(text)-1] == '.' {
		return ratio{}, false
	}
	for i := range len(text) {
		switch c := text[i]; {
		case c == '.' && !point:
			point = true
		case c < '0' || c > '9':
			return ratio{}, false
		default:
			n = 10*n + int64(c-'0')
			if point {
				places++
			}
		}
	}
	before := len(text) - places
	if point {
		before--
	}
	if places > quantityPlaces || before > quantityDigits {
		return ratio{}, false
	}
	g := common(n, tens[places])
	return ratio{n: n / g, d: tens[places] / g}, true
}

// common is the greatest common divisor; b is above 0.
func common(a, b int64) int64 {
	if a < 0 {
		a = -a
	}
	for a != 0 {
		a, b = b%a, a
	}
	return b
}

// product multiplies; ok is false where the product does not fit.
func product(a, b int64) (n int64, ok bool) {
	high, low := bits.Mul64(magnitude(a), magnitude(b))
	if high != 0 || low >= 1<<63 {
		return 0, false
	}
	if (a < 0) != (b < 0) {
		return -int64(low), true
	}
	return int64(low), true
}

func magnitude(a int64) uint64 {
	if a < 0 {
		return uint64(-a)
	}
	return uint64(a)
}
