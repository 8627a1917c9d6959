package method

import (
	"fmt"
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
	*Prepared
	zones []Zone
	facts []fact // zone by zone, as many for each as there are known quantities
	// amounts holds what a rule made for a zone, in the unit of the rule; where it
	// does not cover the zone there is no number.
	amounts [][]ratio
}

// shares applies one rule to all zones, and names the first that counts.
func (c *reckoning) shares(i int) (out []Share, first string, err error) {
	rule := &c.plans[i]
	c.amounts[i] = make([]ratio, len(c.zones))
	out = []Share{}
	for j := range c.zones {
		z := &c.zones[j]
		if !rule.For.covers(z, rule.Stage) {
			continue
		}
		amount := c.amount(rule, j)
		if amount.tooLong() {
			return nil, "", fault.InvalidField("method-amount", fmt.Sprintf("/zones/%d", j), "rule %q makes an amount of %q that has too many digits to be reckoned with", rule.Key, z.Name)
		}
		c.amounts[i][j] = amount
		if amount.sign() > 0 {
			out = append(out, Share{Zone: z.ID, Name: z.Name, exact: amount, from: c, rule: i, zone: j})
		}
		if first == "" && (amount.sign() > 0 || !rule.perZone()) {
			first = z.ID
		}
	}
	return out, first, nil
}

// perZone reports whether a rule makes anything for a zone by itself.
func (rule Rule) perZone() bool { return rule.Each != "" || len(rule.Parts) > 0 }

// amount is what a rule that covers a zone makes for it, in the unit of the rule.
func (c *reckoning) amount(rule *planned, zone int) ratio {
	sum := rule.each
	for i := range rule.parts {
		p := &rule.parts[i]
		product := p.constant
		for k := range p.factors {
			if f := &p.factors[k]; f.Times == "" && f.Per == "" {
				product = product.times(c.value(f, rule.Stage, zone))
			}
		}
		sum = sum.plus(product)
	}
	return sum
}

// fact is one of a zone's quantities; the zone has none where nothing is known.
func (c *reckoning) fact(zone, kind int) *fact { return &c.facts[zone*len(c.known.Quantities)+kind] }

// value is what a factor is for a zone, in base units.
func (c *reckoning) value(f *plannedFactor, s Stage, zone int) ratio {
	switch {
	case f.Of != "":
		if fact := c.fact(zone, f.kind); fact.value.known() {
			return fact.value
		}
		return whole(0)
	case f.OfRule != "":
		if amount := c.amounts[f.rule][zone]; amount.known() {
			return amount.times(f.unit)
		}
		return whole(0)
	}
	if v, ok := f.table[f.By.of(&c.zones[zone], s)]; ok {
		return v
	}
	return f.other
}

// said is an amount of a zone as a formula with its figures.
func (c *reckoning) said(s Share) string {
	rule := &c.plans[s.rule]
	var w strings.Builder
	if rule.Each != "" {
		w.WriteString(rule.Each + " " + rule.Unit)
	}
	for i, p := range rule.parts {
		if i > 0 || rule.Each != "" {
			w.WriteString(" + ")
		}
		for k := range p.factors {
			w.WriteString(p.factors[k].sign)
			w.WriteString(c.words(&p.factors[k], rule.Stage, s.zone))
		}
	}
	if len(rule.parts) > 0 {
		w.WriteString(comesTo(s.exact, rule.Unit))
	}
	return w.String()
}

// inputs are the quantities of the zone that went into an amount, each once.
func (c *reckoning) inputs(s Share) []Quantity {
	out, seen := []Quantity{}, []int{}
	for _, p := range c.plans[s.rule].parts {
		for k := range p.factors {
			f := &p.factors[k]
			if fact := c.fact(s.zone, f.kind); f.Of != "" && fact.value.known() && !slices.Contains(seen, f.kind) {
				seen, out = append(seen, f.kind), append(out, c.zones[s.zone].Quantities[fact.given])
			}
		}
	}
	return out
}

func (c *reckoning) words(f *plannedFactor, s Stage, zone int) string {
	switch {
	case f.Of != "":
		fact := c.fact(zone, f.kind)
		if !fact.value.known() {
			return "no " + f.words
		}
		given := c.zones[zone].Quantities[fact.given]
		return f.words + " " + figure(given.Value, given.Unit)
	case f.OfRule != "":
		amount := c.amounts[f.rule][zone]
		if !amount.known() {
			amount = whole(0)
		}
		return f.words + " " + figure(amount.round(shownPlaces).String(), c.names.rule[f.rule].Unit)
	case f.By != "":
		key := f.By.of(&c.zones[zone], s)
		return f.at(key) + " for " + c.list.long(f.By, key, s)
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

// read reads a checked decimal; nothing is 0.
func read(text string) ratio {
	if text == "" {
		return whole(0)
	}
	return ratioOf(decimal.RequireFromString(text).Rat())
}

// shown is an amount in words, rounded for reading.
func shown(amount ratio, unit string) string {
	return figure(amount.round(wordPlaces).String(), unit)
}

// comesTo ends a calculation in words, with the sign that says whether the
// figure is exact.
func comesTo(amount ratio, unit string) string {
	sign := " = "
	if !amount.is(amount.round(wordPlaces)) {
		sign = " ≈ "
	}
	return sign + shown(amount, unit)
}
