package store

import (
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

type phaseRecord struct {
	ShopID    string
	ID        string
	JobID     string
	Key       string
	Name      string
	Position  int
	RemovedAt *time.Time
}

// TableName names the table.
func (phaseRecord) TableName() string { return "phases" }

func (r phaseRecord) job() domain.ID { return r.JobID }

func (r *reader) phaseToRecord(p domain.Phase) phaseRecord {
	return phaseRecord{ShopID: r.shop, ID: p.ID, JobID: p.JobID, Key: p.Key, Name: p.Name, Position: p.Position}
}

func (r phaseRecord) toDomain() domain.Phase {
	return domain.Phase{ID: r.ID, JobID: r.JobID, Key: r.Key, Name: r.Name, Position: r.Position}
}

type taskRecord struct {
	ShopID       string
	ID           string
	JobID        string
	PhaseID      string
	Code         string
	Name         string
	Note         string
	Kind         string
	HoursLow     amount
	HoursLikely  amount
	HoursHigh    amount
	ElapsedHours amount
	LeadDays     int
	Skill        string
	Crew         int
	Station      string
	Zone         string
	Cautions     structured[[]string]
	HoldPoint    string
	TaxClass     string
	NotBefore    string
	FinishBy     string
	Position     int
	Scope        string
	OpenedBy     string
	OpenedAt     *time.Time
	OpenedAs     string
	ReleasedBy   string
	ReleasedAt   *time.Time
	ReleaseNote  string
	RemovedAt    *time.Time

	OrderID         string
	StripGate       bool
	AllowanceLineID string
	OptionID        string
	Follows         bool
	Floor           structured[domain.Floor]
}

// TableName names the table.
func (taskRecord) TableName() string { return "tasks" }

func (r taskRecord) job() domain.ID { return r.JobID }

func (r *reader) taskToRecord(t domain.Task) taskRecord {
	return taskRecord{ShopID: r.shop, ID: t.ID, JobID: t.JobID, PhaseID: t.PhaseID, Code: t.Code, Name: t.Name,
		Note: t.Note, Kind: string(t.Kind), HoursLow: amount{t.Hours.Low}, HoursLikely: amount{t.Hours.Likely},
		HoursHigh: amount{t.Hours.High}, ElapsedHours: amount{t.ElapsedHours}, LeadDays: t.LeadDays, Skill: t.Skill,
		Crew: t.Crew, Station: t.Station, Zone: t.Zone, Cautions: asJSON(t.Cautions), HoldPoint: t.HoldPoint,
		TaxClass: string(t.TaxClass), NotBefore: string(t.NotBefore), FinishBy: string(t.FinishBy), Position: t.Position,
		Scope: string(t.Scope), OpenedBy: t.OpenedBy, OpenedAt: instantOrNil(t.OpenedAt), OpenedAs: t.OpenedAs,
		ReleasedBy: t.ReleasedBy, ReleasedAt: instantOrNil(t.ReleasedAt), ReleaseNote: t.ReleaseNote,
		OrderID: t.OrderID, StripGate: t.StripGate, AllowanceLineID: t.AllowanceLineID, OptionID: t.OptionID, Follows: t.Follows, Floor: asJSON(t.Floor)}
}

func (r taskRecord) toDomain() domain.Task {
	return domain.Task{ID: r.ID, JobID: r.JobID, PhaseID: r.PhaseID, Code: r.Code, Name: r.Name, Note: r.Note,
		Kind:         domain.TaskKind(r.Kind),
		Hours:        domain.ThreePoint{Low: r.HoursLow.Decimal, Likely: r.HoursLikely.Decimal, High: r.HoursHigh.Decimal},
		ElapsedHours: r.ElapsedHours.Decimal, LeadDays: r.LeadDays, Skill: r.Skill, Crew: r.Crew, Station: r.Station,
		Zone: r.Zone, Cautions: r.Cautions.v, HoldPoint: r.HoldPoint, TaxClass: pricing.TaxClass(r.TaxClass),
		NotBefore: domain.Day(r.NotBefore), FinishBy: domain.Day(r.FinishBy), Position: r.Position,
		Scope: domain.Scope(r.Scope), OpenedBy: r.OpenedBy, OpenedAt: utcOrNil(r.OpenedAt), OpenedAs: r.OpenedAs,
		ReleasedBy: r.ReleasedBy, ReleasedAt: utcOrNil(r.ReleasedAt), ReleaseNote: r.ReleaseNote,
		OrderID: r.OrderID, StripGate: r.StripGate, AllowanceLineID: r.AllowanceLineID, OptionID: r.OptionID, Follows: r.Follows, Floor: r.Floor.v}
}

type taskLinkRecord struct {
	ShopID      string
	ID          string
	JobID       string
	FromID      string
	ToID        string
	Type        string
	LagHours    amount
	LagKind     string
	MaxLagHours *amount
	RemovedAt   *time.Time
}

// TableName names the table.
func (taskLinkRecord) TableName() string { return "task_links" }

func (r taskLinkRecord) job() domain.ID { return r.JobID }

func (r *reader) taskLinkToRecord(l domain.Link) taskLinkRecord {
	return taskLinkRecord{ShopID: r.shop, ID: l.ID, JobID: l.JobID, FromID: l.FromID, ToID: l.ToID,
		Type: string(l.Type), LagHours: amount{l.LagHours}, LagKind: string(l.LagKind), MaxLagHours: amountOrNil(l.MaxLagHours)}
}

func (r taskLinkRecord) toDomain() domain.Link {
	return domain.Link{ID: r.ID, JobID: r.JobID, FromID: r.FromID, ToID: r.ToID, Type: network.LinkType(r.Type),
		LagHours: r.LagHours.Decimal, LagKind: calendar.Kind(r.LagKind), MaxLagHours: decimalOrNil(r.MaxLagHours)}
}

type lineRecord struct {
	ShopID          string
	ID              string
	JobID           string
	PhaseID         string
	TaskID          *string
	Kind            string
	Description     string
	Quantity        amount
	Unit            string
	UnitCost        amount
	MarkupPercent   amount
	WastePercent    amount
	DiscountPercent amount
	TaxClass        string
	Scope           string
	Position        int
	RemovedAt       *time.Time
	OrderID         string
	OptionID        string
	PriceItem       string
	Follows         bool
}

// TableName names the table.
func (lineRecord) TableName() string { return "lines" }

func (r lineRecord) job() domain.ID { return r.JobID }

func (r *reader) lineToRecord(l domain.Line) lineRecord {
	return lineRecord{ShopID: r.shop, ID: l.ID, JobID: l.JobID, PhaseID: l.PhaseID, TaskID: orNull(l.TaskID),
		Kind: string(l.Kind), Description: l.Description, Quantity: amount{l.Quantity}, Unit: l.Unit,
		UnitCost: amount{l.UnitCost}, MarkupPercent: amount{l.MarkupPercent}, WastePercent: amount{l.WastePercent},
		DiscountPercent: amount{l.DiscountPercent}, TaxClass: string(l.TaxClass), Scope: string(l.Scope), Position: l.Position, OrderID: l.OrderID, OptionID: l.OptionID, PriceItem: l.PriceItem, Follows: l.Follows}
}

func (r lineRecord) toDomain() domain.Line {
	return domain.Line{ID: r.ID, JobID: r.JobID, PhaseID: r.PhaseID, TaskID: orEmpty(r.TaskID), Kind: pricing.Kind(r.Kind),
		Description: r.Description, Quantity: r.Quantity.Decimal, Unit: r.Unit, UnitCost: r.UnitCost.Decimal,
		MarkupPercent: r.MarkupPercent.Decimal, WastePercent: r.WastePercent.Decimal,
		DiscountPercent: r.DiscountPercent.Decimal, TaxClass: pricing.TaxClass(r.TaxClass), Scope: domain.Scope(r.Scope), Position: r.Position, OrderID: r.OrderID, OptionID: r.OptionID, PriceItem: r.PriceItem, Follows: r.Follows}
}
