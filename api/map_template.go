package api

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

func templateSummary(t domain.Template) TemplateSummary {
	p := t.Plan
	return TemplateSummary{ID: t.ID, Key: p.Key, Name: p.Name, Description: p.Description, TaskCount: len(p.Tasks),
		VehicleOptions: each(p.VehicleOptions, vehicleOption), Revision: t.Revision, SavedAt: instantOrNil(t.SavedAt), SavedBy: t.SavedBy,
		Note: t.Note, Retired: t.Retired}
}

func templateRevision(t domain.Template) TemplateRevision {
	return TemplateRevision{ID: t.ID, Revision: t.Revision, SavedAt: instantOrNil(t.SavedAt), SavedBy: t.SavedBy, Note: t.Note, Retired: t.Retired}
}

func templateDetail(p app.TemplatePage) TemplateDetail {
	out := TemplateDetail{Summary: templateSummary(p.Template), NewestID: p.Newest.ID, NewestRevision: p.Newest.Revision,
		Plan: planView(p.Plan), Repairs: len(p.Repairs.Repairs), RepairList: each(p.Repairs.Repairs, repairRead), OwnRepairs: p.OwnRepairs, Methods: each(p.Methods.Methods, workMethod),
		Rules: each(p.Rules, ruleSaid), Quantities: each(p.Known.Quantities, ruleQuantity)}
	rules := each(p.Methods.Rules, methodRule)
	out.Plan.Rules = &rules
	return out
}

func planView(p domain.TemplatePlan) TemplatePlan {
	return TemplatePlan{
		Name: p.Name, Description: p.Description, Frame: p.Frame, VehicleOptions: each(p.VehicleOptions, vehicleOption),
		Phases: each(p.Phases, func(ph domain.TemplatePhase) TemplatePhase { return TemplatePhase{Key: ph.Key, Name: ph.Name} }),
		Tasks:  each(p.Tasks, templateTask),
		Links: each(p.Links, func(l domain.TemplateLink) TemplateLink {
			return TemplateLink{From: l.From, To: l.To, Type: LinkType(l.Type), LagHours: hoursText(l.LagHours), LagKind: LagKind(l.LagKind), MaxLagHours: hoursOrNil(l.MaxLagHours)}
		}),
		Lines: each(p.Lines, templateLine), Options: each(p.Options, templateOption),
		Cautions: each(slices.Sorted(maps.Keys(p.Cautions)), func(key string) TemplateCaution { return TemplateCaution{Key: key, Text: p.Cautions[key]} }),
	}
}

func templateTask(t domain.TemplateTask) TemplateTask {
	return TemplateTask{Key: t.Key, Phase: t.Phase, Name: t.Name, Note: t.Note, Kind: TaskKind(t.Kind), Hours: threePointView(t.Hours),
		ElapsedHours: hoursText(t.ElapsedHours), LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, Station: t.Station, Zone: t.Zone,
		Cautions: texts(t.Cautions), HoldPoint: t.HoldPoint, StripGate: t.StripGate, TaxClass: TaxClass(cmp.Or(t.TaxClass, pricing.RepairLabour)),
		When: whenView(t.When), Option: t.Option, Floor: floorView(t.Floor)}
}

func templateLine(l domain.TemplateLine) TemplateLine {
	return TemplateLine{Key: l.Key, Task: l.Task, Phase: l.Phase, Kind: LineKind(l.Kind), Description: l.Description, Quantity: plainText(l.Quantity),
		Unit: l.Unit, Material: l.Material, UnitCost: unitMoneyText(l.UnitCost), MarkupPercent: plainText(l.MarkupPercent),
		WastePercent: plainText(l.WastePercent), DiscountPercent: plainText(l.DiscountPercent),
		TaxClass: TaxClass(cmp.Or(l.TaxClass, pricing.MaterialClass)), When: whenView(l.When), Option: l.Option}
}

func templateOption(o domain.TemplateOption) TemplateOption {
	return TemplateOption{Key: o.Key, Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken, Points: each(o.Points, pointEffect), When: whenView(o.When)}
}

func whenView(w domain.When) TemplateWhen {
	out := TemplateWhen{}
	for key, values := range w {
		out[key] = texts(values)
	}
	return out
}

func vehicleOption(o domain.VehicleOption) VehicleOption {
	return VehicleOption{Key: o.Key, Name: o.Name,
		Choices: each(o.Choices, func(c domain.OptionChoice) OptionChoice { return OptionChoice{Key: c.Key, Name: c.Name} })}
}

func threePointView(h domain.ThreePoint) ThreePoint {
	return ThreePoint{Low: hoursText(h.Low), Likely: hoursText(h.Likely), High: hoursText(h.High)}
}

// planFrom reads a plan as it was sent under /plan.
func planFrom(b TemplatePlan) (domain.TemplatePlan, error) {
	var r reading
	p := domain.TemplatePlan{Name: b.Name, Description: b.Description, Frame: b.Frame, Cautions: map[string]string{},
		VehicleOptions: each(b.VehicleOptions, vehicleOptionFrom),
		Phases:         each(b.Phases, func(ph TemplatePhase) domain.TemplatePhase { return domain.TemplatePhase{Key: ph.Key, Name: ph.Name} }),
		Tasks:          make([]domain.TemplateTask, len(b.Tasks)), Links: make([]domain.TemplateLink, len(b.Links)), Lines: make([]domain.TemplateLine, len(b.Lines))}
	for i, t := range b.Tasks {
		p.Tasks[i] = templateTaskFrom(&r, fmt.Sprintf("/plan/tasks/%d", i), t)
	}
	for i, l := range b.Links {
		p.Links[i] = domain.TemplateLink{From: l.From, To: l.To, Type: network.LinkType(l.Type),
			LagHours: r.decimal(fmt.Sprintf("/plan/links/%d/lag_hours", i), l.LagHours), LagKind: calendar.Kind(l.LagKind),
			MaxLagHours: r.optionalDecimal(fmt.Sprintf("/plan/links/%d/max_lag_hours", i), l.MaxLagHours)}
	}
	for i, l := range b.Lines {
		p.Lines[i] = templateLineFrom(&r, fmt.Sprintf("/plan/lines/%d", i), l)
	}
	for i, o := range b.Options {
		p.Options = append(p.Options, templateOptionFrom(&r, fmt.Sprintf("/plan/options/%d", i), o))
	}
	for i, c := range b.Cautions {
		if _, twice := p.Cautions[c.Key]; twice {
			r.faults.Add(fmt.Sprintf("/plan/cautions/%d/key", i), "The caution %s stands twice.", c.Key)
		}
		p.Cautions[c.Key] = c.Text
	}
	if b.Rules != nil {
		p.Methods = &method.List{Rules: each(*b.Rules, methodRuleFrom)}
	}
	return p, r.err()
}

func vehicleOptionFrom(o VehicleOption) domain.VehicleOption {
	return domain.VehicleOption{Key: o.Key, Name: o.Name,
		Choices: each(o.Choices, func(c OptionChoice) domain.OptionChoice { return domain.OptionChoice{Key: c.Key, Name: c.Name} })}
}

func templateTaskFrom(r *reading, at string, t TemplateTask) domain.TemplateTask {
	return domain.TemplateTask{Key: t.Key, Phase: t.Phase, Name: t.Name, Note: t.Note, Kind: domain.TaskKind(t.Kind),
		Hours: domain.ThreePoint{Low: r.decimal(at+"/hours/low", t.Hours.Low), Likely: r.decimal(at+"/hours/likely", t.Hours.Likely),
			High: r.decimal(at+"/hours/high", t.Hours.High)},
		ElapsedHours: r.decimal(at+"/elapsed_hours", t.ElapsedHours), LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, Station: t.Station,
		Zone: t.Zone, Cautions: t.Cautions, HoldPoint: t.HoldPoint, StripGate: t.StripGate, TaxClass: pricing.TaxClass(t.TaxClass),
		When: whenFrom(t.When), Option: t.Option, Floor: r.floor(at+"/floor", t.Floor)}
}

func templateLineFrom(r *reading, at string, l TemplateLine) domain.TemplateLine {
	return domain.TemplateLine{Key: l.Key, Task: l.Task, Phase: l.Phase, Kind: pricing.Kind(l.Kind), Description: l.Description,
		Quantity: r.decimal(at+"/quantity", l.Quantity), Unit: l.Unit, Material: l.Material, UnitCost: r.decimal(at+"/unit_cost", l.UnitCost),
		MarkupPercent: r.decimal(at+"/markup_percent", l.MarkupPercent), WastePercent: r.decimal(at+"/waste_percent", l.WastePercent),
		DiscountPercent: r.decimal(at+"/discount_percent", l.DiscountPercent), TaxClass: pricing.TaxClass(l.TaxClass), When: whenFrom(l.When), Option: l.Option}
}

func templateOptionFrom(r *reading, at string, o TemplateOption) domain.TemplateOption {
	out := domain.TemplateOption{Key: o.Key, Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken, When: whenFrom(o.When)}
	for i, p := range o.Points {
		here := fmt.Sprintf("%s/points/%d", at, i)
		out.Points = append(out.Points, domain.PointEffect{ItemKey: p.ItemKey, Originality: r.decimal(here+"/originality", p.Originality),
			Condition: r.decimal(here+"/condition", p.Condition)})
	}
	return out
}

// whenFrom is nil without a condition, as in data files.
func whenFrom(w TemplateWhen) domain.When {
	if len(w) == 0 {
		return nil
	}
	out := domain.When{}
	for key, values := range w {
		out[key] = values
	}
	return out
}

func templateSample(t app.Trial) TemplateSample {
	out := TemplateSample{Problems: each(t.Problems, func(f fault.Field) FieldProblem {
		return FieldProblem{Pointer: rulePointer(f.Pointer), Detail: f.Detail}
	}),
		Rules: each(t.Rules, ruleSaid)}
	if !t.Stands() {
		return out
	}
	p, price, driving := t.Page, priceView(t.Page), drivingOf(t.Page)
	out.Sample = &SampleJob{
		Currency: price.Currency, Net: price.Net, Taxes: price.Taxes, Tax: price.Tax, Total: price.Total, Cost: price.Cost, Margin: price.Margin,
		MarginPercent: price.MarginPercent, Confidence: price.Confidence, Hours: hoursText(p.Whole.Sold), Days: t.Days, Start: p.Plan.Start.UTC(),
		Finish: p.Plan.Finish.UTC(), TaskCount: len(p.Estimate.Tasks), LineCount: len(p.Estimate.Lines),
		Phases: each(p.Phases, func(ph app.PhaseStanding) SamplePhase {
			return SamplePhase{Key: ph.Phase.Key, Net: ph.Net.String(), Hours: hoursText(ph.Standing.Sold)}
		}),
		Tasks: each(p.Estimate.Tasks, func(x domain.Task) SampleTask {
			net, _ := p.TaskPrice(x.ID)
			return SampleTask{Key: x.Code, Net: net.String(), Hours: hoursText(x.Hours.Mean()), Follows: x.Follows, Driving: driving.tasks[x.ID]}
		}),
	}
	return out
}
