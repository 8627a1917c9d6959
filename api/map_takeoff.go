package api

import (
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/method"
	"bareframe/internal/takeoff"
)

func takeoffView(p app.TakeoffPage) Takeoff {
	says := map[string]string{}
	for _, q := range p.Known.Quantities {
		says[q.Name] = q.Words
	}
	out := Takeoff{JobID: p.Page.Job.ID, JobNumber: p.Page.Job.Number, Version: p.Page.Job.Version, Units: p.Page.Shop.Settings.Units, Stands: TakeoffStands(p.Stands),
		Currency: p.Page.Job.Currency, Finish: Finish(p.Finish), Methods: choiceOf(p.Ways), Choices: each(p.Choices, workMethod),
		Totals: each(p.Totals, func(q takeoff.Quantity) TakeoffTotal {
			return TakeoffTotal{Name: q.Name, Says: sayOr(says, q.Name), Value: q.Value.String(), Unit: string(q.Unit)}
		}),
		Zones:    each(p.Zones, func(z app.TakeoffZone) TakeoffZone { return takeoffZoneView(z, says) }),
		Tasks:    each(p.Tasks, takeoffTaskView),
		Moves:    each(p.Moves, moveView(p.Page.Job.Currency)),
		Gap:      TakeoffGap{Hours: hoursText(p.Gap.Hours), Net: p.Gap.Net.String(), Total: p.Gap.Total.String()},
		Cautions: each(p.Caution, func(c takeoff.Caution) Caution { return Caution{Key: c.Key, Text: c.Text} }),
	}
	out.Materials = each(p.Goods, takeoffMaterialView)
	return out
}

func sayOr(says map[string]string, name string) string {
	if words, ok := says[name]; ok {
		return words
	}
	return name
}

func workMethod(m method.Method) WorkMethod {
	return WorkMethod{Stage: WorkStage(m.Stage), Key: m.Key, Name: m.Name, Note: m.Note, Source: m.Source}
}

func takeoffZoneView(z app.TakeoffZone, says map[string]string) TakeoffZone {
	out := TakeoffZone{ZoneID: z.Zone.ID, Code: z.Zone.Code, Name: z.Zone.Name, Condition: SteelCondition(z.Condition), Seen: z.Seen, Section: zoneView(z.Zone).Section,
		LengthMm: z.Zone.LengthMM, Gauge: z.Taken.Gauge, Finish: Finish(z.Finish), Methods: choiceOf(z.Ways), OwnFinish: z.Zone.Finish != "", OwnMethods: []WorkStage{},
		Missing: texts(z.Taken.Missing), Quantities: each(z.Taken.Quantities, func(q takeoff.Quantity) TakeoffQuantity {
			return TakeoffQuantity{Name: q.Name, Says: sayOr(says, q.Name), Value: q.Value.String(), Unit: string(q.Unit), Words: q.Words(), Source: q.Source()}
		})}
	if z.Unfit != "" {
		out.Missing = append(out.Missing, "Its section could not be measured, so its given surface counts: "+z.Unfit+".")
	}
	if z.Hole.LengthMM > 0 {
		out.HoleMm = &struct {
			Length int `json:"length"`
			Width  int `json:"width"`
		}{z.Hole.LengthMM, z.Hole.WidthMM}
	}
	for _, stage := range method.Stages() {
		if _, own := z.Zone.Ways[stage]; own {
			out.OwnMethods = append(out.OwnMethods, WorkStage(stage))
		}
	}
	return out
}

func takeoffTaskView(t app.TakeoffTask) TakeoffTask {
	return TakeoffTask{TaskID: t.Task.ID, Code: t.Task.Code, Name: t.Task.Name, Follows: t.Task.Follows, Hours: threePointView(t.Task.Hours), Asked: threePointView(t.Asked),
		Difference: hoursText(t.Difference()), Words: t.Words, Rules: each(t.Rules, madeByRule)}
}

func madeByRule(m method.Made) MadeByRule {
	return MadeByRule{Rule: m.Rule, Name: m.Name, Sentence: m.Sentence, Note: m.Note, Source: m.Source, Unit: m.Unit, Fixed: m.Fixed.String(), Amount: m.Amount.String(),
		Zones: each(m.Zones, func(s method.Share) MadeForZone {
			return MadeForZone{ZoneID: s.Zone, Amount: s.Amount().String(), Words: s.Words()}
		})}
}

func takeoffMaterialView(m app.TakeoffMaterial) TakeoffMaterial {
	out := TakeoffMaterial{Key: m.Key, Name: m.Name, Priced: m.Priced, TaskID: textOrNil(m.Task.ID), TaskCode: textOrNil(m.Task.Code), Asked: m.Asked.String(), Unit: m.Unit,
		Words: m.Words, Rules: each(m.Rules, madeByRule)}
	if m.Line != nil {
		quantity := m.Quantity.String()
		out.LineID, out.Quantity, out.Follows = &m.Line.ID, &quantity, m.Line.Follows
	}
	if m.Bought != nil {
		out.Bought = boughtView(*m.Bought)
	}
	return out
}

func boughtView(b app.Bought) *BoughtMaterial {
	out := BoughtMaterial{Need: b.Need.String(), Taken: b.Taken.String(), Amount: b.Amount.String(), Left: b.Left.String(), Given: b.Given.String(), Unit: b.Material.Unit,
		WholePacks: b.Material.WholePacks, Words: b.Words}
	for _, p := range b.Packs {
		out.Packs = append(out.Packs, struct {
			Count int    `json:"count"`
			Size  string `json:"size"`
		}{p.Count, p.Size})
	}
	out.Packs = slices.Clip(out.Packs)
	if out.Packs == nil {
		out.Packs = []struct {
			Count int    `json:"count"`
			Size  string `json:"size"`
		}{}
	}
	return &out
}

// moveView maps a move of a job in its currency.
func moveView(currency string) func(domain.TakeoffMove) TakeoffMove {
	return func(m domain.TakeoffMove) TakeoffMove {
		w := m.Moved
		return TakeoffMove{ID: m.ID, At: m.At.UTC(), By: m.ByName, Cause: m.Cause, Currency: currency, Tasks: each(w.Tasks, movedHoursView), Materials: each(w.Materials, movedMaterialView),
			NetBefore: moneyText(w.NetBefore, currency), NetAfter: moneyText(w.NetAfter, currency), TotalBefore: moneyText(w.TotalBefore, currency), TotalAfter: moneyText(w.TotalAfter, currency),
			FinishBefore: w.FinishBefore.UTC(), FinishAfter: w.FinishAfter.UTC(), PointsBefore: decimalOrNil(w.PointsBefore), PointsAfter: decimalOrNil(w.PointsAfter)}
	}
}

func decimalOrNil(d *decimal.Decimal) *string {
	if d == nil {
		return nil
	}
	text := d.StringFixed(2)
	return &text
}

func movedHoursView(m domain.MovedHours) MovedHours {
	return MovedHours{TaskID: m.TaskID, Code: m.Code, Name: m.Name, Follows: m.Follows, Before: threePointView(m.Before), After: threePointView(m.After),
		AskedBefore: hoursText(m.AskedBefore), AskedAfter: hoursText(m.AskedAfter), By: each(m.By, movedByView)}
}

func movedMaterialView(m domain.MovedMaterial) MovedMaterial {
	return MovedMaterial{LineID: textOrNil(m.LineID), Key: m.Key, Name: m.Name, TaskCode: m.TaskCode, Unit: m.Unit, Follows: m.Follows, Before: m.Before.String(), After: m.After.String(),
		AskedBefore: m.AskedBefore.String(), AskedAfter: m.AskedAfter.String(), By: each(m.By, movedByView)}
}

func movedByView(b domain.MovedBy) MovedBy {
	return MovedBy{ZoneID: textOrNil(b.ZoneID), Zone: b.Zone, Amount: b.Amount.String(), Why: b.Why, Words: b.Words}
}

func remainderView(r app.Remainder) Remainder {
	return Remainder{Material: r.Material.Key, Name: r.Material.Name, Unit: r.Material.Unit, JobID: r.Job.ID, JobNumber: r.Job.Number, Left: r.Left.String(), Given: r.Given.String(),
		Free: r.Free().String(), Words: r.Words, Moves: each(r.Moves, func(m domain.StockMove) RemainderMove {
			out := RemainderMove{ID: m.ID, ToJob: m.ToJobID, Quantity: m.Quantity.String(), By: m.ByName, At: m.At.UTC(), Void: m.Void(), VoidReason: textOrNil(m.VoidReason)}
			if number, ok := r.Numbers[m.ToJobID]; ok {
				out.ToJobNumber = &number
			}
			return out
		})}
}

func remainderUseFrom(b RemainderUse) (app.TakenRemainder, error) {
	var r reading
	use := app.TakenRemainder{Material: b.Material, FromJobID: b.FromJob, Quantity: r.decimal("/quantity", b.Quantity), Unit: b.Unit}
	return use, r.err()
}

func waysFrom(c MethodChoice) domain.Ways {
	out := domain.Ways{}
	for stage, key := range map[method.Stage]*Key{method.Strip: c.Strip, method.Repair: c.Repair, method.Coat: c.Coat, method.Remount: c.Remount} {
		if key != nil {
			out[stage] = *key
		}
	}
	return out
}

func choiceOf(w domain.Ways) MethodChoice {
	key := func(stage method.Stage) *Key {
		if k, ok := w[stage]; ok {
			return &k
		}
		return nil
	}
	return MethodChoice{Strip: key(method.Strip), Repair: key(method.Repair), Coat: key(method.Coat), Remount: key(method.Remount)}
}

func choiceOrNil(w domain.Ways) *MethodChoice {
	if len(w) == 0 {
		return nil
	}
	choice := choiceOf(w)
	return &choice
}

func finishOrNil(f domain.Finish) *Finish {
	if f == "" {
		return nil
	}
	view := Finish(f)
	return &view
}

func trueOrNil(yes bool) *bool {
	if !yes {
		return nil
	}
	return &yes
}
