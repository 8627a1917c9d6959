package pricing

import (
	"errors"
	"math/big"
	"strings"
)

// The oracle prices a document a second time, in fractions (math/big) and in the
// plainest way that the definitions allow. It shares no code with the package
// beyond the input types.

// refused is what the oracle says where an input's numbers cannot be priced.
var refused = errors.New("refused")

type priced struct {
	net, cost, tax map[string]*big.Rat // by line id, taken lines only
	phase          map[string]*big.Rat // net by phase id, "" for document lines
	base, taxOf    map[string]*big.Rat // by rate, "E" for exempt
	lines, discounts, charges,
	withoutTax, allTax, grand, due, margin, deposit *big.Rat
	draws []*big.Rat
}

func rat(s string) *big.Rat {
	if s == "" {
		return new(big.Rat)
	}
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("not a number: " + s)
	}
	return r
}

func mul(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
func add(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }
func sub(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func quo(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }

// percentOf is r times s percent.
func percentOf(r *big.Rat, s string) *big.Rat { return mul(r, quo(rat(s), rat("100"))) }

// roundTo rounds half away from zero: floor of twice the size plus one, halved.
func roundTo(r *big.Rat, places int) *big.Rat {
	scale := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil))
	size := mul(new(big.Rat).Abs(r), scale)
	twice := add(mul(size, rat("2")), rat("1"))
	whole := new(big.Int).Quo(twice.Num(), new(big.Int).Mul(twice.Denom(), big.NewInt(2)))
	out := quo(new(big.Rat).SetInt(whole), scale)
	if r.Sign() < 0 {
		out.Neg(out)
	}
	return out
}

// divide hands out whole minor units: first the whole part of each share, then
// one at a time to the share that is furthest behind.
func divide(total *big.Rat, weights []*big.Rat, places int) ([]*big.Rat, error) {
	sum := new(big.Rat)
	for _, w := range weights {
		sum = add(sum, w)
	}
	parts := make([]*big.Rat, len(weights))
	if total.Sign() == 0 {
		for i := range parts {
			parts[i] = new(big.Rat)
		}
		return parts, nil
	}
	if sum.Sign() == 0 {
		return nil, refused
	}
	if total.Sign() < 0 {
		parts, err := divide(new(big.Rat).Neg(total), weights, places)
		for _, p := range parts {
			p.Neg(p)
		}
		return parts, err
	}
	unit := quo(rat("1"), rat("1"+strings.Repeat("0", places)))
	left := new(big.Rat).Set(total)
	behind := make([]*big.Rat, len(weights))
	for i, w := range weights {
		exact := mul(total, quo(w, sum))
		units := quo(exact, unit)
		whole := new(big.Int).Quo(units.Num(), units.Denom())
		parts[i] = mul(new(big.Rat).SetInt(whole), unit)
		behind[i] = sub(exact, parts[i])
		left = sub(left, parts[i])
	}
	for left.Sign() > 0 {
		most := 0
		for i := range behind {
			if behind[i].Cmp(behind[most]) > 0 {
				most = i
			}
		}
		parts[most], behind[most], left = add(parts[most], unit), sub(behind[most], unit), sub(left, unit)
	}
	return parts, nil
}

func oracle(in Input, places int) (*priced, error) {
	p := &priced{net: map[string]*big.Rat{}, cost: map[string]*big.Rat{}, tax: map[string]*big.Rat{}, phase: map[string]*big.Rat{},
		base: map[string]*big.Rat{}, taxOf: map[string]*big.Rat{}, lines: rat(""), discounts: rat(""), charges: rat(""), allTax: rat(""), deposit: rat("")}
	rate := map[TaxClass]string{Exempt: "0"}
	for _, r := range in.TaxRates {
		rate[r.Class] = r.Percent
	}
	byClass := map[TaxClass]*big.Rat{}
	cost, uncosted := rat(""), rat("")
	tally := func(class TaxClass, net *big.Rat) { // what is taxed, and its tax if rounded by itself
		key := rat(rate[class]).RatString()
		if class == Exempt {
			key = "E"
		}
		if p.base[key] == nil {
			p.base[key], p.taxOf[key] = rat(""), rat("")
		}
		p.base[key] = add(p.base[key], net)
		if in.TaxBasis == PerLine {
			p.taxOf[key] = add(p.taxOf[key], roundTo(percentOf(net, rate[class]), places))
		}
	}
	for _, l := range in.Lines {
		quantity := add(rat(l.Quantity), percentOf(rat(l.Quantity), l.WastePercent))
		price := rat(l.UnitPrice)
		if l.UnitPrice == "" {
			price = add(rat(l.UnitCost), percentOf(rat(l.UnitCost), l.MarkupPercent))
		}
		per := rat("1")
		if l.PriceBaseQuantity != "" {
			per = rat(l.PriceBaseQuantity)
		}
		gross := quo(mul(quantity, price), per)
		net := sub(sub(gross, percentOf(gross, l.DiscountPercent)), rat(l.DiscountAmount))
		if net.Sign() < 0 {
			return nil, refused
		}
		sign := rat("1")
		if l.Kind == Credit {
			sign = rat("-1")
		}
		net = mul(sign, roundTo(net, places))
		if l.Option != nil && !l.Option.Taken {
			continue
		}
		p.net[l.ID] = net
		p.tax[l.ID] = roundTo(percentOf(net, rate[l.TaxClass]), places)
		if l.UnitCost == "" {
			uncosted = add(uncosted, net)
		} else {
			p.cost[l.ID] = mul(sign, roundTo(quo(mul(quantity, rat(l.UnitCost)), per), places))
			cost = add(cost, p.cost[l.ID])
		}
		for _, id := range []string{l.PhaseID} {
			if p.phase[id] == nil {
				p.phase[id] = rat("")
			}
			p.phase[id] = add(p.phase[id], net)
		}
		if byClass[l.TaxClass] == nil {
			byClass[l.TaxClass] = rat("")
		}
		byClass[l.TaxClass] = add(byClass[l.TaxClass], net)
		p.lines = add(p.lines, net)
		tally(l.TaxClass, net)
	}
	if err := p.adjust(in, byClass, places, tally); err != nil {
		return nil, err
	}
	p.withoutTax = add(sub(p.lines, p.discounts), p.charges)
	for key, base := range p.base {
		if in.TaxBasis == PerDocument && key != "E" {
			p.taxOf[key] = roundTo(percentOf(base, key), places)
		}
		p.allTax = add(p.allTax, p.taxOf[key])
	}
	p.grand = add(p.withoutTax, p.allTax)
	p.due = sub(p.grand, rat(in.Prepaid))
	p.margin = sub(sub(p.withoutTax, uncosted), cost)
	return p, p.pay(in, places)
}

func (p *priced) adjust(in Input, byClass map[TaxClass]*big.Rat, places int, tally func(TaxClass, *big.Rat)) error {
	used := map[TaxClass]*big.Rat{}
	for _, a := range in.Adjustments {
		base := rat("")
		var classes []TaxClass
		var weights []*big.Rat
		for _, c := range TaxClasses() {
			if (a.TaxClass == "" || a.TaxClass == c) && byClass[c] != nil {
				base = add(base, byClass[c])
				if byClass[c].Sign() > 0 {
					classes, weights = append(classes, c), append(weights, byClass[c])
				}
			}
		}
		if base.Sign() < 0 {
			base = rat("")
		}
		amount := rat(a.Amount)
		if a.Percent != "" {
			amount = roundTo(percentOf(base, a.Percent), places)
		}
		if a.TaxClass != "" {
			classes, weights = []TaxClass{a.TaxClass}, []*big.Rat{rat("1")}
		}
		if a.Kind == Discount && amount.Cmp(base) > 0 {
			return refused
		}
		shares, err := divide(amount, weights, places)
		if err != nil {
			return err
		}
		for i, c := range classes {
			if a.Kind == Charge {
				p.charges = add(p.charges, shares[i])
				tally(c, shares[i])
				continue
			}
			p.discounts = add(p.discounts, shares[i])
			if used[c] == nil {
				used[c] = rat("")
			}
			used[c] = add(used[c], shares[i])
			if shares[i].Sign() > 0 && used[c].Cmp(byClass[c]) > 0 {
				return refused
			}
			tally(c, new(big.Rat).Neg(shares[i]))
		}
	}
	return nil
}

func (p *priced) pay(in Input, places int) error {
	if in.Deposit != nil {
		base := p.grand
		if base.Sign() < 0 {
			base = rat("")
		}
		p.deposit = rat(in.Deposit.Amount)
		if in.Deposit.Percent != "" {
			p.deposit = roundTo(percentOf(base, in.Deposit.Percent), places)
		}
		if p.deposit.Cmp(base) > 0 {
			return refused
		}
	}
	if len(in.Draws) == 0 {
		return nil
	}
	var weights []*big.Rat
	for _, d := range in.Draws {
		w := rat(d.Percent)
		if net := p.phase[d.PhaseID]; d.Percent == "" && net != nil && net.Sign() > 0 {
			w = net
		}
		weights = append(weights, w)
	}
	var err error
	p.draws, err = divide(sub(p.grand, p.deposit), weights, places)
	return err
}
