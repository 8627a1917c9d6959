package localrules

import (
	"fmt"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"bareframe/internal/money"
)

// Held against rationals: consent is due just when the extra is above zero and
// above what the shape allows, and the allowed amount is the last one without it.
func TestConsentAgainstRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		currency := rapid.SampledFrom([]string{"USD", "JPY", "KWD"}).Draw(t, "currency")
		in, err := money.ParseCurrency(currency)
		if err != nil {
			t.Fatal(err)
		}
		flat, share := rapid.Int64Range(0, 20000).Draw(t, "amount"), rapid.Int64Range(0, 1000000).Draw(t, "percent")
		above := rapid.Int64Range(0, 90000).Draw(t, "cap over amount")
		c := Consent{Shape: rapid.SampledFrom(Shapes()).Draw(t, "shape"), Amount: places(flat, 3), Percent: places(share, 4), Cap: places(flat+above, 3)}
		c = c.reshaped(c.Shape)
		authorised := rapid.Int64Range(0, 9_000_000).Draw(t, "authorised")
		revised := authorised + rapid.Int64Range(-1000, 9_000_000).Draw(t, "extra")
		revised = max(revised, 0)
		got, err := ConsentDue(withConsent(c), money.FromMinor(authorised, in), money.FromMinor(revised, in))
		if err != nil {
			t.Fatal(err)
		}
		unit := new(big.Rat).SetFrac64(1, pow10(in.Places()))
		allowed := rational(c, flat, share, flat+above, new(big.Rat).Mul(big.NewRat(authorised, 1), unit))
		extra := new(big.Rat).Mul(big.NewRat(revised-authorised, 1), unit)
		if want := extra.Sign() > 0 && extra.Cmp(allowed) > 0; got.Due != want {
			t.Fatalf("%+v: %d to %d %s: due %v, want %v (allowed %s)", c, authorised, revised, currency, got.Due, want, allowed)
		}
		shown, _ := new(big.Rat).SetString(got.Allowed.String())
		if shown.Cmp(allowed) > 0 || new(big.Rat).Add(shown, unit).Cmp(allowed) <= 0 {
			t.Fatalf("%+v: shown as allowed %s, exactly %s", c, got.Allowed, allowed)
		}
	})
}

func rational(c Consent, flat, share, most int64, authorised *big.Rat) *big.Rat {
	amount, limit := big.NewRat(flat, 1000), big.NewRat(most, 1000)
	percent := new(big.Rat).Mul(authorised, big.NewRat(share, 1_000_000))
	lesser, greater := amount, percent
	if percent.Cmp(amount) < 0 {
		lesser, greater = percent, amount
	}
	switch c.Shape {
	case LesserOf:
		return lesser
	case Percent:
		return percent
	case GreaterOfCapped:
		if greater.Cmp(limit) > 0 {
			return limit
		}
		return greater
	}
	return new(big.Rat)
}

func places(n int64, digits int32) string {
	unit := pow10(digits)
	return fmt.Sprintf("%d.%0*d", n/unit, digits, n%unit)
}

func pow10(n int32) int64 {
	p := int64(1)
	for range n {
		p *= 10
	}
	return p
}
