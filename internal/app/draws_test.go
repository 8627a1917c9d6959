package app

import (
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

func currency(code string) money.Currency {
	c, err := money.ParseCurrency(code)
	if err != nil {
		panic(err)
	}
	return c
}

// Hand-worked by largest remainder: of 100.00 a third each of 33.33, 33.33 and
// 33.34 per cent is exact; of 0.05 the deposit of 20 % is 0.01 and 80 % 0.04; of
// 100 yen 33.5, 33.25 and 33.25 % are 33 each, and the unit that is left goes to
// the largest remainder, the first.
func TestDrawsByHand(t *testing.T) {
	for _, r := range []struct {
		code, total, deposit string
		draws, want          []string
	}{
		{"EUR", "100.00", "33.33", []string{"33.33", "33.34"}, []string{"33.33", "33.33", "33.34"}},
		{"EUR", "0.05", "20", []string{"80"}, []string{"0.01", "0.04"}},
		{"JPY", "100", "33.5", []string{"33.25", "33.25"}, []string{"34", "33", "33"}},
		{"KWD", "0.001", "20", []string{"80"}, []string{"0.000", "0.001"}},
		{"EUR", "10.00", "0", []string{"0", "100"}, []string{"10.00"}},
	} {
		basis := domain.PriceBasis{Deposit: dec(r.deposit)}
		for _, d := range r.draws {
			basis.Draws = append(basis.Draws, domain.DrawRule{Name: "Draw", Percent: dec(d)})
		}
		draws, err := drawsOf(money.Round(dec(r.total), currency(r.code)), basis)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, d := range draws {
			got = append(got, d.Amount)
		}
		if !slices.Equal(got, r.want) {
			t.Errorf("%s %s at %s and %v: %v, want %v", r.total, r.code, r.deposit, r.draws, got, r.want)
		}
	}
}

// Odd percentages, any currency: the draws are the total, and none is further
// than one minor unit from its share.
func TestDrawsAddUpToTheTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := currency(rapid.SampledFrom(money.Currencies()).Draw(t, "currency"))
		total := money.FromMinor(rapid.Int64Range(0, 99_999_999_999).Draw(t, "minor units"), c)
		left := int64(1_000_000) // of 100 %, to four places
		var parts []int64
		for range rapid.IntRange(0, 7).Draw(t, "draws") {
			p := rapid.Int64Range(0, left).Draw(t, "percent")
			parts, left = append(parts, p), left-p
		}
		parts = append(parts, left)
		basis := domain.PriceBasis{Deposit: decimal.New(parts[0], -4)}
		for _, p := range parts[1:] {
			basis.Draws = append(basis.Draws, domain.DrawRule{Name: "Draw", Percent: decimal.New(p, -4)})
		}
		draws, err := drawsOf(total, basis)
		if err != nil {
			t.Fatal(err)
		}
		sum, unit := decimal.Zero, decimal.New(1, -c.Places())
		for _, d := range draws {
			amount := dec(d.Amount)
			sum = sum.Add(amount)
			if share := total.Decimal().Mul(dec(d.Percent)).Shift(-2); amount.Sub(share).Abs().GreaterThanOrEqual(unit) {
				t.Fatalf("%s %% of %s is %s", d.Percent, total, d.Amount)
			}
			if amount.StringFixed(c.Places()) != d.Amount {
				t.Fatalf("%s is not written to the minor unit of %s", d.Amount, c)
			}
		}
		if !sum.Equal(total.Decimal()) {
			t.Fatalf("%v add up to %s, want %s", draws, sum, total)
		}
	})
}
