package method

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestARuleIsOneSentence(t *testing.T) {
	l, known := Example().List, Example().Known
	for _, c := range []struct {
		want string
		rule Rule
	}{
		{"0.12 h a zone, plus outer surface ÷ 4 m2/h × factor of condition (A 1, B 1.1, C 1.3, any other 1).",
			Rule{Makes: Hours, Unit: "h", Each: "0.12", Parts: []Part{{Factors: []Factor{{Of: "outer_area"}, {Per: "4", Unit: "m2/h"}, {By: ByCondition, Table: map[string]string{"a": "1", "b": "1.1", "c": "1.3"}}}}}}},
		{"Blast media, fine: “Blast the outside” × 60 kg/h, only by “Blasting”.", l.Rules[2]},
		{"0.5 h once, only for rails or kick-ups in left side rail at the left where it is grade D, pitted or perforated with the finish as found by “Blasting”; low 0.8 times, high 2 times that.",
			Rule{Stage: Strip, Makes: Hours, Unit: "h", Fixed: "0.5", Spread: &Spread{"0.8", "2"}, For: For{Kinds: []Kind{Rail, KickUp}, Zones: []string{"left-side-rail"}, Sides: []Side{Left},
				Conditions: []Condition{GradeD, Pitted, Perforated}, Finishes: []Finish{AsFound}, Methods: []string{"blast"}}}},
		{"1 ÷ 2 pc/h × 3 pc × factor of method (Blasting 1, Scraper, heat and wheel 2).",
			Rule{Stage: Strip, Makes: Hours, Unit: "h", Parts: []Part{{Factors: []Factor{{Per: "2", Unit: "pc/h"}, {Times: "3", Unit: "pc"}, {By: ByMethod, Table: map[string]string{"hand": "2", "blast": "1"}}}}}}},
		{"no_such × “no-rule”.", Rule{Makes: Hours, Unit: "h", Parts: []Part{{Factors: []Factor{{Of: "no_such"}, {OfRule: "no-rule"}}}}}},
		{"nothing", Rule{}},
	} {
		if got := Sentence(c.rule, l, known); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// By hand: 0.529 / 4 x 1.3 = 0.171925; + 0.05 = 0.221925; x 60 = 13.3155.
func TestAShareSaysItsFormula(t *testing.T) {
	r := computed(t, Example())
	rail := r.OfZone("left-side-rail")
	if len(rail) != 2 || rail[0].Source == "" || rail[0].Inputs()[0].Words == "" {
		t.Fatalf("%+v", rail)
	}
	for i, want := range []string{
		"0.05 h + outer surface 0.529 m2 ÷ 4 m2/h × 1.3 for grade C ≈ 0.2219 h",
		"“Blast the outside” 0.221925 h × 60 kg/h = 13.3155 kg",
	} {
		if rail[i].Words() != want {
			t.Errorf("%q, want %q", rail[i].Words(), want)
		}
	}
	in := Example()
	in.Zones[0].Quantities = nil
	if got := computed(t, in).OfZone("left-side-rail")[0].Words(); got != "0.05 h + no outer surface ÷ 4 m2/h × 1.3 for grade C = 0.05 h" {
		t.Error(got)
	}
	if got := r.Materials[0].Words; got != "“Media for the outside” 13.3155 kg, rounded to 13.316." {
		t.Error(got)
	}
	if text, err := json.Marshal(r.Tasks[0].Hours); err != nil || !strings.Contains(string(text), `"low":"1.36"`) {
		t.Errorf("%s, %v", text, err)
	}
}

func TestReasonsOfAMove(t *testing.T) {
	base := func() Input {
		in := Example()
		in.List.Rules = append(in.List.Rules, Rule{Key: "look", Name: "Look", Stage: Strip, Makes: Hours, Task: "B45", Unit: "h", Each: "1", Source: "test",
			For: For{Kinds: []Kind{Rail}, Sides: []Side{Left}, Zones: []string{"left-side-rail"}, Finishes: []Finish{Driver}}})
		return in
	}
	before := computed(t, base())
	for _, c := range []struct {
		name, why string
		change    func(*Input)
	}{
		{"condition", "condition from grade C to perforated", func(in *Input) { in.Zones[0].Condition = Perforated }},
		{"method", "strip method from Blasting to Scraper, heat and wheel", func(in *Input) { in.Zones[0].Methods = map[Stage]string{Strip: "hand"} }},
		{"size", "outer surface from 0.529 m2 to 0.6 m2", func(in *Input) { in.Zones[0].Quantities[0].Value = "0.60" }},
		{"kind", "kind from rail to mount", func(in *Input) { in.Zones[0].Kind = Mount }},
		{"side", "side from left to right", func(in *Input) { in.Zones[0].Side = Right }},
		{"code", "code from left-side-rail to left-rail", func(in *Input) { in.Zones[0].Code = "left-rail" }},
		{"finish", "finish from driver to as found", func(in *Input) { in.Zones[0].Finish = AsFound }},
		{"rule", "the rule “Blast the outside” was changed", func(in *Input) { in.List.Rules[0].Each = "0.06" }},
		{"new rule", "the rule is new", func(in *Input) {
			more := in.List.Rules[0]
			more.Key = "again"
			in.List.Rules = append(in.List.Rules, more)
		}},
		{"rule gone", "the rule is gone", func(in *Input) { in.List.Rules = in.List.Rules[1:2] }},
		{"zone gone", "the zone is gone", func(in *Input) { in.Zones = in.Zones[1:] }},
		{"zone new", "the zone is new", func(in *Input) {
			z := in.Zones[0]
			z.ID = "new"
			in.Zones = append(in.Zones, z)
		}},
		{"once no more", "no zone counts any more", func(in *Input) { in.Zones = in.Zones[1:] }},
	} {
		in := base()
		c.change(&in)
		got := Compare(before, computed(t, in))
		found := false
		for _, m := range got.Tasks {
			for _, by := range m.By {
				found = found || by.Why == c.why
			}
		}
		if !found {
			t.Errorf("%s: want %q, got %+v", c.name, c.why, got.Tasks)
		}
	}
	in := base()
	in.List.Rules[0].Spread = nil
	if got := Compare(before, computed(t, in)); len(got.Tasks) != 1 || len(got.Tasks[0].By) != 0 || !strings.Contains(got.Tasks[0].Words, "only the low and high") {
		t.Errorf("a spread: %+v", got.Tasks)
	}
	in = base()
	in.Zones[0].Name = "Left side rail, long"
	in.Zones[0].Quantities[0].Value = "0.5290"
	if got := Compare(before, computed(t, in)); len(got.Tasks)+len(got.Zones) != 0 {
		t.Errorf("another name and a zero more: %+v", got)
	}
}

// What is only counted once lists no zones: none has a part in it.
func TestAFixedAmountAlone(t *testing.T) {
	in := Example()
	in.List.Rules = []Rule{{Key: "plugs", Name: "Plugs", Stage: Coat, Makes: Material, Task: "B45", Material: "media_soft", Unit: "kg", Fixed: "1.5", Source: "test"}}
	before := computed(t, in)
	if m := before.Materials; len(m) != 1 || m[0].Quantity.String() != "1.5" || len(m[0].Rules[0].Zones) != 0 {
		t.Fatalf("%+v", m)
	}
	in.Zones = nil
	none := computed(t, in)
	if len(none.Materials) != 0 {
		t.Errorf("of no zones: %+v", none.Materials)
	}
	if by := Compare(none, before).Materials[0].By; len(by) != 1 || by[0].Words != "Once for the task: 1.5 kg more by “Plugs”, since Left side rail now counts." {
		t.Errorf("%+v", by)
	}
}

// Media are made of hours, so what moves the hours is why the media move. Zones
// that are gone stand after those of the new frame.
func TestReasonsReachThroughRules(t *testing.T) {
	in := Example()
	in.Zones[1].Methods = map[Stage]string{Strip: "blast"}
	before := computed(t, in)
	after := in
	after.Zones = []Zone{in.Zones[1]}
	after.Zones[0].Condition = Pitted
	got := Compare(before, computed(t, after))
	media := got.Materials[0].By
	if len(media) != 2 || media[0].Zone != "rear-crossmember" || media[0].Why != "condition from grade B to pitted" || media[1].Zone != "left-side-rail" || media[1].Why != "the zone is gone" {
		t.Errorf("%+v", media)
	}
	if z := got.Zones; len(z) != 2 || z[0].Zone != "rear-crossmember" || z[1].What[0] != "the zone is gone" {
		t.Errorf("%+v", z)
	}
}
