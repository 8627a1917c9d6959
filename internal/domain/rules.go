package domain

import (
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
	"bareframe/internal/pricing/localrules"
)

// ShopRules is what a shop chose about consent, the watch over the authorised
// amount and the terms of stopping. What the law of the place asks for is the
// rule set's; check local law.
type ShopRules struct {
	RuleSet     string               `json:"rule_set"`     // code of a rule set
	Overrides   localrules.Overrides `json:"overrides"`    // the shop's own figures
	WarnPercent decimal.Decimal      `json:"warn_percent"` // of the authorised amount
	Stopping    StopTerms            `json:"stopping"`
}

// StopTerms are charges that may be made when the work stops early, before tax.
// They count only where the accepted quote stated them, so a quote keeps them.
type StopTerms struct {
	Teardown        decimal.Decimal `json:"teardown"`
	Reassembly      decimal.Decimal `json:"reassembly"`
	StoragePerDay   decimal.Decimal `json:"storage_per_day"`
	StorageFreeDays int             `json:"storage_free_days"`
}

// Any reports whether the terms name a charge.
func (t StopTerms) Any() bool {
	return t.Teardown.IsPositive() || t.Reassembly.IsPositive() || t.StoragePerDay.IsPositive()
}

// DefaultRuleSet is the rule of a shop that has not chosen yet: any increase
// needs consent, and the record names all that any rule set asks for.
const DefaultRuleSet = "house-any-increase"

// DefaultRules are what a shop goes by until it chooses: the careful rule, a
// warning at 80 percent (common practice) and no charge for stopping.
func DefaultRules() ShopRules {
	return ShopRules{RuleSet: DefaultRuleSet, WarnPercent: decimal.NewFromInt(80)}
}

// GoesBy returns the shop's rules, the default ones until it chose.
func (s Shop) GoesBy() ShopRules {
	if s.Rules.RuleSet == "" {
		return DefaultRules()
	}
	return s.Rules
}

// Bounds of the terms of stopping.
const (
	mostCharge   = 1_000_000_000
	mostFreeDays = 365
)

// Validate names every figure that cannot stand. Whether the rule set exists is
// for the caller to say.
func (r ShopRules) Validate(currency string) error {
	var c fault.Collector
	if !r.WarnPercent.IsPositive() || r.WarnPercent.GreaterThan(hundred) {
		c.Add("/warn_percent", "A warning lies above 0 and at most at 100 percent.")
	}
	places := int32(2)
	if in, err := money.ParseCurrency(currency); err == nil {
		places = in.Places()
	}
	for _, f := range []struct {
		at string
		d  decimal.Decimal
	}{{"/teardown", r.Stopping.Teardown}, {"/reassembly", r.Stopping.Reassembly}, {"/storage_per_day", r.Stopping.StoragePerDay}} {
		switch {
		case f.d.IsNegative() || f.d.GreaterThan(decimal.NewFromInt(mostCharge)):
			c.Add(f.at, "A charge lies between 0 and %d.", mostCharge)
		case !f.d.Equal(f.d.Truncate(places)):
			c.Add(f.at, "%s has %d decimal places at most.", currency, places)
		}
	}
	if r.Stopping.StorageFreeDays < 0 || r.Stopping.StorageFreeDays > mostFreeDays {
		c.Add("/storage_free_days", "Days without charge lie between 0 and %d.", mostFreeDays)
	}
	return c.Err("shop-rules-invalid")
}

// Authoriser is a second person who can authorise for the client of a job.
type Authoriser struct {
	ID        ID
	JobID     ID
	Name      string
	Contact   string
	Note      string
	AddedAt   time.Time
	AddedBy   string
	EndedAt   *time.Time
	EndedBy   string
	EndReason string
}

// Stands reports whether the person can still authorise.
func (a Authoriser) Stands() bool { return a.EndedAt == nil }
