package method

import (
	"math/big"
	"testing"

	"bareframe/internal/measure"
)

// Source: NIST Special Publication 811 (2008), appendix B.8 and B.9, from
// memory: pound per square foot 4.882 428 kg/m2, pound per foot 1.488 164 kg/m,
// pound per gallon (US) 119.8264 kg/m3, square foot 0.092 903 04 m2 and gallon
// 3.785 412 E-3 m3. Compared to the seven figures that are printed there.
func TestCompoundUnitsAsPublished(t *testing.T) {
	for _, c := range []struct {
		unit, in string
		want     string
		places   int
	}{
		{"lb/ft2", "kg/m2", "4.882428", 6},
		{"lb/ft", "kg/m", "1.488164", 6},
		{"lb/gal", "kg/l", "0.1198264", 7},
		{"ft2/h", "m2/h", "0.09290304", 8},
		{"gal/h", "l/h", "3.785412", 6},
		{"m2/gal", "m2/l", "0.2641720", 7}, // gallon per litre, 1 / 3.785412
		{"ft2", "m2", "0.09290304", 8},
		{"in/ft", "1", "0.083333", 6},
		{"", "1", "1.0", 1},
	} {
		u, err := parseUnit(c.unit)
		v, err2 := parseUnit(c.in)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		if ratio := u.over(v); len(ratio.power) != 0 || !close7(ratio.size, c.want, c.places) {
			t.Errorf("1 %s = %s %s %v, want %s", c.unit, ratio.size.FloatString(c.places), c.in, ratio.power, c.want)
		}
	}
}

// close7 compares to one in the last printed place, since inverses of printed figures carry their rounding.
func close7(got *big.Rat, want string, places int) bool {
	w, _ := new(big.Rat).SetString(want)
	off := new(big.Rat).Sub(got, w)
	step := new(big.Rat).SetFrac(big.NewInt(1), new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil))
	return off.Abs(off).Cmp(step) < 0
}

// Geometry: a square metre is a metre times a metre, a millimetre of film on a
// square metre is a litre, a litre is the thousandth of a cubic metre.
func TestAreasAndVolumesArePowersOfLength(t *testing.T) {
	unit := func(text string) compound {
		u, err := parseUnit(text)
		if err != nil {
			t.Fatal(err)
		}
		return u
	}
	for _, c := range []struct {
		got, want compound
		what      string
	}{
		{unit("m").times(unit("m")), unit("m2"), "m x m is m2"},
		{unit("ft").times(unit("ft")), unit("ft2"), "ft x ft is ft2"},
		{unit("m2").times(unit("mm")), unit("l"), "m2 x mm is l"},
		{unit("l/m2").times(unit("m2")), unit("l"), "l/m2 x m2 is l"},
		{unit("m2/h").times(unit("h")), unit("m2"), "m2/h x h is m2"},
		{unit("h/m").over(unit("h")).times(unit("m")), unit("1"), "h/m ÷ h x m is a number"},
	} {
		if ratio := c.got.over(c.want); len(ratio.power) != 0 || ratio.size.Cmp(big.NewRat(1, 1)) != 0 {
			t.Errorf("%s: off by %v %s", c.what, ratio.power, ratio.size)
		}
	}
}

func TestDimensionsInWords(t *testing.T) {
	for want, p := range map[string]power{
		"area per hour (m2/h)":                 {measure.Length: 2, measure.Work: -1},
		"volume (m3)":                          {measure.Length: 3},
		"area times area (m2·m2)":              {measure.Length: 4},
		"per area (1/m2)":                      {measure.Length: -2},
		"mass times hours per piece (kg·h/pc)": {measure.Work: 1, measure.Mass: 1, measure.Pieces: -1},
		"a pure number":                        {},
	} {
		if got := p.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Every sign of package measure is a unit here, and two of one dimension differ
// by what package measure converts them by.
func TestEveryUnitOfMeasureIsKnown(t *testing.T) {
	for _, u := range measure.Units() {
		for _, v := range measure.Units() {
			a, err := parseUnit(string(u) + "/" + string(v))
			if err != nil {
				t.Fatal(err)
			}
			q, err := measure.Quantity{Value: one, Unit: u}.Convert(v, 15)
			if err == nil && (len(a.power) != 0 || !close7(a.size, q.Value.String(), 14)) {
				t.Errorf("%s/%s: %v %s, want %s", u, v, a.power, a.size.FloatString(15), q.Value)
			}
		}
	}
}
