package method

import (
	"math/big"

	"bareframe/internal/measure"
)

// Prepared is a list that was checked and read once, for many frames. It is not
// written to and safe for concurrent use.
type Prepared struct {
	list    List
	known   Known
	names   names
	plans   []planned // by position of the rule
	order   []int     // of the rules, each after those that it reads
	factors int
}

// Prepare checks a list and reads its figures. Errors are those of Compute.
// O(size of the list and of known).
func Prepare(list List, known Known) (*Prepared, error) {
	r := &reader{}
	p := prepare(r, list, known)
	return p, r.f.Err(code)
}

func prepare(r *reader, list List, known Known) *Prepared {
	p := &Prepared{list: list, known: known, names: list.check(r, "/list", known), factors: list.factors()}
	if r.f.Err(code) != nil {
		return p
	}
	p.order, _ = p.names.order()
	p.plans = make([]planned, len(list.Rules))
	for i, rule := range list.Rules {
		p.plans[i] = p.plan(rule)
	}
	return p
}

// Known are the names that the list may use.
func (p *Prepared) Known() Known { return p.known }

// List is the list as it was given.
func (p *Prepared) List() List { return p.list }

// planned is a checked rule with its figures read once for all zones.
type planned struct {
	Rule
	fixed, each ratio
	low, high   ratio // of the spread
	parts       []plannedPart
	sentence    string
}

// plannedPart has the product of the part's figures, in the unit of the rule,
// and apart from it what differs from zone to zone.
type plannedPart struct {
	constant ratio
	factors  []plannedFactor
}

type plannedFactor struct {
	Factor
	sign  string // before the factor, in words
	words string // of a figure, and the name of what is read
	kind  int    // of Of, by position among the known quantities
	rule  int    // of OfRule
	unit  ratio
	table map[string]ratio
	other ratio
}

func (p *Prepared) plan(rule Rule) planned {
	out := planned{Rule: rule, fixed: read(rule.Fixed), each: read(rule.Each), low: whole(1), high: whole(1), sentence: Sentence(rule, p.list, p.known)}
	if rule.Spread != nil {
		out.low, out.high = read(rule.Spread.Low), read(rule.Spread.High)
	}
	unit, _ := parseUnit(rule.Unit) // checked before, as all that follows
	for _, part := range rule.Parts {
		pp := plannedPart{constant: ratioOf(new(big.Rat).Inv(unit.size))}
		for i, f := range part.Factors {
			pf := p.planFactor(f, i == 0)
			switch {
			case f.Times != "":
				pp.constant = pp.constant.times(figureInBase(f.Times, f.Unit))
			case f.Per != "":
				pp.constant = pp.constant.over(figureInBase(f.Per, f.Unit))
			}
			pp.factors = append(pp.factors, pf)
		}
		out.parts = append(out.parts, pp)
	}
	return out
}

func (p *Prepared) planFactor(f Factor, first bool) plannedFactor {
	pf := plannedFactor{Factor: f, sign: sign(f, first)}
	switch {
	case f.Of != "":
		pf.kind, pf.words = p.names.kinds[f.Of], p.known.say(f.Of)
	case f.OfRule != "":
		pf.rule = p.names.rules[f.OfRule]
		other := p.names.rule[pf.rule]
		unit, _ := parseUnit(other.Unit)
		pf.unit, pf.words = ratioOf(unit.size), quoted(other.Name)
	case f.By != "":
		pf.table = make(map[string]ratio, len(f.Table))
		for key, text := range f.Table {
			pf.table[key] = read(text)
		}
		pf.other = read(f.at(""))
	default:
		pf.words = figure(f.Times+f.Per, f.Unit) // one of them is empty
	}
	return pf
}

func figureInBase(text, unit string) ratio {
	u, _ := parseUnit(unit)
	return read(text).times(ratioOf(u.size))
}

// wanted is the unit that a known quantity is told in.
type wanted struct {
	power power
	size  ratio
	sign  string
	told  bool // the unit could be read
}

func wantedOf(m Measure, u compound) wanted {
	w := wanted{power: u.power, sign: m.Unit, told: u.size != nil}
	if w.told && measure.Unit(m.Unit).Known() {
		w.size = ratioOf(u.size)
	}
	return w
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
