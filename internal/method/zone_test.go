package method

import "testing"

func TestWhichZonesARuleIsFor(t *testing.T) {
	z := Zone{ID: "1", Code: "left-side-rail", Kind: Rail, Side: Left, Condition: GradeC, Finish: Show, Methods: map[Stage]string{Strip: "blast", Coat: "brush"}}
	for _, c := range []struct {
		name string
		f    For
		s    Stage
		want bool
	}{
		{"any", For{}, Strip, true},
		{"its kind", For{Kinds: []Kind{Mount, Rail}}, Strip, true},
		{"another kind", For{Kinds: []Kind{Mount}}, Strip, false},
		{"its side", For{Sides: []Side{Left}}, Strip, true},
		{"the other side", For{Sides: []Side{Right, Centre}}, Strip, false},
		{"its code", For{Zones: []string{"left-side-rail"}}, Strip, true},
		{"its id is not its code", For{Zones: []string{"1"}}, Strip, false},
		{"its condition", For{Conditions: []Condition{GradeC}}, Strip, true},
		{"another condition", For{Conditions: []Condition{GradeD, Hidden}}, Strip, false},
		{"its finish", For{Finishes: []Finish{Show}}, Strip, true},
		{"another finish", For{Finishes: []Finish{Concours}}, Strip, false},
		{"its method", For{Methods: []string{"blast"}}, Strip, true},
		{"the method of another stage", For{Methods: []string{"blast"}}, Coat, false},
		{"a stage without a method", For{Methods: []string{"blast"}}, Repair, false},
		{"all but one", For{Kinds: []Kind{Rail}, Sides: []Side{Left}, Conditions: []Condition{GradeA}}, Strip, false},
	} {
		if got := c.f.covers(&z, c.s); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A table looks at what it says, by hand: 2 h x the factor.
func TestWhatATableLooksAt(t *testing.T) {
	for _, c := range []struct {
		factor Factor
		want   string
		words  string
	}{
		{Factor{By: ByCondition, Table: map[string]string{"c": "1.5", "a": "7"}}, "3", "2 h × 1.5 for grade C = 3 h"},
		{Factor{By: ByFinish, Table: map[string]string{"driver": "0.5"}}, "1", "2 h × 0.5 for driver = 1 h"},
		{Factor{By: ByKind, Table: map[string]string{"rail": "2"}}, "4", "2 h × 2 for rail = 4 h"},
		{Factor{By: ByMethod, Table: map[string]string{"blast": "0.25", "hand": "9"}}, "0.5", "2 h × 0.25 for Blasting = 0.5 h"},
		{Factor{By: ByFinish, Table: map[string]string{"show": "9"}, Other: "1.1"}, "2.2", "2 h × 1.1 for driver = 2.2 h"},
		{Factor{By: ByFinish, Table: map[string]string{"show": "9"}}, "2", "2 h × 1 for driver = 2 h"},
	} {
		in := Example()
		in.Zones = in.Zones[:1]
		in.List.Rules = []Rule{{Key: "r", Name: "R", Stage: Strip, Makes: Hours, Task: "B45", Unit: "h", Parts: []Part{{Factors: []Factor{{Times: "2", Unit: "h"}, c.factor}}}, Source: "test"}}
		share := computed(t, in).Tasks[0].Rules[0].Zones[0]
		if share.Amount().String() != c.want || share.Words() != c.words {
			t.Errorf("%+v: %s, %q; want %s, %q", c.factor, share.Amount(), share.Words(), c.want, c.words)
		}
	}
}
