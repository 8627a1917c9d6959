package method

import (
	"math"
	"math/big"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/money"
)

// drawn is a rational, often at the edge of what fits into machine words.
var drawn = rapid.Custom(func(t *rapid.T) *big.Rat {
	edge := rapid.OneOf(rapid.Int64(), rapid.Int64Range(-1000, 1000), rapid.Int64Range(math.MaxInt64-3, math.MaxInt64), rapid.Int64Range(math.MinInt64, math.MinInt64+3))
	r := big.NewRat(edge.Draw(t, "above"), 1)
	below := edge.Draw(t, "below")
	if below == 0 {
		below = 7
	}
	r.Quo(r, big.NewRat(below, 1))
	if rapid.Bool().Draw(t, "long") {
		r.Mul(r, big.NewRat(math.MaxInt64, 3))
	}
	return r
})

// Held against math/big, which knows no words.
func TestRatiosAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawn.Draw(t, "a"), drawn.Draw(t, "b")
		x, y := ratioOf(a), ratioOf(b)
		same := func(what string, got ratio, want *big.Rat) {
			if got.rat().Cmp(want) != 0 || got.sign() != want.Sign() || !got.known() {
				t.Fatalf("%s %s %s is %s, want %s", a, what, b, got.rat(), want)
			}
		}
		same("times", x.times(y), new(big.Rat).Mul(a, b))
		same("plus", x.plus(y), new(big.Rat).Add(a, b))
		same("minus", x.minus(y), new(big.Rat).Sub(a, b))
		if b.Sign() != 0 {
			same("over", x.over(y), new(big.Rat).Quo(a, b))
		}
		places := rapid.Int32Range(0, 6).Draw(t, "places")
		if got, want := x.round(places), decimal.NewFromBigRat(a, places); !got.Equal(want) {
			t.Fatalf("%s to %d places is %s, want %s", a, places, got, want)
		}
	})
}

// What is read quickly is what the careful reader reads.
func TestPlainQuantitiesAreReadAsAnyOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[0-9]{0,11}(\.[0-9]{0,8})?[-e ]?`).Draw(t, "text")
		quick, ok := plain(text)
		d, err := money.ParseDecimal(text, quantityDigits, quantityPlaces)
		if ok && (err != nil || quick.rat().Cmp(d.Rat()) != 0) {
			t.Fatalf("%q is %s, and %v (%v)", text, quick.rat(), d, err)
		}
		if !ok && err == nil && len(text) <= 15 {
			t.Fatalf("%q is %s and was not read", text, d)
		}
	})
}
