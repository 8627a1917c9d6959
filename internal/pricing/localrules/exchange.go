package localrules

import (
	"github.com/shopspring/decimal"
)

// At states the sums of a rule in another currency, at a rate of units of it for
// one unit of the shop's own. They are cut, not rounded, to amountPlaces: what may
// be added without asking never becomes more by the conversion.
func (r RuleSet) At(rate decimal.Decimal) RuleSet {
	for _, s := range []*string{&r.WrittenEstimateOver, &r.Consent.Amount, &r.Consent.Cap} {
		if *s != "" {
			*s = plain(*s).Mul(rate).Truncate(amountPlaces).String()
		}
	}
	return r
}
