package api

import (
	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

func newJobFrom(b JobCreate) (app.NewJob, error) {
	var r reading
	n := app.NewJob{Title: b.Title, TemplateID: b.TemplateID, ClientID: b.ClientID, Vehicle: vehicleFrom(b.Vehicle), NotBefore: r.day("/not_before", b.NotBefore), Currency: orZero(b.Currency)}
	return n, r.err()
}

func headFrom(b JobDraft) (app.JobHead, error) {
	var r reading
	h := app.JobHead{Title: b.Title, Vehicle: vehicleFrom(b.Vehicle), NotBefore: r.day("/not_before", b.NotBefore), Promise: r.day("/promise", b.Promise), Weight: orZero(b.Weight)}
	return h, r.err()
}

func vehicleFrom(v Vehicle) domain.Vehicle {
	return domain.Vehicle{Make: v.Make, Model: v.Model, Year: v.Year, Serial: v.Serial, Options: v.Options}
}

func taskFrom(b TaskDraft) (domain.Task, error) {
	var r reading
	t := domain.Task{
		PhaseID: b.PhaseID, Code: b.Code, Name: b.Name, Note: b.Note, Kind: domain.TaskKind(b.Kind),
		Hours: domain.ThreePoint{
			Low: r.decimal("/hours/low", b.Hours.Low), Likely: r.decimal("/hours/likely", b.Hours.Likely), High: r.decimal("/hours/high", b.Hours.High),
		},
		ElapsedHours: r.decimal("/elapsed_hours", b.ElapsedHours), LeadDays: b.LeadDays,
		Skill: b.Skill, Crew: b.Crew, Station: b.Station, Zone: b.Zone, Cautions: b.Cautions, HoldPoint: b.HoldPoint,
		TaxClass: pricing.TaxClass(b.TaxClass), NotBefore: r.day("/not_before", b.NotBefore), FinishBy: r.day("/finish_by", b.FinishBy),
		StripGate: orZero(b.StripGate), AllowanceLineID: orZero(b.AllowanceLineID), OptionID: orZero(b.OptionID),
		Floor: r.floor("/floor", b.Floor),
	}
	return t, r.err()
}

func taskLinkFrom(b LinkDraft) (domain.Link, error) {
	var r reading
	l := domain.Link{FromID: b.FromTaskID, ToID: b.ToTaskID, Type: network.LinkType(b.Type),
		LagHours: r.decimal("/lag_hours", b.LagHours), LagKind: calendar.Kind(b.LagKind),
		MaxLagHours: r.optionalDecimal("/max_lag_hours", b.MaxLagHours)}
	return l, r.err()
}

func lineFrom(b LineDraft) (domain.Line, error) {
	var r reading
	l := domain.Line{
		PhaseID: b.PhaseID, TaskID: orZero(b.TaskID), Kind: pricing.Kind(b.Kind), Description: b.Description,
		Quantity: r.decimal("/quantity", b.Quantity), Unit: b.Unit, UnitCost: r.decimal("/unit_cost", b.UnitCost),
		MarkupPercent: r.decimal("/markup_percent", b.MarkupPercent), WastePercent: r.decimal("/waste_percent", b.WastePercent),
		DiscountPercent: r.decimal("/discount_percent", b.DiscountPercent), TaxClass: pricing.TaxClass(b.TaxClass), OptionID: orZero(b.OptionID), PriceItem: orZero(b.PriceItem),
	}
	return l, r.err()
}
