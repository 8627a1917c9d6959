package method

import (
	"fmt"
	"math/big"
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
	facts []map[string]fact // by position of the zone
	// amounts holds what a rule made for a zone, in the unit of the rule.
	amounts [][]*big.Rat
}

// shares applies one rule to all zones.
func (c reckoning) shares(i int) ([]Share, error) {
	rule := c.names.rule[i]
	c.amounts[i] = make([]*big.Rat, len(c.in.Zones))
	out := []Share{}
	for j, z := range c.in.Zones {
		if !rule.For.covers(z, rule.Stage) {
			continue
		}
		share := c.share(rule, j)
		if share.exact.Num().BitLen() > maxAmountBits || share.exact.Denom().BitLen() > maxAmountBits {
			return nil, fault.InvalidField("method-amount", fmt.Sprintf("/zones/%d", j), "rule %q makes an amount of %q that has too many digits to be reckoned with", rule.Key, z.Name)
		}
		c.amounts[i][j] = share.exact
		if share.exact.Sign() > 0 || !rule.perZone() {
			out = append(out, share)
		}
	}
	return out, nil
}

// perZone reports whether a rule makes anything for a zone by itself.
func (rule Rule) perZone() bool { return rule.Each != "" || len(rule.Parts) > 0 }

// share is what a rule that covers a zone makes for it.
func (c reckoning) share(rule Rule, zone int) Share {
	z := c.in.Zones[zone]
	s := Share{Zone: z.ID, Name: z.Name, Inputs: []Quantity{}, exact: rat(rule.Each)}
	var terms []string
	if rule.Each != "" {
		terms = append(terms, rule.Each+" "+rule.Unit)
	}
	for _, p := range rule.Parts {
		amount, words := c.part(p, rule, zone, &s.Inputs)
		s.exact.Add(s.exact, amount)
		terms = append(terms, words)
	}
	s.Amount = decimal.NewFromBigRat(s.exact, shownPlaces)
	s.Words = strings.Join(terms, " + ")
	if len(rule.Parts) > 0 {
		s.Words += comesTo(s.exact, rule.Unit)
	}
	return s
}

// part multiplies the factors out, in the unit of the rule. Numerators and
// denominators are gathered apart, so that fractions are reduced once.
func (c reckoning) part(p Part, rule Rule, zone int, inputs *[]Quantity) (*big.Rat, string) {
	above, below := big.NewInt(1), big.NewInt(1)
	words := ""
	for i, f := range p.Factors {
		value, said := c.factor(f, rule, zone, inputs)
		num, den, sign := value.Num(), value.Denom(), " × "
		if f.Per != "" {
			num, den, sign = den, num, " ÷ "
		}
		above.Mul(above, num)
		below.Mul(below, den)
		if i == 0 {
			sign = strings.TrimPrefix(sign, " × ")
			sign = strings.Replace(sign, " ÷ ", "1 ÷ ", 1)
		}
		words += sign + said
	}
	unit, _ := parseUnit(rule.Unit) // checked before
	product := new(big.Rat).SetFrac(above, below)
	return product.Quo(product, unit.size), words
}

// factor returns the value in base units and how it is said.
func (c reckoning) factor(f Factor, rule Rule, zone int, inputs *[]Quantity) (*big.Rat, string) {
	switch {
	case f.Of != "":
		return c.quantity(f.Of, zone, inputs)
	case f.OfRule != "":
		i := c.names.rules[f.OfRule]
		other := c.names.rule[i]
		amount := c.amounts[i][zone]
		if amount == nil {
			amount = new(big.Rat)
		}
		unit, _ := parseUnit(other.Unit)
		return new(big.Rat).Mul(amount, unit.size), quoted(other.Name) + " " + figure(decimal.NewFromBigRat(amount, shownPlaces).String(), other.Unit)
	case f.By != "":
		key := f.By.of(c.in.Zones[zone], rule.Stage)
		text := f.at(key)
		return rat(text), text + " for " + c.in.List.long(f.By, key, rule.Stage)
	}
	unit, _ := parseUnit(f.Unit)
	text := f.Times + f.Per // one of them is empty
	return new(big.Rat).Mul(rat(text), unit.size), figure(text, f.Unit)
}

func (c reckoning) quantity(name string, zone int, inputs *[]Quantity) (*big.Rat, string) {
	fact, has := c.facts[zone][name]
	words := c.in.Known.say(name)
	if !has {
		return new(big.Rat), "no " + words
	}
	*inputs = append(*inputs, fact.given)
	return fact.value, words + " " + figure(fact.given.Value, fact.given.Unit)
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
