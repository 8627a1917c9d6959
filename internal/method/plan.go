package method

import "math/big"

// planned is a checked rule with its figures read once for all zones.
type planned struct {
	Rule
	each  *big.Rat
	parts []plannedPart
}

// plannedPart has the product of the part's figures, in the unit of the rule,
// and apart from it what differs from zone to zone.
type plannedPart struct {
	constant *big.Rat
	factors  []plannedFactor
}

type plannedFactor struct {
	Factor
	sign  string // before the factor, in words
	words string // of a figure, and the name of what is read
	rule  int    // of OfRule
	unit  *big.Rat
	table map[string]*big.Rat
	other *big.Rat
}

func (c reckoning) plan(rule Rule) planned {
	p := planned{Rule: rule, each: rat(rule.Each)}
	unit, _ := parseUnit(rule.Unit) // checked before, as all that follows
	for _, part := range rule.Parts {
		pp := plannedPart{constant: new(big.Rat).Inv(unit.size)}
		for i, f := range part.Factors {
			pf := c.planFactor(f, i == 0)
			switch {
			case f.Times != "":
				pp.constant.Mul(pp.constant, figureInBase(f.Times, f.Unit))
			case f.Per != "":
				pp.constant.Quo(pp.constant, figureInBase(f.Per, f.Unit))
			}
			pp.factors = append(pp.factors, pf)
		}
		p.parts = append(p.parts, pp)
	}
	return p
}

func (c reckoning) planFactor(f Factor, first bool) plannedFactor {
	pf := plannedFactor{Factor: f, sign: sign(f, first)}
	switch {
	case f.Of != "":
		pf.words = c.said[f.Of]
	case f.OfRule != "":
		pf.rule = c.names.rules[f.OfRule]
		other := c.names.rule[pf.rule]
		unit, _ := parseUnit(other.Unit)
		pf.unit, pf.words = unit.size, quoted(other.Name)
	case f.By != "":
		pf.table = make(map[string]*big.Rat, len(f.Table))
		for key, text := range f.Table {
			pf.table[key] = rat(text)
		}
		pf.other = rat(f.at(""))
	default:
		pf.words = figure(f.Times+f.Per, f.Unit) // one of them is empty
	}
	return pf
}

func figureInBase(text, unit string) *big.Rat {
	u, _ := parseUnit(unit)
	return new(big.Rat).Mul(rat(text), u.size)
}

// sign stands before a factor.
func sign(f Factor, first bool) string {
	switch {
	case f.Per != "" && first:
		return "1 ÷ "
	case f.Per != "":
		return " ÷ "
	case first:
		return ""
	}
	return " × "
}
