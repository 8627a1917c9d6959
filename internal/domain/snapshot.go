package domain

import (
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// Snapshot is what every combination of a quote's options is scheduled from, and
// with the quote's basis priced from: the whole estimate on the day of issue, also
// what is not taken, and the shop's calendar. Later changes of price book,
// calendar or estimate move no figure of the quote. Its parts have names of their
// own, because they are stored for ever.
type Snapshot struct {
	From            time.Time     `json:"from"` // the schedule begins here or on NotBefore
	NotBefore       Day           `json:"not_before"`
	Promise         Day           `json:"promise"` // as entered on the job, or empty
	TimeZone        string        `json:"time_zone"`
	CalendarVersion int           `json:"calendar_version"`
	Calendar        calendar.Spec `json:"calendar"`
	Phases          []KeptPhase   `json:"phases"`
	Tasks           []KeptTask    `json:"tasks"`
	Links           []KeptLink    `json:"links"`
	Lines           []KeptLine    `json:"lines"`
	Options         []KeptOption  `json:"options"`
}

// KeptPhase is a phase in a snapshot.
type KeptPhase struct {
	ID   ID     `json:"id"`
	Key  string `json:"key,omitempty"`
	Name string `json:"name"`
}

// KeptTask is what prices and schedules a task.
type KeptTask struct {
	ID           ID               `json:"id"`
	PhaseID      ID               `json:"phase_id"`
	Code         string           `json:"code"`
	Name         string           `json:"name"`
	Kind         TaskKind         `json:"kind"`
	Hours        ThreePoint       `json:"hours"`
	ElapsedHours decimal.Decimal  `json:"elapsed_hours"`
	LeadDays     int              `json:"lead_days"`
	Skill        string           `json:"skill"`
	Crew         int              `json:"crew"`
	HoldPoint    string           `json:"hold_point,omitempty"`
	StripGate    bool             `json:"strip_gate,omitempty"`
	TaxClass     pricing.TaxClass `json:"tax_class"`
	NotBefore    Day              `json:"not_before,omitempty"`
	FinishBy     Day              `json:"finish_by,omitempty"`
	Floor        Floor            `json:"floor,omitzero"` // its helpers share the hours
	OptionID     ID               `json:"option_id,omitempty"`
}

// KeptLink is a link in a snapshot.
type KeptLink struct {
	ID          ID               `json:"id"`
	FromID      ID               `json:"from_id"`
	ToID        ID               `json:"to_id"`
	Type        network.LinkType `json:"type"`
	LagHours    decimal.Decimal  `json:"lag_hours"`
	LagKind     calendar.Kind    `json:"lag_kind"`
	MaxLagHours *decimal.Decimal `json:"max_lag_hours,omitempty"`
}

// KeptLine is what prices a line.
type KeptLine struct {
	ID              ID               `json:"id"`
	PhaseID         ID               `json:"phase_id"`
	TaskID          ID               `json:"task_id,omitempty"`
	Kind            pricing.Kind     `json:"kind"`
	Description     string           `json:"description"`
	Quantity        decimal.Decimal  `json:"quantity"`
	Unit            string           `json:"unit"`
	UnitCost        decimal.Decimal  `json:"unit_cost"`
	MarkupPercent   decimal.Decimal  `json:"markup_percent"`
	WastePercent    decimal.Decimal  `json:"waste_percent"`
	DiscountPercent decimal.Decimal  `json:"discount_percent"`
	TaxClass        pricing.TaxClass `json:"tax_class"`
	OptionID        ID               `json:"option_id,omitempty"`
}

// KeptOption is an option in a snapshot.
type KeptOption struct {
	ID     ID            `json:"id"`
	Group  string        `json:"group"`
	Name   string        `json:"name"`
	Note   string        `json:"note"`
	Taken  bool          `json:"taken"`
	Points []PointEffect `json:"points"`
}

// Keep fills a snapshot with the whole of an estimate, in its order.
func (s *Snapshot) Keep(e Estimate) {
	for _, p := range e.Phases {
		s.Phases = append(s.Phases, KeptPhase{p.ID, p.Key, p.Name})
	}
	for _, t := range e.Tasks {
		s.Tasks = append(s.Tasks, KeptTask{ID: t.ID, PhaseID: t.PhaseID, Code: t.Code, Name: t.Name, Kind: t.Kind, Hours: t.Hours, ElapsedHours: t.ElapsedHours,
			LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, HoldPoint: t.HoldPoint, StripGate: t.StripGate, TaxClass: t.TaxClass,
			NotBefore: t.NotBefore, FinishBy: t.FinishBy, Floor: t.Floor, OptionID: t.OptionID})
	}
	for _, l := range e.Links {
		s.Links = append(s.Links, KeptLink{l.ID, l.FromID, l.ToID, l.Type, l.LagHours, l.LagKind, l.MaxLagHours})
	}
	for _, l := range e.Lines {
		s.Lines = append(s.Lines, KeptLine{ID: l.ID, PhaseID: l.PhaseID, TaskID: l.TaskID, Kind: l.Kind, Description: l.Description, Quantity: l.Quantity,
			Unit: l.Unit, UnitCost: l.UnitCost, MarkupPercent: l.MarkupPercent, WastePercent: l.WastePercent, DiscountPercent: l.DiscountPercent,
			TaxClass: l.TaxClass, OptionID: l.OptionID})
	}
	for _, o := range e.Options {
		s.Options = append(s.Options, KeptOption{o.ID, o.Group, o.Name, o.Note, o.Taken, o.Points})
	}
}

// Estimate is the whole estimate as it was kept, in its order.
func (s Snapshot) Estimate() Estimate {
	var e Estimate
	for i, p := range s.Phases {
		e.Phases = append(e.Phases, Phase{ID: p.ID, Key: p.Key, Name: p.Name, Position: i + 1})
	}
	for i, t := range s.Tasks {
		e.Tasks = append(e.Tasks, Task{ID: t.ID, PhaseID: t.PhaseID, Code: t.Code, Name: t.Name, Kind: t.Kind, Hours: t.Hours, ElapsedHours: t.ElapsedHours,
			LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, HoldPoint: t.HoldPoint, StripGate: t.StripGate, TaxClass: t.TaxClass,
			NotBefore: t.NotBefore, FinishBy: t.FinishBy, Floor: t.Floor, OptionID: t.OptionID, Position: i + 1, Scope: Estimated})
	}
	for _, l := range s.Links {
		e.Links = append(e.Links, Link{ID: l.ID, FromID: l.FromID, ToID: l.ToID, Type: l.Type, LagHours: l.LagHours, LagKind: l.LagKind, MaxLagHours: l.MaxLagHours})
	}
	for i, l := range s.Lines {
		e.Lines = append(e.Lines, Line{ID: l.ID, PhaseID: l.PhaseID, TaskID: l.TaskID, Kind: l.Kind, Description: l.Description, Quantity: l.Quantity,
			Unit: l.Unit, UnitCost: l.UnitCost, MarkupPercent: l.MarkupPercent, WastePercent: l.WastePercent, DiscountPercent: l.DiscountPercent,
			TaxClass: l.TaxClass, OptionID: l.OptionID, Position: i + 1, Scope: Estimated})
	}
	for i, o := range s.Options {
		e.Options = append(e.Options, Option{ID: o.ID, Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken, Points: o.Points, Position: i + 1})
	}
	return e
}
