package domain

import (
	"fmt"
	"strings"
	"testing"

	"bareframe/internal/pricing"
)

// aPlan is a template with one of everything, as it should be.
func aPlan() TemplatePlan {
	work := func(key, phase string) TemplateTask {
		return TemplateTask{Key: key, Phase: phase, Name: "Work " + key, Kind: Work, Hours: ThreePoint{dec("1"), dec("2"), dec("3")}, Skill: "welder", Crew: 1,
			Station: "stand", TaxClass: pricing.RepairLabour}
	}
	welded := work("B10", "repair")
	welded.When, welded.Option, welded.Cautions = When{"body": {"open"}}, "o1", []string{"hot_work"}
	return TemplatePlan{Key: "k", Name: "Plan", Frame: "ladder",
		VehicleOptions: []VehicleOption{{Key: "body", Name: "Body", Choices: []OptionChoice{{"open", "open"}, {"closed", "closed"}}}},
		Phases:         []TemplatePhase{{"removal", "Removal"}, {"repair", "Repair"}},
		Tasks:          []TemplateTask{work("A10", "removal"), welded},
		Links:          []TemplateLink{{From: "A10", To: "B10", Type: "FS", LagKind: "working"}},
		Lines: []TemplateLine{{Key: "M10", Task: "B10", Kind: pricing.Material, Material: "tube", Quantity: dec("2")},
			{Key: "F10", Phase: "removal", Kind: pricing.Fee, Description: "Scrap taken away", Quantity: dec("1"), Unit: "lot", UnitCost: dec("20"), TaxClass: pricing.FeeClass}},
		Options:  []TemplateOption{{Key: "o1", Name: "Brace", When: When{"body": {"open"}}}},
		Cautions: map[string]string{"hot_work": "Local codes and qualified persons come first."}}
}

func aGround() TemplateGround {
	shop := someShop()
	shop.PriceBook.Materials = []Material{{Key: "tube", Name: "Tube", Unit: "m", UnitCost: dec("4"), TaxClass: pricing.MaterialClass}}
	return TemplateGround{Shop: shop, Frames: []string{"ladder"}}
}

// Each row breaks one rule; the pointers name the row at fault.
func TestATemplateIsHeldAgainstItselfAndTheShop(t *testing.T) {
	for _, r := range []struct {
		name     string
		change   func(p *TemplatePlan)
		pointers []string
	}{
		{"as it should be", func(*TemplatePlan) {}, nil},
		{"no tasks yet", func(p *TemplatePlan) { p.Tasks, p.Links, p.Lines = nil, nil, nil }, nil},
		{"no name", func(p *TemplatePlan) { p.Name = " " }, []string{"/name"}},
		{"no phase", func(p *TemplatePlan) { *p = TemplatePlan{Name: "Bare"} }, []string{"/phases"}},
		{"an unknown layout", func(p *TemplatePlan) { p.Frame = "monocoque" }, []string{"/frame"}},
		{"a phase twice", func(p *TemplatePlan) { p.Phases = append(p.Phases, TemplatePhase{"repair", "Other"}) }, []string{"/phases/2/key"}},
		{"two phases of one name", func(p *TemplatePlan) { p.Phases = append(p.Phases, TemplatePhase{"more", "Repair"}) }, []string{"/phases/2/name"}},
		{"a task twice", func(p *TemplatePlan) { p.Tasks[1].Key = "A10" }, []string{"/tasks/1/key", "/links/0/to", "/lines/0/task"}},
		{"a code that is none", func(p *TemplatePlan) { p.Tasks[0].Key, p.Links = "a code", nil }, []string{"/tasks/0/key"}},
		{"an unknown phase of a task", func(p *TemplatePlan) { p.Tasks[0].Phase = "paint" }, []string{"/tasks/0/phase"}},
		{"an unknown skill", func(p *TemplatePlan) { p.Tasks[1].Skill = "juggler" }, []string{"/tasks/1/skill"}},
		{"an unknown station", func(p *TemplatePlan) { p.Tasks[0].Station = "moon" }, []string{"/tasks/0/station"}},
		{"an unknown caution", func(p *TemplatePlan) { p.Tasks[1].Cautions = []string{"hot_work", "wolves"} }, []string{"/tasks/1/cautions/1"}},
		{"a caution without a text", func(p *TemplatePlan) { p.Cautions["noise"] = " " }, []string{"/cautions"}},
		{"hours the wrong way round", func(p *TemplatePlan) { p.Tasks[0].Hours.Low = dec("2.5") }, []string{"/tasks/0/hours/low"}},
		{"negative hours", func(p *TemplatePlan) { p.Tasks[0].Hours.Low = dec("-1") }, []string{"/tasks/0/hours"}},
		{"nobody at work", func(p *TemplatePlan) { p.Tasks[0].Crew = 0 }, []string{"/tasks/0/crew"}},
		{"a gate that holds nothing", func(p *TemplatePlan) { p.Tasks[0].StripGate = true }, []string{"/tasks/0/strip_gate"}},
		{"when: an option that there is not", func(p *TemplatePlan) { p.Tasks[0].When = When{"wings": {"two"}} }, []string{"/tasks/0/when"}},
		{"when: a choice that there is not", func(p *TemplatePlan) { p.Lines[0].When = When{"body": {"folding"}} }, []string{"/lines/0/when"}},
		{"when: no choice at all", func(p *TemplatePlan) { p.Options[0].When = When{"body": {}} }, []string{"/options/0/when"}},
		{"an unknown option", func(p *TemplatePlan) { p.Tasks[1].Option = "o9" }, []string{"/tasks/1/option"}},
		{"an unknown option of a line", func(p *TemplatePlan) { p.Lines[1].Option = "o9" }, []string{"/lines/1/option"}},
		{"an option twice", func(p *TemplatePlan) { p.Options = append(p.Options, TemplateOption{Key: "o1", Name: "Other"}) }, []string{"/options/1/key"}},
		{"a choice twice", func(p *TemplatePlan) { p.VehicleOptions[0].Choices[1].Key = "open" }, []string{"/vehicle_options/0/choices/1/key"}},
		{"a vehicle option without choices", func(p *TemplatePlan) { p.VehicleOptions = append(p.VehicleOptions, VehicleOption{Key: "x", Name: "X"}) }, []string{"/vehicle_options/1/choices"}},
		{"a link from nowhere", func(p *TemplatePlan) { p.Links[0].From = "Z99" }, []string{"/links/0/from"}},
		{"a link to itself", func(p *TemplatePlan) { p.Links[0].From = "B10" }, []string{"/links/0/from"}},
		{"a link twice", func(p *TemplatePlan) { p.Links = append(p.Links, p.Links[0]) }, []string{"/links/1/from"}},
		{"a lag of unknown time", func(p *TemplatePlan) { p.Links[0].LagKind = "lunar" }, []string{"/links/0/lag_kind"}},
		{"a link of unknown type", func(p *TemplatePlan) { p.Links[0].Type = "XX" }, []string{"/links/0/type"}},
		{"a most time under the least", func(p *TemplatePlan) { p.Links[0].LagHours, p.Links[0].MaxLagHours = dec("2"), ref("1") }, []string{"/links/0/max_lag_hours"}},
		{"a lag of more than a year", func(p *TemplatePlan) { p.Links[0].LagHours = dec("8760.01") }, []string{"/links/0/lag_hours"}},
		{"a line twice", func(p *TemplatePlan) { p.Lines[1].Key = "M10" }, []string{"/lines/1/key"}},
		{"a line of no task", func(p *TemplatePlan) { p.Lines[0].Task = "Z99" }, []string{"/lines/0/task"}},
		{"a line of no phase", func(p *TemplatePlan) { p.Lines[1].Phase = "" }, []string{"/lines/1/phase"}},
		{"a material that the book has not", func(p *TemplatePlan) { p.Lines[0].Material = "unobtainium" }, []string{"/lines/0/material"}},
		{"a negative quantity", func(p *TemplatePlan) { p.Lines[0].Quantity = dec("-1") }, []string{"/lines/0/quantity"}},
		{"a negative cost", func(p *TemplatePlan) { p.Lines[1].UnitCost = dec("-1") }, []string{"/lines/1/unit_cost"}},
		{"a fee with a markup", func(p *TemplatePlan) { p.Lines[1].MarkupPercent = dec("5") }, []string{"/lines/1/markup_percent"}},
		{"an unknown unit", func(p *TemplatePlan) { p.Lines[1].Unit = "bag" }, []string{"/lines/1/unit"}},
		{"a line that says nothing", func(p *TemplatePlan) { p.Lines[1].Description = "" }, []string{"/lines/1/description"}},
		{"labour as a line", func(p *TemplatePlan) { p.Lines[1].Kind = pricing.Labour }, []string{"/lines/1/kind"}},
	} {
		p := aPlan()
		r.change(&p)
		wantFields(t, r.name, p.Validate(aGround()), r.pointers)
	}
}

func TestATemplateHasBounds(t *testing.T) {
	p := aPlan()
	for i := range MaxTemplateTasks {
		x := p.Tasks[0]
		x.Key = fmt.Sprint("T", i)
		p.Tasks = append(p.Tasks, x)
	}
	wantFields(t, "too many tasks", p.Validate(aGround()), []string{"/tasks"})
	p = aPlan()
	for i := range MaxTemplateTasks - 2 { // each with three faults: not every one is told
		p.Tasks = append(p.Tasks, TemplateTask{Key: fmt.Sprint("T", i), Kind: Work})
	}
	if err := p.Validate(aGround()); err == nil || strings.Count(err.Error(), "[/") != maxTemplateFaults {
		t.Errorf("%d faults are named, want %d", strings.Count(fmt.Sprint(err), "[/"), maxTemplateFaults)
	}
}

func TestEditingAPlanKeepsWhatIsNotEdited(t *testing.T) {
	before, edited := aPlan(), TemplatePlan{Key: "other", Name: "New", Phases: []TemplatePhase{{"one", "One"}}}
	before.Repairs = nil
	after := before.Edited(edited)
	if after.Key != "k" || after.Name != "New" || len(after.Tasks) != 0 || len(after.Phases) != 1 {
		t.Errorf("edited to %+v", after)
	}
}
