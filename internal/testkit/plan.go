package testkit

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/method"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// TrialKey is the key of the small template that the examples and most stories
// run on; the seeds' own templates stand beside it.
const TrialKey = "trial_frame"

// Unit costs of the trial template: figures so odd that they turn up nowhere by
// accident, to be looked for where no cost may show.
const (
	TrialMaterialCost = "23.57"
	TrialSubletCost   = "187.31"
	TrialFeeCost      = "61.93"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

func threePoint(low, likely, high string) domain.ThreePoint {
	return domain.ThreePoint{Low: dec(low), Likely: dec(likely), High: dec(high)}
}

// trialMethods make the template's own hours of two tasks while nobody has looked
// at the frame. A perforated rail asks for welding time twice and for wire on top.
func trialMethods() *method.List {
	const source = "made for tests"
	perforated := method.For{Kinds: []method.Kind{method.Rail}, Conditions: []method.Condition{method.Perforated}}
	return &method.List{
		Methods: []method.Method{{Stage: method.Strip, Key: "blast", Name: "Blasting"}, {Stage: method.Strip, Key: "hand", Name: "By hand"},
			{Stage: method.Repair, Key: "fabricate", Name: "Made here"}, {Stage: method.Coat, Key: "two_pack", Name: "Two-pack"}},
		Rules: []method.Rule{
			{Key: "safe", Name: "Fuel made safe", Stage: method.Strip, Makes: method.Hours, Task: "A20", Unit: "h", Fixed: "2", Spread: &method.Spread{Low: "0.5", High: "2"}, Source: source},
			{Key: "rail", Name: "Rail in any case", Stage: method.Repair, Makes: method.Hours, Task: "B10", Unit: "h", Fixed: "5", Spread: &method.Spread{Low: "0.6", High: "1.8"}, Source: source},
			{Key: "weld", Name: "Weld in", Stage: method.Repair, Makes: method.Hours, Task: "B10", Unit: "h", For: perforated,
				Parts: []method.Part{{Factors: []method.Factor{{Of: "weld_time"}, {Times: "2"}}}}, Spread: &method.Spread{Low: "0.6", High: "1.8"}, Source: source},
			{Key: "wire", Name: "Wire", Stage: method.Repair, Makes: method.Material, Task: "B10", Material: "weld_wire", Unit: "kg", For: perforated,
				Parts: []method.Part{{Factors: []method.Factor{{Of: "wire_weight"}}}}, Source: source},
		},
	}
}

// trialPlan is a job of ten tasks with one of everything: a hold, a cure, a
// sublet, an option, a lag of either kind and three of the link types.
func trialPlan() domain.TemplatePlan {
	work := func(key, phase, name, skill string, h domain.ThreePoint, class pricing.TaxClass) domain.TemplateTask {
		return domain.TemplateTask{Key: key, Phase: phase, Name: name, Kind: domain.Work, Hours: h, Skill: skill, Crew: 1, TaxClass: class, Cautions: []string{}}
	}
	fs := func(from, to string) domain.TemplateLink {
		return domain.TemplateLink{From: from, To: to, Type: network.FS, LagKind: calendar.Working}
	}
	welded := work("B20", "repair", "Welded crossmember put right", "welder", threePoint("2", "3", "6"), pricing.FabricationLabour)
	welded.When = domain.When{"crossmember": {"welded"}}
	rail := work("B10", "repair", "Left rail cut out, weld in", "welder", threePoint("3", "5", "9"), pricing.FabricationLabour)
	rail.Station = "frame_stand"
	return domain.TemplatePlan{
		Key: TrialKey, Name: "Trial frame", Description: "A short job for trying things out.",
		Frame: "perimeter-ladder", Methods: trialMethods(),
		VehicleOptions: []domain.VehicleOption{{Key: "crossmember", Name: "Gearbox crossmember",
			Choices: []domain.OptionChoice{{Key: "welded", Name: "welded in"}, {Key: "bolted", Name: "bolted"}}}},
		Phases: []domain.TemplatePhase{{Key: "removal", Name: "Removal"}, {Key: "repair", Name: "Rust repair"}, {Key: "coating", Name: "Coating"}},
		Tasks: []domain.TemplateTask{
			work("A10", "removal", "Walk round, battery off", "fitter", threePoint("0.5", "1", "1.5"), pricing.RepairLabour),
			work("A20", "removal", "Fuel system made safe", "fitter", threePoint("1", "2", "4"), pricing.RepairLabour),
			work("A25", "removal", "Front sheet metal off", "fitter", threePoint("2", "3", "5"), pricing.RepairLabour),
			{Key: "A30", Phase: "removal", Name: "Hold: markings signed off", Kind: domain.Hold, HoldPoint: "The owner signs the marking record.", StripGate: true, TaxClass: pricing.RepairLabour, Cautions: []string{}},
			rail, welded,
			{Key: "C10", Phase: "coating", Name: "Primer cure", Kind: domain.Cure, ElapsedHours: dec("24"), TaxClass: pricing.RepairLabour, Cautions: []string{}},
			{Key: "C20", Phase: "coating", Name: "Brackets plated", Kind: domain.Sublet, LeadDays: 3, TaxClass: pricing.RepairLabour, Cautions: []string{}},
			work("C30", "coating", "Top coat", "painter", threePoint("2", "3", "4"), pricing.RepairLabour),
			work("C40", "coating", "Car handed over", "fitter", threePoint("0.5", "1", "1.5"), pricing.RepairLabour),
		},
		Links: []domain.TemplateLink{
			fs("A10", "A20"), fs("A20", "A25"), fs("A25", "A30"), fs("A30", "B10"),
			{From: "B10", To: "B20", Type: network.SS, LagHours: dec("1"), LagKind: calendar.Working},
			fs("B20", "C10"), fs("B10", "C10"),
			{From: "C10", To: "C30", Type: network.FS, LagHours: dec("2"), LagKind: calendar.Elapsed},
			fs("A30", "C20"), fs("C20", "C30"),
			{From: "C30", To: "C40", Type: network.FF, LagHours: dec("1"), LagKind: calendar.Working}, fs("C10", "C40"),
		},
		Lines: []domain.TemplateLine{
			{Key: "M10", Phase: "removal", Kind: pricing.Material, Description: "Caps for open lines", Quantity: dec("3"), Unit: "pc", UnitCost: dec(TrialMaterialCost),
				MarkupPercent: dec("17.5"), WastePercent: dec("4"), TaxClass: pricing.MaterialClass},
			{Key: "S10", Task: "C20", Kind: pricing.Sublet, Description: "Plating of brackets", Quantity: dec("1"), Unit: "lot", UnitCost: dec(TrialSubletCost),
				MarkupPercent: dec("12.5"), TaxClass: pricing.SubletClass},
			{Key: "F10", Phase: "repair", Kind: pricing.Fee, Description: "Gases taken away", Quantity: dec("1"), Unit: "lot", UnitCost: dec(TrialFeeCost), TaxClass: pricing.FeeClass},
		},
		Cautions: map[string]string{"hot_work": "Hot work: local codes and qualified persons come first."},
	}
}
