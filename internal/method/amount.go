package method

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

const (
	hourPlaces  = 2
	goodsPlaces = 3
	shownPlaces = 6 // of an amount of one rule or one zone
	wordPlaces  = 4 // of a result in words
)

// Bounds of one amount, so that a chain of rules cannot grow without end.
const (
	maxAmountBits = 512
	maxWork       = 200_000 // factors times zones
)

var one = decimal.NewFromInt(1)

// reckoning works through the rules of a checked list.
type reckoning struct {
	in    Input
	names names
	said  map[string]string // quantities in words
	facts []map[string]fact // by position of the zone
	// amounts holds what a rule made for a zone, in the unit of the rule.
	amounts [][]*big.Rat
}

// shares applies one rule to all zones, and names the first that counts.
func (c reckoning) shares(i int) (out []Share, first string, err error) {
	rule := c.plan(c.names.rule[i])
	c.amounts[i] = make([]*big.Rat, len(c.in.Zones))
	out = []Share{}
	for j, z := range c.in.Zones {
		if !rule.For.covers(z, rule.Stage) {
			continue
		}
		amount := c.amount(rule, j)
		if amount.Num().BitLen() > maxAmountBits || amount.Denom().BitLen() > maxAmountBits {
			return nil, "", fault.InvalidField("method-amount", fmt.Sprintf("/zones/%d", j), "rule %q makes an amount of %q that has too many digits to be reckoned with", rule.Key, z.Name)
		}
		c.amounts[i][j] = amount
		if amount.Sign() > 0 {
			out = append(out, c.share(rule, j, amount))
		}
		if first == "" && (amount.Sign() > 0 || !rule.perZone()) {
			first = z.ID
		}
	}
	return out, first, nil
}

// perZone reports whether a rule makes anything for a zone by itself.
func (rule Rule) perZone() bool { return rule.Each != "" || len(rule.Parts) > 0 }

// amount is what a rule that covers a zone makes for it, in the unit of the rule.
func (c reckoning) amount(rule planned, zone int) *big.Rat {
	sum := new(big.Rat).Set(rule.each)
	for _, p := range rule.parts {
		product := new(big.Rat).Set(p.constant)
		for _, f := range p.factors {
			if f.Times == "" && f.Per == "" {
				product.Mul(product, c.value(f, rule.Stage, zone))
			}
		}
		sum.Add(sum, product)
	}
	return sum
}

var none = new(big.Rat)

// value is what a factor is for a zone, in base units.
func (c reckoning) value(f plannedFactor, s Stage, zone int) *big.Rat {
	switch {
	case f.Of != "":
		if fact, has := c.facts[zone][f.Of]; has {
			return fact.value
		}
		return none
	case f.OfRule != "":
		if amount := c.amounts[f.rule][zone]; amount != nil {
			return new(big.Rat).Mul(amount, f.unit)
		}
		return none
	}
	if v, ok := f.table[f.By.of(c.in.Zones[zone], s)]; ok {
		return v
	}
	return f.other
}

// share says how an amount came about.
func (c reckoning) share(rule planned, zone int, amount *big.Rat) Share {
	z := c.in.Zones[zone]
	s := Share{Zone: z.ID, Name: z.Name, Inputs: []Quantity{}, exact: amount, Amount: decimal.NewFromBigRat(amount, shownPlaces)}
	var w strings.Builder
	if rule.Each != "" {
		w.WriteString(rule.Each + " " + rule.Unit)
	}
	for i, p := range rule.parts {
		if i > 0 || rule.Each != "" {
			w.WriteString(" + ")
		}
		for _, f := range p.factors {
			w.WriteString(f.sign)
			w.WriteString(c.words(f, rule.Stage, zone))
			if fact, has := c.facts[zone][f.Of]; has && !slices.Contains(s.Inputs, fact.given) {
				s.Inputs = append(s.Inputs, fact.given)
			}
		}
	}
	if len(rule.parts) > 0 {
		w.WriteString(comesTo(amount, rule.Unit))
	}
	s.Words = w.String()
	return s
}

func (c reckoning) words(f plannedFactor, s Stage, zone int) string {
	switch {
	case f.Of != "":
		fact, has := c.facts[zone][f.Of]
		if !has {
			return "no " + f.words
		}
		return f.words + " " + figure(fact.given.Value, fact.given.Unit)
	case f.OfRule != "":
		amount := c.amounts[f.rule][zone]
		if amount == nil {
			amount = none
		}
		return f.words + " " + figure(decimal.NewFromBigRat(amount, shownPlaces).String(), c.names.rule[f.rule].Unit)
	case f.By != "":
		key := f.By.of(c.in.Zones[zone], s)
		return f.at(key) + " for " + c.in.List.long(f.By, key, s)
	}
	return f.words
}

// at is what the table holds for a key.
func (f Factor) at(key string) string {
	if text, ok := f.Table[key]; ok {
		return text
	}
	if f.Other == "" {
		return "1"
	}
	return f.Other
}

// rat reads a checked decimal; nothing is 0.
func rat(text string) *big.Rat {
	if text == "" {
		return new(big.Rat)
	}
	return decimal.RequireFromString(text).Rat()
}

// shown is an amount in words, rounded for reading.
func shown(amount *big.Rat, unit string) string {
	return figure(decimal.NewFromBigRat(amount, wordPlaces).String(), unit)
}

// comesTo ends a calculation in words, with the sign that says whether the
// figure is exact.
func comesTo(amount *big.Rat, unit string) string {
	sign := " = "
	if decimal.NewFromBigRat(amount, wordPlaces).Rat().Cmp(amount) != 0 {
		sign = " ≈ "
	}
	return sign + shown(amount, unit)
}
