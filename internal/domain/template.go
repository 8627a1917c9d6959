package domain

import (
	"fmt"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/method"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
	"bareframe/internal/repair"
	"bareframe/internal/takeoff"
)

// Template is one revision of a shop's starting point for a kind of job. A stored
// revision never changes, so that a job can point at the one it was made from; the
// highest revision of a key is the one that new jobs are made from.
type Template struct {
	ID       ID
	Revision int // from 1 within Plan.Key
	SavedAt  *time.Time
	SavedBy  string
	Note     string // what was changed, in the words of who saved it
	Retired  bool   // no new jobs are made from this key while its newest revision says so
	Plan     TemplatePlan
}

// Revised returns the next revision with another plan under the same key.
func (t Template) Revised(id ID, plan TemplatePlan, at time.Time, by, note string) Template {
	plan.Key = t.Plan.Key
	return Template{ID: id, Revision: t.Revision + 1, SavedAt: &at, SavedBy: by, Note: note, Plan: plan}
}

// TemplatePlan is the content of a template, as stored and as in seed files.
type TemplatePlan struct {
	Key            string            `json:"key"`
	Name           string            `json:"name"`
	Description    string            `json:"description"`
	VehicleOptions []VehicleOption   `json:"vehicle_options"`
	Phases         []TemplatePhase   `json:"phases"`
	Tasks          []TemplateTask    `json:"tasks"`
	Links          []TemplateLink    `json:"links"`
	Lines          []TemplateLine    `json:"lines"`
	Options        []TemplateOption  `json:"options,omitempty"`
	Cautions       map[string]string `json:"cautions"`
	Frame          string            `json:"frame,omitempty"`   // code of the layout that a job's zones are copied from
	Repairs        *repair.List      `json:"repairs,omitempty"` // the template's own; absent: the program's list holds
	Takeoff        *takeoff.System   `json:"takeoff,omitempty"` // as Repairs
	Methods        *method.List      `json:"methods,omitempty"` // as Repairs; a list of no rules makes nothing follow
}

// Edited returns the plan with everything that an owner edits taken from another;
// what is not edited as part of a plan stays: key, repair list.
func (p TemplatePlan) Edited(e TemplatePlan) TemplatePlan {
	p.Name, p.Description, p.Frame = e.Name, e.Description, e.Frame
	p.VehicleOptions, p.Phases, p.Tasks, p.Links = e.VehicleOptions, e.Phases, e.Tasks, e.Links
	p.Lines, p.Options, p.Cautions = e.Lines, e.Options, e.Cautions
	return p
}

// Whole is all the work of a plan as one estimate, whatever the vehicle and
// whichever options, with keys for IDs. What schedules and prices as a whole does
// so in every selection, because a selection only leaves things out.
func (p TemplatePlan) Whole() Estimate {
	var e Estimate
	for i, ph := range p.Phases {
		e.Phases = append(e.Phases, Phase{ID: ph.Key, Key: ph.Key, Name: ph.Name, Position: i + 1})
	}
	for _, t := range p.Tasks {
		e.Tasks = append(e.Tasks, t.Task())
	}
	for i, l := range p.Links {
		e.Links = append(e.Links, Link{ID: fmt.Sprint(i), FromID: l.From, ToID: l.To, Type: l.Type, LagHours: l.LagHours, LagKind: l.LagKind, MaxLagHours: l.MaxLagHours})
	}
	return e
}

// VehicleOption is a property of the car that changes the work.
type VehicleOption struct {
	Key     string         `json:"key"`
	Name    string         `json:"name"`
	Choices []OptionChoice `json:"choices"`
}

// OptionChoice is one value of a vehicle option.
type OptionChoice struct {
	Key  string `json:"key"`
	Name string `json:"name"`
}

// TemplateOption is an option that a template brings; tasks and lines name it by
// its key.
type TemplateOption struct {
	Key    string        `json:"key"`
	Group  string        `json:"group,omitempty"`
	Name   string        `json:"name"`
	Note   string        `json:"note,omitempty"`
	Taken  bool          `json:"taken,omitempty"`
	Points []PointEffect `json:"points,omitempty"`
	When   When          `json:"when,omitempty"`
}

// TemplatePhase is a phase of a template.
type TemplatePhase struct {
	Key  string `json:"key"`
	Name string `json:"name"`
}

// When limits a task or line to vehicles whose options have one of the values.
type When map[string][]string

// Holds reports whether a vehicle with these options needs the item.
func (w When) Holds(options map[string]string) bool {
	for key, values := range w {
		if !slices.Contains(values, options[key]) {
			return false
		}
	}
	return true
}

// TemplateTask is a task of a template; keys stand for IDs.
type TemplateTask struct {
	Key          string           `json:"key"`
	Phase        string           `json:"phase"`
	Name         string           `json:"name"`
	Note         string           `json:"note"`
	Kind         TaskKind         `json:"kind"`
	Hours        ThreePoint       `json:"hours"`
	ElapsedHours decimal.Decimal  `json:"elapsed_hours"`
	LeadDays     int              `json:"lead_days,string"`
	Skill        string           `json:"skill"`
	Crew         int              `json:"crew"`
	Station      string           `json:"station"`
	Zone         string           `json:"zone"`
	Cautions     []string         `json:"cautions"`
	HoldPoint    string           `json:"hold_point"`
	StripGate    bool             `json:"strip_gate,omitempty"`
	TaxClass     pricing.TaxClass `json:"tax_class"`
	When         When             `json:"when"`
	Option       string           `json:"option,omitempty"`
	Floor        Floor            `json:"floor,omitzero"`
}

// TemplateLink is a link of a template, by task keys.
type TemplateLink struct {
	From     string           `json:"from"`
	To       string           `json:"to"`
	Type     network.LinkType `json:"type"`
	LagHours decimal.Decimal  `json:"lag_hours"`
	LagKind  calendar.Kind    `json:"lag_kind"`
	// MaxLagHours is as of Link.
	MaxLagHours *decimal.Decimal `json:"max_lag_hours,omitempty"`
}

// TemplateLine is a priced line of a template. Material names a row of the
// price book, whose unit, cost, markup, waste and tax class then hold.
type TemplateLine struct {
	Key             string           `json:"key"`
	Task            string           `json:"task"`
	Phase           string           `json:"phase"`
	Kind            pricing.Kind     `json:"kind"`
	Description     string           `json:"description"`
	Quantity        decimal.Decimal  `json:"quantity"`
	Unit            string           `json:"unit"`
	Material        string           `json:"material"`
	UnitCost        decimal.Decimal  `json:"unit_cost"`
	MarkupPercent   decimal.Decimal  `json:"markup_percent"`
	WastePercent    decimal.Decimal  `json:"waste_percent"`
	DiscountPercent decimal.Decimal  `json:"discount_percent"`
	TaxClass        pricing.TaxClass `json:"tax_class"`
	When            When             `json:"when"`
	Option          string           `json:"option,omitempty"`
}
