package points

import (
	"testing"

	"bareframe/internal/fault"
)

// By hand: an underside of 1.5 that a car is expected to have as found is 1.5 off
// of a maximum of 2; two of them are held to it; once one was seen it is what was
// seen, 1.5 a piece; and an option that puts 1.5 right buys 1.5.
func TestWhatACarIsExpectedToHaveAsFound(t *testing.T) {
	given := func(asFound int, seen ...Seen) Input {
		in := Example()
		in.Sheet.Items = append(in.Sheet.Items, Item{Key: "underside", Name: "Underside", MaxOriginality: "1", MaxCondition: "2",
			Departures: []Departure{{What: "not_done", Originality: "0", Condition: "1.5", AsFound: asFound}}})
		in.Seen = append(in.Seen, seen...)
		in.Options = []Option{{ID: "floor", Name: "Floor", Cost: "100", Effects: []Effect{{Item: "underside", Condition: "1.5"}}}}
		in.Groups, in.Sets, in.Budget = nil, nil, "1000"
		return in
	}
	one := Seen{ID: "s9", What: "not_done", Count: 1}
	for _, c := range []struct {
		name         string
		in           Input
		found, buys  string
		reasonsCount int
	}{
		{"none is expected", given(0), "0.00", "0.00", 0},
		{"one is", given(1), "1.50", "1.50", 1},
		{"two are held to the maximum", given(2), "2.00", "0.50", 1},
		{"one was seen: it is not counted twice", given(1, one), "1.50", "1.50", 1},
		{"one was seen though none is expected", given(0, one), "1.50", "1.50", 1},
	} {
		out, err := Compute(t.Context(), c.in)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		item := out.Items[len(out.Items)-1]
		if got := item.Deduction.Condition.String(); got != c.found || len(item.Reasons) != c.reasonsCount {
			t.Errorf("%s: %s as found for %d reasons, want %s for %d", c.name, got, len(item.Reasons), c.found, c.reasonsCount)
		}
		if got := out.Options[0].Bought.Condition.String(); got != c.buys {
			t.Errorf("%s: the option buys %s, want %s", c.name, got, c.buys)
		}
	}
	if _, err := Compute(t.Context(), given(-1)); fault.As(err) == nil {
		t.Errorf("minus one as found: %v, want a refusal", err)
	}
}
