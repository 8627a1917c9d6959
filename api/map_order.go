package api

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

func orderSummary(p app.OrderPage) OrderSummary {
	o := p.Order
	s := OrderSummary{ID: o.ID, Number: o.Number, Kind: OrderKind(o.Kind), Title: o.Title, State: OrderState(o.StateAt(p.AsOf)), Revision: o.Revision,
		CreatedAt: o.CreatedAt.UTC(), SentAt: instantOrNil(o.SentAt), ExpiresAt: instantOrNil(o.ExpiresAt),
		Amount: moneyText(o.Effect.Amount, p.Job.Currency), Days: o.Effect.Dates.Days, QuestionsOpen: p.QuestionOpen(),
		Waited: WaitedDays{Shop: p.Waited.Shop, Client: p.Waited.Client}}
	if o.Decision != nil {
		s.DecidedAt = instantOrNil(o.DecidedAt)
	}
	return s
}

func orderView(p app.OrderPage) Order {
	o := p.Order
	return Order{Summary: orderSummary(p), Version: o.Version, JobID: o.JobID, CreatedBy: o.CreatedBy, DocumentHash: o.DocumentHash,
		Draft:    OrderDraft{Kind: OrderKind(o.Kind), Title: o.Title, Reason: o.Reason, Note: o.Note, Items: each(o.Items, orderItemView)},
		Messages: each(p.Messages, orderMessage), Effect: effectView(o.Effect), Decision: orderDecision(o, p.Job.Currency), WithdrawnReason: textOrNil(o.Withdrawn)}
}

func orderMessage(m domain.OrderMessage) OrderMessage {
	return OrderMessage{By: m.By, Role: Role(m.Role), At: m.At.UTC(), Text: m.Text}
}

func orderItemView(i domain.OrderItem) OrderItem {
	return OrderItem{Key: i.Key, Title: i.Title, Why: i.Why, IfNot: i.IfNot, MayLeave: i.MayLeave, FindingIds: texts(i.FindingIDs), Options: each(i.Options, orderOptionView)}
}

func orderOptionView(o domain.OrderOption) OrderOption {
	return OrderOption{Key: o.Key, Name: o.Name, Note: o.Note, Advised: o.Advised, Tasks: each(o.Tasks, orderTaskView),
		HoursChanges: each(o.HoursChanges, func(h domain.HoursChange) HoursChange {
			return HoursChange{TaskID: h.TaskID, Hours: threePointView(h.Hours)}
		}),
		RemovesTasks: texts(o.RemovesTasks), Lines: each(o.Lines, orderLineView), RemovesLines: texts(o.RemovesLines),
		PointsOriginality: plainText(o.Originality), PointsCondition: plainText(o.Condition),
		TakesOption: textOrNil(o.TakesOption), Links: listOrNil(each(o.Links, orderLinkView))}
}

func orderLinkView(l domain.OrderLink) OrderLink {
	return OrderLink{From: l.From, To: l.To, Type: LinkType(l.Type), LagHours: hoursText(l.LagHours), LagKind: LagKind(l.LagKind), MaxLagHours: hoursOrNil(l.MaxLagHours)}
}

func listOrNil[T any](list []T) *[]T {
	if len(list) == 0 {
		return nil
	}
	return &list
}

func orderTaskView(t domain.OrderTask) OrderTask {
	return OrderTask{Key: t.Key, PhaseID: t.PhaseID, Name: t.Name, Note: t.Note, Kind: TaskKind(t.Kind), Hours: threePointView(t.Hours),
		ElapsedHours: hoursText(t.ElapsedHours), LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, Station: t.Station, ZoneID: textOrNil(t.ZoneID),
		Cautions: texts(t.Cautions), HoldPoint: t.HoldPoint, TaxClass: TaxClass(t.TaxClass), Floor: floorView(t.Floor), After: texts(t.After), Before: texts(t.Before)}
}

func orderLineView(l domain.OrderLine) OrderLine {
	return OrderLine{PhaseID: l.PhaseID, TaskKey: l.TaskKey, Kind: LineKind(l.Kind), Description: l.Description, Quantity: plainText(l.Quantity), Unit: l.Unit,
		UnitCost: unitMoneyText(l.UnitCost), MarkupPercent: plainText(l.MarkupPercent), WastePercent: plainText(l.WastePercent),
		DiscountPercent: plainText(l.DiscountPercent), TaxClass: TaxClass(l.TaxClass)}
}

func orderDecision(o domain.ChangeOrder, currency string) *OrderDecision {
	d := o.Decision
	if d == nil {
		return nil
	}
	out := OrderDecision{Outcome: OrderOutcomeDeclined, How: DecisionHow(d.How), Name: d.Name, Signature: d.Signature, Contact: d.Contact, Said: d.Said,
		Reason: d.Reason, DecidedAt: d.DecidedAt.UTC(), RecordedBy: d.RecordedBy, Amount: moneyText(d.Amount, currency), Choices: choicesView(d.Choices),
		AddedParts: textOrNil(d.AddedParts), AddedLabour: textOrNil(d.AddedLabour), DocumentHash: textOrNil(d.DocumentHash)}
	if d.Approved {
		out.Outcome = OrderOutcomeApproved
		total := moneyText(d.RevisedTotal, currency)
		out.RevisedTotal = &total
	}
	return &out
}

func choicesView(list []domain.Choice) OrderChoices {
	return each(list, func(c domain.Choice) OrderChoice {
		return OrderChoice{ItemKey: c.ItemKey, OptionKey: textOrNil(c.OptionKey)}
	})
}

func choicesFrom(list OrderChoices) []domain.Choice {
	return each(list, func(c OrderChoice) domain.Choice {
		return domain.Choice{ItemKey: c.ItemKey, OptionKey: orZero(c.OptionKey)}
	})
}

// effectView maps an effect for the owner.
func effectView(e domain.OrderEffect) Effect {
	c := clientEffect(e)
	out := Effect{Currency: c.Currency, Choices: c.Choices, Net: c.Net, Tax: c.Tax, Taxes: c.Taxes, Amount: c.Amount,
		Cost: moneyText(e.Cost, e.Currency), Margin: moneyText(e.Net.Sub(e.Cost), e.Currency),
		AuthorisedBefore: c.AuthorisedBefore, AuthorisedAfter: c.AuthorisedAfter, Hours: hoursText(e.Hours), Lines: c.Lines,
		Options: each(e.Options, func(o domain.OptionEffect) OptionEffect {
			return OptionEffect{ItemKey: o.ItemKey, OptionKey: o.OptionKey, Net: moneyText(o.Net, e.Currency), Amount: moneyText(o.Amount, e.Currency),
				Hours: hoursText(o.Hours), Days: o.Days, PointsOriginality: plainText(o.Originality), PointsCondition: plainText(o.Condition)}
		}),
		Dates: c.Dates, Phases: c.Phases, Floor: orderFloor(e.Floor), WithOthers: c.WithOthers, PointsOriginality: c.PointsOriginality, PointsCondition: c.PointsCondition,
		ConsentDue: e.ConsentDue, ConsentWhy: e.ConsentWhy, Confidence: c.Confidence}
	if e.Contradiction != nil {
		out.Contradiction = &Contradiction{Detail: e.Contradiction.Detail, Tasks: texts(e.Contradiction.Tasks)}
	}
	return out
}

func dateEffect(d domain.DateEffect) DateEffect {
	return DateEffect{FinishBefore: dayOrNil(d.FinishBefore), FinishAfter: dayOrNil(d.FinishAfter), Days: d.Days,
		PromiseBefore: dayOrNil(d.PromiseBefore), PromiseAfter: dayOrNil(d.PromiseAfter), Why: d.Why,
		Source: sourceOrNil(d.Source), Words: textOrNil(d.Words)}
}

func sourceOrNil(s domain.DateSource) *DateSource {
	if s == "" {
		return nil
	}
	out := DateSource(s)
	return &out
}

// orderFloor maps what an order does to the other cars, for the owner.
func orderFloor(f *domain.OrderFloor) *OrderFloor {
	if f == nil {
		return nil
	}
	return &OrderFloor{PlanID: f.PlanID, Revision: f.Revision, MadeAt: f.MadeAt.UTC(), OwnDays: f.OwnDays, Cars: each(f.Cars, func(m domain.CarMove) CarMove {
		return CarMove{JobID: m.JobID, Number: m.Number, Car: m.Car, Promise: dayOrNil(m.Promise), Before: string(m.Before), After: string(m.After),
			Days: m.Days, Late: m.Late, Breaks: m.Breaks}
	})}
}

// orderFrom reads a draft; every decimal that cannot be read is named.
func orderFrom(b OrderDraft) (app.OrderDraft, error) {
	var r reading
	d := app.OrderDraft{Kind: domain.OrderKind(b.Kind), Title: b.Title, Reason: b.Reason, Note: b.Note}
	for i, item := range b.Items {
		d.Items = append(d.Items, r.orderItem(fmt.Sprintf("/items/%d", i), item))
	}
	return d, r.err()
}

func (r *reading) orderItem(at string, b OrderItem) domain.OrderItem {
	out := domain.OrderItem{Key: b.Key, Title: b.Title, Why: b.Why, IfNot: b.IfNot, MayLeave: b.MayLeave, FindingIDs: b.FindingIds}
	for i, o := range b.Options {
		out.Options = append(out.Options, r.orderOption(fmt.Sprintf("%s/options/%d", at, i), o))
	}
	return out
}

func (r *reading) orderOption(at string, b OrderOption) domain.OrderOption {
	out := domain.OrderOption{Key: b.Key, Name: b.Name, Note: b.Note, Advised: b.Advised, RemovesTasks: b.RemovesTasks, RemovesLines: b.RemovesLines,
		Originality: r.decimal(at+"/points_originality", b.PointsOriginality), Condition: r.decimal(at+"/points_condition", b.PointsCondition)}
	for i, t := range b.Tasks {
		out.Tasks = append(out.Tasks, r.orderTask(fmt.Sprintf("%s/tasks/%d", at, i), t))
	}
	for i, h := range b.HoursChanges {
		out.HoursChanges = append(out.HoursChanges, domain.HoursChange{TaskID: h.TaskID, Hours: r.threePoint(fmt.Sprintf("%s/hours_changes/%d/hours", at, i), h.Hours)})
	}
	out.TakesOption = orZero(b.TakesOption)
	for i, l := range orZero(b.Links) {
		out.Links = append(out.Links, domain.OrderLink{From: l.From, To: l.To, Type: network.LinkType(l.Type), LagHours: r.decimal(fmt.Sprintf("%s/links/%d/lag_hours", at, i), l.LagHours),
			LagKind: calendar.Kind(l.LagKind), MaxLagHours: r.optionalDecimal(fmt.Sprintf("%s/links/%d/max_lag_hours", at, i), l.MaxLagHours)})
	}
	for i, l := range b.Lines {
		out.Lines = append(out.Lines, r.orderLine(fmt.Sprintf("%s/lines/%d", at, i), l))
	}
	return out
}

func (r *reading) orderTask(at string, b OrderTask) domain.OrderTask {
	return domain.OrderTask{Key: b.Key, PhaseID: b.PhaseID, Name: b.Name, Note: b.Note, Kind: domain.TaskKind(b.Kind), Hours: r.threePoint(at+"/hours", b.Hours),
		ElapsedHours: r.decimal(at+"/elapsed_hours", b.ElapsedHours), LeadDays: b.LeadDays, Skill: b.Skill, Crew: b.Crew, Station: b.Station,
		ZoneID: orZero(b.ZoneID), Cautions: b.Cautions, HoldPoint: b.HoldPoint, TaxClass: pricing.TaxClass(b.TaxClass), Floor: r.floor(at+"/floor", b.Floor), After: b.After, Before: b.Before}
}

func (r *reading) threePoint(at string, b ThreePoint) domain.ThreePoint {
	return domain.ThreePoint{Low: r.decimal(at+"/low", b.Low), Likely: r.decimal(at+"/likely", b.Likely), High: r.decimal(at+"/high", b.High)}
}

func (r *reading) orderLine(at string, b OrderLine) domain.OrderLine {
	return domain.OrderLine{PhaseID: b.PhaseID, TaskKey: b.TaskKey, Kind: pricing.Kind(b.Kind), Description: b.Description,
		Quantity: r.decimal(at+"/quantity", b.Quantity), Unit: b.Unit, UnitCost: r.decimal(at+"/unit_cost", b.UnitCost),
		MarkupPercent: r.decimal(at+"/markup_percent", b.MarkupPercent), WastePercent: r.decimal(at+"/waste_percent", b.WastePercent),
		DiscountPercent: r.decimal(at+"/discount_percent", b.DiscountPercent), TaxClass: pricing.TaxClass(b.TaxClass)}
}

func recordedOrderFrom(b RecordedOrderDecision) (domain.OrderDecision, error) {
	var r reading
	d := domain.OrderDecision{Approved: b.Outcome == OrderOutcomeApproved, How: domain.DecisionHow(b.How), Name: b.Name, Contact: orZero(b.Contact),
		Said: b.Said, DecidedAt: b.DecidedAt.UTC(), Choices: choicesFrom(b.Choices), Amount: r.decimal("/amount", b.Amount),
		AddedParts: orZero(b.AddedParts), AddedLabour: orZero(b.AddedLabour)}
	if total := r.optionalDecimal("/revised_total", b.RevisedTotal); total != nil {
		d.RevisedTotal = *total
	}
	return d, r.err()
}

// quantityShown rounds a quantity to the places that the contract shows.
func quantityShown(text string) string {
	d, err := decimal.NewFromString(text)
	if err != nil {
		return text
	}
	if d.Exponent() < -decimalPlaces {
		return plainText(d.Round(decimalPlaces))
	}
	return text
}
