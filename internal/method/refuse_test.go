package method

import (
	"fmt"
	"strings"
	"testing"

	"bareframe/internal/fault"
)

// part replaces the one part of the first rule.
func (in *Input) part(factors ...Factor) { in.List.Rules[0].Parts = []Part{{Factors: factors}} }

func TestEveryMistakeIsNamed(t *testing.T) {
	rule := func(in *Input) *Rule { return &in.List.Rules[0] }
	area := Factor{Of: "outer_area"}
	rate := Factor{Per: "4", Unit: "m2/h"}
	for _, c := range []struct {
		pointer, says string
		spoil         func(*Input)
	}{
		{"/list/rules/0/parts/0", "comes out as area times area per hour (m2·m2/h); hours (h) is wanted", func(in *Input) { in.part(area, Factor{Times: "4", Unit: "m2/h"}) }},
		{"/list/rules/0/parts/0", "if you divided by 4 m2/h", func(in *Input) { in.part(area, Factor{Times: "4", Unit: "m2/h"}) }},
		{"/list/rules/0/parts/0", "if you multiplied by 0.5 h/m2", func(in *Input) { in.part(area, Factor{Per: "0.5", Unit: "h/m2"}) }},
		{"/list/rules/0/parts/0", "comes out as area (m2); hours (h) is wanted", func(in *Input) { in.part(area) }},
		{"/list/rules/0/parts/0", "comes out as a pure number", func(in *Input) { in.part(Factor{Times: "2"}) }},
		{"/list/rules/2/parts/0", "comes out as hours (h); mass (kg) is wanted", func(in *Input) { in.List.Rules[2].Parts[0].Factors = in.List.Rules[2].Parts[0].Factors[:1] }},
		{"/list/rules/0/parts/0/factors/0/of", `no quantity "roof_area"`, func(in *Input) { in.part(Factor{Of: "roof_area"}, rate) }},
		{"/list/rules/2/parts/0/factors/0/of_rule", `no rule "blasting"`, func(in *Input) { in.List.Rules[2].Parts[0].Factors[0].OfRule = "blasting" }},
		{"/list/rules/0/parts/0/factors/1/per", "zero", func(in *Input) { in.part(area, Factor{Per: "0.000", Unit: "m2/h"}) }},
		{"/list/rules/0/parts/0/factors/1/per", "negative", func(in *Input) { in.part(area, Factor{Per: "-4", Unit: "m2/h"}) }},
		{"/list/rules/0/parts/0/factors/1/times", "exponent", func(in *Input) { in.part(area, Factor{Times: "1e9", Unit: "h/m2"}) }},
		{"/list/rules/0/parts/0/factors/1/unit", "unit must be one of", func(in *Input) { in.part(area, Factor{Per: "4", Unit: "acre/h"}) }},
		{"/list/rules/0/parts/0/factors/1/unit", "unit must be one of", func(in *Input) { in.part(area, Factor{Per: "4", Unit: "m2/h/h"}) }},
		{"/list/rules/0/parts/0/factors/1/unit", "after the stroke", func(in *Input) { in.part(area, Factor{Per: "4", Unit: "m2/"}) }},
		{"/list/rules/0/parts/0/factors/0", "exactly one of", func(in *Input) { in.part(Factor{Of: "outer_area", Times: "2"}) }},
		{"/list/rules/0/parts/0/factors/0", "this one is 0", func(in *Input) { in.part(Factor{}) }},
		{"/list/rules/0/parts/0/factors/0/unit", "has a unit", func(in *Input) { in.part(Factor{Of: "outer_area", Unit: "m2"}, rate) }},
		{"/list/rules/0/parts/0/factors/2/table/e", `"e" is none of a, b`, func(in *Input) { in.part(area, rate, Factor{By: ByCondition, Table: map[string]string{"e": "2"}}) }},
		{"/list/rules/0/parts/0/factors/2/table/best", "none of driver", func(in *Input) { in.part(area, rate, Factor{By: ByFinish, Table: map[string]string{"best": "2"}}) }},
		{"/list/rules/0/parts/0/factors/2/table/roof", "none of rail", func(in *Input) { in.part(area, rate, Factor{By: ByKind, Table: map[string]string{"roof": "2"}}) }},
		{"/list/rules/0/parts/0/factors/2/table/laser", "none of blast, hand", func(in *Input) { in.part(area, rate, Factor{By: ByMethod, Table: map[string]string{"laser": "2"}}) }},
		{"/list/rules/0/parts/0/factors/2/table/a", "negative", func(in *Input) { in.part(area, rate, Factor{By: ByCondition, Table: map[string]string{"a": "-2"}}) }},
		{"/list/rules/0/parts/0/factors/2/other", "negative", func(in *Input) {
			in.part(area, rate, Factor{By: ByCondition, Table: map[string]string{"a": "2"}, Other: "-1"})
		}},
		{"/list/rules/0/parts/0/factors/2/table", "empty", func(in *Input) { in.part(area, rate, Factor{By: ByCondition}) }},
		{"/list/rules/0/parts/0/factors/2/by", "none of condition", func(in *Input) { in.part(area, rate, Factor{By: "moon", Table: map[string]string{"full": "2"}}) }},
		{"/list/rules/0/parts/0/factors/1/table", "what it looks at", func(in *Input) { in.part(area, Factor{Per: "4", Unit: "m2/h", Table: map[string]string{"a": "2"}}) }},
		{"/list/rules/0/parts/0/factors", "1 to 8", func(in *Input) { in.part() }},
		{"/list/rules/0/parts/0/factors", "1 to 8", func(in *Input) { in.part(make([]Factor, MaxFactors+1)...) }},
		{"/list/rules/0/parts", "at most 8", func(in *Input) { rule(in).Parts = make([]Part, MaxParts+1) }},
		{"/list/rules/0/parts", "makes nothing", func(in *Input) { rule(in).Fixed, rule(in).Each, rule(in).Parts = "", "", nil }},
		{"/list/rules/0", "blast-hours needs blast-media needs blast-hours", func(in *Input) {
			in.part(Factor{OfRule: "blast-media"}, Factor{Per: "60", Unit: "kg/h"})
		}},
		{"/list/rules/1", "hand-hours needs hand-hours", func(in *Input) { in.List.Rules[1].Parts = []Part{{Factors: []Factor{{OfRule: "hand-hours"}}}} }},
		{"/list/rules/1/key", `has the key "blast-hours"`, func(in *Input) { in.List.Rules[1].Key = "blast-hours" }},
		{"/list/methods/1/key", "another method", func(in *Input) {
			in.List.Methods[1].Key = "blast"
			in.List.Rules[1].For.Methods = nil
			in.Zones[1].Methods = nil
		}},
		{"/list/rules/0/for/methods/0", `"laser" is none of`, func(in *Input) { rule(in).For.Methods[0] = "laser" }},
		{"/list/rules/0/for/conditions/0", "none of", func(in *Input) { rule(in).For.Conditions = []Condition{"rotten"} }},
		{"/list/rules/0/for/kinds/1", "twice", func(in *Input) { rule(in).For.Kinds = []Kind{Rail, Rail} }},
		{"/list/rules/0/for/sides/0", "none of", func(in *Input) { rule(in).For.Sides = []Side{"up"} }},
		{"/list/rules/0/for/finishes/0", "none of", func(in *Input) { rule(in).For.Finishes = []Finish{"best"} }},
		{"/list/rules/0/for/zones/0", "word", func(in *Input) { rule(in).For.Zones = []string{""} }},
		{"/list/rules/0/fixed", "negative", func(in *Input) { rule(in).Fixed = "-0.5" }},
		{"/list/rules/0/each", "plain decimal", func(in *Input) { rule(in).Each = "a few" }},
		{"/list/rules/0/each", "digits", func(in *Input) { rule(in).Each = "1000000.5" }},
		{"/list/rules/0/unit", "made in h", func(in *Input) { rule(in).Unit = "day" }},
		{"/list/rules/0/material", "names no material", func(in *Input) { rule(in).Material = "media_soft" }},
		{"/list/rules/0/makes", "none of hours, material", func(in *Input) {
			rule(in).Makes, rule(in).Spread, rule(in).Material, rule(in).Parts = "time", nil, "media_soft", nil
			in.Known.Materials[0].Unit = "h"
			in.List.Rules = in.List.Rules[:2]
		}},
		{"/list/rules/0/task", `no task "B99"`, func(in *Input) { rule(in).Task = "B99" }},
		{"/list/rules/2/material", `no material "sand"`, func(in *Input) { in.List.Rules[2].Material = "sand" }},
		{"/list/rules/2/material", "word", func(in *Input) { in.List.Rules[2].Material = "" }},
		{"/list/rules/2/unit", "counts \"media_soft\" in kg, not in lb", func(in *Input) { in.List.Rules[2].Unit = "lb" }},
		{"/list/rules/2/unit", "unit must be one of", func(in *Input) { in.List.Rules[2].Unit = "kg/h" }},
		{"/list/rules/2/spread", "only hours", func(in *Input) { in.List.Rules[2].Spread = &Spread{"1", "1"} }},
		{"/list/rules/0/spread/low", "at most 1", func(in *Input) { rule(in).Spread.Low = "1.1" }},
		{"/list/rules/0/spread/high", "at least 1", func(in *Input) { rule(in).Spread.High = "0.9" }},
		{"/list/rules/0/spread/high", "plain decimal", func(in *Input) { rule(in).Spread.High = "" }},
		{"/list/rules/0/source", "text", func(in *Input) { rule(in).Source = " " }},
		{"/list/rules/0/name", "word", func(in *Input) { rule(in).Name = "" }},
		{"/list/rules/0/key", "word", func(in *Input) { rule(in).Key = ""; in.List.Rules = in.List.Rules[:2] }},
		{"/list/rules/0/stage", "none of strip", func(in *Input) { rule(in).Stage, rule(in).For.Methods = "wash", nil }},
		{"/list/rules/0/note", "text", func(in *Input) { rule(in).Note = strings.Repeat("x", MaxText+1) }},
		{"/list/rules", "at most", func(in *Input) { in.List.Rules = make([]Rule, MaxRules+1); in.Zones = nil }},
		{"/known/quantities/1/name", "another quantity", func(in *Input) { in.Known.Quantities[1].Name = "length"; in.List.Rules = nil; in.Zones = nil }},
		{"/known/quantities/0/unit", "unit must be one of", func(in *Input) { in.Known.Quantities[0].Unit = "cubit" }},
		{"/zones/1/id", "another zone", func(in *Input) { in.Zones[1].ID = in.Zones[0].ID }},
		{"/zones/0/condition", "none of a, b", func(in *Input) { in.Zones[0].Condition = "" }},
		{"/zones/0/finish", "none of driver", func(in *Input) { in.Zones[0].Finish = "best" }},
		{"/zones/0/kind", "none of rail", func(in *Input) { in.Zones[0].Kind = "roof" }},
		{"/zones/0/side", "none of left", func(in *Input) { in.Zones[0].Side = "" }},
		{"/zones/0/methods/strip", `no method "laser"`, func(in *Input) { in.Zones[0].Methods[Strip] = "laser" }},
		{"/zones/0/methods", "only", func(in *Input) { in.Zones[0].Methods["wash"] = "blast" }},
		{"/zones/0/quantities/0/name", `no quantity "roof_area"`, func(in *Input) { in.Zones[0].Quantities[0].Name = "roof_area" }},
		{"/zones/0/quantities/1/name", "twice", func(in *Input) { in.Zones[0].Quantities = append(in.Zones[0].Quantities, in.Zones[0].Quantities[0]) }},
		{"/zones/0/quantities/0/unit", "told in area (m2), not in mass (kg)", func(in *Input) { in.Zones[0].Quantities[0].Unit = "kg" }},
		{"/zones/0/quantities/0/value", "negative", func(in *Input) { in.Zones[0].Quantities[0].Value = "-1" }},
		{"/zones", "at most", func(in *Input) { in.Zones = make([]Zone, MaxZones+1) }},
	} {
		in := Example()
		c.spoil(&in)
		_, err := Compute(in)
		f := fault.As(err)
		if f == nil || f.Kind != fault.Invalid || len(f.Fields) != 1 || f.Fields[0].Pointer != c.pointer || !strings.Contains(f.Fields[0].Detail, c.says) {
			t.Errorf("want at %s: …%s…\n got %v", c.pointer, c.says, err)
		}
	}
}

func TestTwoRulesCountOneMaterialInOneUnit(t *testing.T) {
	in := Example()
	in.Known.Materials = nil
	other := in.List.Rules[2]
	other.Key, other.Unit = "more-media", "lb"
	in.List.Rules = append(in.List.Rules, other)
	if f := fault.As(in.List.Check(in.Known)); f == nil || len(f.Fields) != 1 || f.Fields[0].Pointer != "/rules/3/unit" {
		t.Errorf("%v", f)
	}
}

func TestParseIsStrict(t *testing.T) {
	for name, text := range map[string]string{"an unknown member": `{"rules": [], "surprise": 1}`, "text after it": `{"rules": []} {}`, "not JSON": "[",
		"a number where a decimal belongs": `{"rules": [{"each": 1}]}`, "a rule that is wrong": `{"rules": [{}]}`} {
		if _, err := Parse([]byte(text), Known{}); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: %v", name, err)
		}
	}
	if l, err := Parse([]byte(`{"note": "none yet", "methods": [], "rules": []}`), Known{}); err != nil || l.Note != "none yet" {
		t.Errorf("an empty list: %+v, %v", l, err)
	}
}

// A chain in which each rule squares the one before would have a number of
// digits that doubles with each rule.
func TestAChainCannotGrowWithoutEnd(t *testing.T) {
	in := Example()
	in.List.Rules = []Rule{{Key: "r0", Name: "r0", Stage: Strip, Makes: Hours, Task: "B45", Unit: "h", Parts: []Part{{Factors: []Factor{{Times: "1", Unit: "h"}, {Per: "7"}}}}, Source: "test"}}
	for i := 1; i < MaxRules; i++ {
		before := Factor{OfRule: fmt.Sprintf("r%d", i-1)}
		in.List.Rules = append(in.List.Rules, Rule{Key: fmt.Sprintf("r%d", i), Name: "r", Stage: Strip, Makes: Hours, Task: "B45", Unit: "h",
			Parts: []Part{{Factors: []Factor{before, before, {Per: "1", Unit: "h"}}}}, Source: "test"})
	}
	if _, err := Compute(in); fault.As(err) == nil || fault.As(err).Code != "method-amount" {
		t.Errorf("%v", err)
	}
	in = Example()
	wide := in.List.Rules[0]
	wide.Parts = nil
	for range MaxParts {
		wide.Parts = append(wide.Parts, Part{Factors: []Factor{{Times: "1", Unit: "h"}, {Times: "1"}, {Times: "1"}, {Times: "1"}, {Times: "1"}, {Times: "1"}, {Times: "1"}, {Times: "1"}}})
	}
	in.List.Rules = nil
	for i := range MaxRules {
		wide.Key = fmt.Sprint(i)
		in.List.Rules = append(in.List.Rules, wide)
	}
	for i := range MaxZones - 2 {
		z := in.Zones[0]
		z.ID = fmt.Sprint(i)
		in.Zones = append(in.Zones, z)
	}
	if _, err := Compute(in); fault.As(err) == nil || fault.As(err).Code != "method-amount" {
		t.Errorf("%d factors for %d zones: %v", in.List.factors(), len(in.Zones), err)
	}
}
