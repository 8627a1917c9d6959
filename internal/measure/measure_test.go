package measure

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Source: NIST Special Publication 811 (2008), appendix B.8 and B.9, from
// memory. Factors marked there in bold are exact; the inverse ones are printed
// to seven figures and compared to those places.
func TestConvertAsPublished(t *testing.T) {
	for _, c := range []struct {
		value, from, to string
		places          int32
		want            string
	}{
		{"1", "in", "mm", 6, "25.4"},
		{"1", "ft", "m", 6, "0.3048"},
		{"1", "ft", "in", 6, "12"},
		{"1", "ft2", "m2", 8, "0.09290304"},
		{"1", "lb", "kg", 8, "0.45359237"},
		{"1", "gal", "l", 9, "3.785411784"},
		{"1", "m", "in", 5, "39.37008"},
		{"1", "m", "ft", 6, "3.28084"},
		{"1", "m2", "ft2", 5, "10.76391"},
		{"1", "kg", "lb", 6, "2.204623"},
		{"1", "l", "gal", 6, "0.264172"},
		{"3000", "mm", "m", 6, "3"},
		{"0.0598", "in", "mm", 6, "1.51892"}, // 16 gauge sheet, arithmetic
		{"1", "mil", "um", 6, "25.4"},
		{"1", "in2", "dm2", 8, "0.064516"},
		{"1", "in2", "m2", 8, "0.00064516"},
		{"1", "ft2", "in2", 6, "144"},
		{"1", "oz", "g", 5, "28.34952"},
		{"1", "lb", "oz", 6, "16"},
		{"1", "gal", "qt", 6, "4"},
		{"1", "qt", "ml", 4, "946.3529"},
		{"1000", "g", "kg", 6, "1"},
		{"250", "um", "mm", 6, "0.25"},
	} {
		q, err := Parse(c.value, c.from)
		if err != nil {
			t.Fatal(err)
		}
		got, err := q.Convert(Unit(c.to), c.places)
		if err != nil || !got.Value.Equal(decimal.RequireFromString(c.want)) || got.Unit != Unit(c.to) {
			t.Errorf("%s %s = %s, %v; want %s %s", c.value, c.from, got, err, c.want, c.to)
		}
	}
}

func TestConvertRefusesUnlikeUnits(t *testing.T) {
	for _, u := range Units() {
		for _, v := range Units() {
			_, err := Quantity{Value: decimal.NewFromInt(1), Unit: u}.Convert(v, 3)
			if like := u.Dimension() == v.Dimension(); like != (err == nil) {
				t.Errorf("%s to %s: %v", u, v, err)
			}
		}
	}
	if _, err := (Quantity{Unit: "furlong"}).Convert(Metre, 3); fault.KindOf(err) != fault.Invalid {
		t.Errorf("furlong: %v", err)
	}
	day := Quantity{Value: decimal.NewFromInt(1), Unit: Day}
	if got, err := day.Convert(Hour, 0); err == nil {
		t.Errorf("a working day became %s", got)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ value, unit, code string }{
		{"-1", "h", "negative-quantity"}, {"1e3", "h", "decimal-form"}, {"NaN", "h", "decimal-form"},
		{"1234567890", "h", "decimal-size"}, {"1.2345678", "h", "decimal-size"}, {"1", "H", "unknown-unit"}, {"1", "", "unknown-unit"},
	} {
		if _, err := Parse(c.value, c.unit); fault.As(err) == nil || fault.As(err).Code != c.code {
			t.Errorf("Parse(%q, %q): %v, want %s", c.value, c.unit, err, c.code)
		}
	}
}

// The refusal lists what there is.
func TestTheRefusalNamesEveryUnit(t *testing.T) {
	_, err := ParseUnit("furlong")
	list := strings.Split(strings.TrimPrefix(fault.As(err).Detail, "the unit must be one of "), ", ")
	for i, u := range Units() {
		if i >= len(list) || list[i] != string(u) {
			t.Fatalf("the refusal %q does not name %s in its place", fault.As(err).Detail, u)
		}
	}
	if len(list) != len(Units()) {
		t.Errorf("%d signs for %d units", len(list), len(Units()))
	}
}

func TestAdd(t *testing.T) {
	inches, _ := Parse("10", "in")
	millimetres, _ := Parse("6.35", "mm")
	if sum, err := inches.Add(millimetres, 4); err != nil || sum.String() != "10.25 in" {
		t.Errorf("10 in + 6.35 mm = %s, %v; want 10.25 in", sum, err)
	}
	kilograms, _ := Parse("1", "kg")
	if sum, err := inches.Add(kilograms, 4); err == nil {
		t.Errorf("10 in + 1 kg = %s", sum)
	}
}
