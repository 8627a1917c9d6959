package localrules

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// ConsentResult says whether a higher price needs new consent.
type ConsentResult struct {
	Due     bool         `json:"due"`
	Extra   money.Amount `json:"extra"`   // revised less authorised; negative when the price falls
	Allowed money.Amount `json:"allowed"` // the most that needs no new consent
	Why     string       `json:"why"`     // a sentence for the screen
}

// ConsentDue holds a revised price against what is authorised. Both must be in
// one currency, in which the amounts of the rule are taken too; they must not be
// negative. Errors are fault.Invalid. O(1).
func ConsentDue(rule RuleSet, authorised, revised money.Amount) (ConsentResult, error) {
	if err := rule.Validate(); err != nil {
		return ConsentResult{}, err
	}
	if authorised.Sign() < 0 || revised.Sign() < 0 {
		return ConsentResult{}, fault.New(fault.Invalid, code, "a price that is authorised or revised cannot be negative")
	}
	extra, err := revised.Sub(authorised)
	if err != nil {
		return ConsentResult{}, err
	}
	allowed, how := rule.Consent.allowed(authorised)
	more, err := extra.Cmp(allowed) // allowed is never negative, so more than it is more than nothing
	if err != nil {
		return ConsentResult{}, err
	}
	r := ConsentResult{Due: more > 0, Extra: extra, Allowed: allowed}
	r.Why = r.sentence(authorised, how)
	return r, nil
}

// allowed returns the extra that needs no consent, and how it comes about.
func (c Consent) allowed(authorised money.Amount) (money.Amount, string) {
	in := authorised.Currency()
	share := authorised.Decimal().Mul(plain(c.Percent)).Shift(-2)
	amount, most := plain(c.Amount), plain(c.Cap)
	percent := fmt.Sprintf("%s %% of %s is %s", plain(c.Percent), authorised, down(share, in))
	switch c.Shape {
	case LesserOf:
		return down(decimal.Min(amount, share), in),
			fmt.Sprintf("the lesser of %s and %s %%; %s", down(amount, in), plain(c.Percent), percent)
	case GreaterOfCapped:
		return down(decimal.Min(decimal.Max(amount, share), most), in),
			fmt.Sprintf("the greater of %s and %s %%, at most %s; %s", down(amount, in), plain(c.Percent), down(most, in), percent)
	case Percent:
		return down(share, in), percent
	}
	return money.Zero(in), "any increase needs consent"
}

// down cuts d to the minor unit. An extra is a whole number of minor units, so
// it is over the exact value just when it is over the value cut down; cutting up
// could let a minor unit through.
func down(d decimal.Decimal, in money.Currency) money.Amount {
	return money.Round(d.Truncate(in.Places()), in)
}

// plain is a number of a rule that was validated; empty is 0.
func plain(s string) decimal.Decimal {
	if s == "" {
		return decimal.Decimal{}
	}
	return decimal.RequireFromString(s)
}

func (r ConsentResult) sentence(authorised money.Amount, how string) string {
	in := authorised.Currency()
	switch {
	case r.Extra.Sign() <= 0:
		return fmt.Sprintf("The price does not rise above the %s %s that are authorised, so no new consent is due.", in, authorised)
	case r.Due && r.Allowed.Sign() == 0:
		return fmt.Sprintf("It adds %s %s to the %s authorised (%s): get the client's consent before the work is done.", in, r.Extra, authorised, how)
	case r.Due:
		return fmt.Sprintf("%s %s more than the %s authorised is over the %s that may be added without asking (%s): get the client's consent before the work is done.",
			in, r.Extra, authorised, r.Allowed, how)
	}
	return fmt.Sprintf("%s %s more than the %s authorised is within the %s that may be added without asking (%s).",
		in, r.Extra, authorised, r.Allowed, how)
}

// EstimateDue reports whether a written estimate is owed at a price, and why.
// The price must not be negative. Errors are fault.Invalid.
func EstimateDue(rule RuleSet, price money.Amount) (bool, string, error) {
	if err := rule.Validate(); err != nil {
		return false, "", err
	}
	if price.Sign() < 0 {
		return false, "", fault.New(fault.Invalid, code, "a price cannot be negative")
	}
	over := plain(rule.WrittenEstimateOver)
	switch {
	case over.IsZero():
		return true, "A written estimate is owed at any price.", nil
	case price.Decimal().GreaterThan(over):
		return true, fmt.Sprintf("A written estimate is owed: %s is over %s.", price, over), nil
	}
	return false, fmt.Sprintf("No written estimate is owed: %s is not over %s. Give one all the same.", price, over), nil
}
