package localrules

import (
	"testing"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// By hand: a rule of the lesser of 10 and 10 % in a shop of euros lets 10.00 be
// added to 900.00; at 163.25 yen for a euro that is 1632 yen, cut and not rounded,
// and at 0.3312 dinars 3.312.
func TestARuleIsStatedInTheCurrencyOfTheJob(t *testing.T) {
	rule := RuleSet{Code: "house", Name: "House", Place: "Here", Source: "common practice", ReadOn: "2026-11-25", Check: "Check local law.",
		WrittenEstimateOver: "100", Consent: Consent{Shape: LesserOf, Amount: "10", Percent: "10"}, ShopSuppliesLine: SuppliesAllowed}
	for _, r := range []struct{ code, rate, authorised, allowed, estimateOver string }{
		{"EUR", "1", "900.00", "10.00", "100"},
		{"JPY", "163.25", "146925", "1632", "16325"},
		{"KWD", "0.3312", "298.080", "3.312", "33.12"},
		{"USD", "1.08549", "976.94", "10.85", "108.549"},
	} {
		c, err := money.ParseCurrency(r.code)
		if err != nil {
			t.Fatal(err)
		}
		at := rule.At(decimal.RequireFromString(r.rate))
		authorised := money.Round(decimal.RequireFromString(r.authorised), c)
		for extra, due := range map[int64]bool{0: false, 1: true} {
			allowed := money.Round(decimal.RequireFromString(r.allowed), c)
			more, err := allowed.Add(money.FromMinor(extra, c))
			if err != nil {
				t.Fatal(err)
			}
			revised, err := authorised.Add(more)
			if err != nil {
				t.Fatal(err)
			}
			got, err := ConsentDue(at, authorised, revised)
			if err != nil || got.Due != due || !got.Allowed.Equal(allowed) {
				t.Errorf("%s: %s on %s is due %v with %s allowed, %v; want %v with %s", r.code, more, authorised, got.Due, got.Allowed, err, due, allowed)
			}
		}
		if at.WrittenEstimateOver != r.estimateOver || rule.Consent.Amount != "10" {
			t.Errorf("%s: an estimate is owed over %s, want %s; the rule itself says %s", r.code, at.WrittenEstimateOver, r.estimateOver, rule.Consent.Amount)
		}
	}
}
