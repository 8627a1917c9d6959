package method

import (
	"maps"
	"math/big"
	"slices"
	"strings"

	"bareframe/internal/fault"
	"bareframe/internal/measure"
)

// unitPlaces keeps every factor of package measure exact.
const unitPlaces = 18

// power is a product of dimensions. Areas and capacities are powers of length,
// so that metres times metres are square metres.
type power map[measure.Dimension]int

// compound is a unit such as m2/h: its dimensions and how large it is in base
// units (metre, kilogram, hour and what is counted).
type compound struct {
	power power
	size  *big.Rat
}

// parseUnit reads one sign of package measure, or two joined by a stroke; 1 or
// nothing is a pure number. Errors are fault.Invalid "unknown-unit".
func parseUnit(text string) (compound, error) {
	above, below, divided := strings.Cut(text, "/")
	u, err := baseUnit(above)
	if err != nil || !divided {
		return u, err
	}
	if pure(below) {
		return compound{}, fault.New(fault.Invalid, "unknown-unit", "after the stroke stands a unit, as in kg/m2")
	}
	v, err := baseUnit(below)
	if err != nil {
		return compound{}, err
	}
	return u.over(v), nil
}

func pure(sign string) bool { return sign == "" || sign == "1" }

func baseUnit(sign string) (compound, error) {
	if pure(sign) {
		return number(), nil
	}
	if u, known := baseUnits[measure.Unit(sign)]; known {
		return u, nil
	}
	_, err := measure.ParseUnit(sign)
	return compound{}, err
}

// baseUnits are the units of package measure in base units.
var baseUnits = func() map[measure.Unit]compound {
	all := map[measure.Unit]compound{}
	for _, u := range measure.Units() {
		all[u] = inBase(u)
	}
	return all
}()

func inBase(u measure.Unit) compound {
	q, err := measure.Quantity{Value: one, Unit: u}.Convert(firstUnit(u.Dimension()), unitPlaces)
	if err != nil {
		panic(err) // both are units of one dimension
	}
	c := compound{power{u.Dimension(): 1}, q.Value.Rat()}
	switch u.Dimension() {
	case measure.Area:
		c.power = power{measure.Length: 2}
	case measure.Capacity: // 1 l is 0.001 m3
		c.power = power{measure.Length: 3}
		c.size.Mul(c.size, big.NewRat(1, 1000))
	}
	return c
}

func number() compound { return compound{power{}, big.NewRat(1, 1)} }

// times and over multiply and divide two units.
func (c compound) times(other compound) compound {
	return compound{c.power.with(other.power, 1), new(big.Rat).Mul(c.size, other.size)}
}

func (c compound) over(other compound) compound {
	return compound{c.power.with(other.power, -1), new(big.Rat).Quo(c.size, other.size)}
}

func (p power) with(other power, sign int) power {
	sum := maps.Clone(p)
	for d, n := range other {
		if sum[d] += sign * n; sum[d] == 0 {
			delete(sum, d)
		}
	}
	return sum
}

// String says the dimensions with their first units: "area per work, m2/h".
func (p power) String() string {
	words, signs := p.spoken(1)
	wordsBelow, signsBelow := p.spoken(-1)
	if words+wordsBelow == "" {
		return "a pure number"
	}
	if signs == "" {
		signs = "1"
	}
	if wordsBelow != "" {
		words, signs = strings.TrimSpace(words+" per "+wordsBelow), signs+"/"+signsBelow
	}
	return words + " (" + signs + ")"
}

// spoken lists the dimensions above (1) or below (-1) the stroke.
func (p power) spoken(sign int) (words, signs string) {
	var w, s []string
	add := func(word, unit string) { w, s = append(w, word), append(s, unit) }
	for _, d := range slices.Sorted(maps.Keys(p)) {
		n := p[d] * sign
		if d == measure.Length && n >= 3 && n%2 == 1 {
			add("volume", "m3")
			n -= 3
		}
		for ; d == measure.Length && n >= 2; n -= 2 {
			add("area", "m2")
		}
		for ; n > 0; n-- {
			add(dimensionWord(d, sign), string(firstUnit(d)))
		}
	}
	return strings.Join(w, " times "), strings.Join(s, "·")
}

func firstUnit(d measure.Dimension) measure.Unit {
	i := slices.IndexFunc(measure.Units(), func(u measure.Unit) bool { return u.Dimension() == d })
	return measure.Units()[i]
}

// dimensionWord is plural above the stroke and singular below it.
func dimensionWord(d measure.Dimension, sign int) string {
	words, ok := map[measure.Dimension][2]string{measure.Work: {"hours", "hour"}, measure.Days: {"days", "day"},
		measure.Pieces: {"pieces", "piece"}, measure.Sets: {"sets", "set"}, measure.Lots: {"lots", "lot"}}[d]
	if !ok {
		return string(d)
	}
	return words[(1-sign)/2]
}
