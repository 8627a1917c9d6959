package domain

import (
	"sort"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
	"bareframe/internal/measure"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// Phase groups the tasks of one stage of the job.
type Phase struct {
	ID       ID
	JobID    ID
	Key      string
	Name     string
	Position int
}

// TaskKind says what passes while a task runs.
type TaskKind string

// The kinds of task.
const (
	Work   TaskKind = "work"   // people's hours
	Cure   TaskKind = "cure"   // elapsed waiting, day and night
	Sublet TaskKind = "sublet" // working days away at a vendor
	Hold   TaskKind = "hold"   // an inspection or decision that stops what follows
)

// Scope says whether hours may be logged to a task.
type Scope string

// The scopes of a task.
const (
	Estimated  Scope = "estimate"   // nothing is accepted yet
	Authorised Scope = "authorised" // in the accepted quote
	Opened     Scope = "opened"     // outside it, opened by the owner with a reason
	Outside    Scope = "outside"    // added since, not agreed
)

// ThreePoint is an estimate of crew-hours: lowest, most likely, highest.
type ThreePoint struct {
	Low    decimal.Decimal `json:"low"`
	Likely decimal.Decimal `json:"likely"`
	High   decimal.Decimal `json:"high"`
}

// Mean is the PERT mean (low + 4 likely + high) / 6, rounded to a hundredth of
// an hour, half away from zero: the quantity that a quote prices and that a
// schedule spends.
// Source: Malcolm, Roseboom, Clark and Fazar, "Application of a technique for
// research and development program evaluation", Operations Research 7 (1959).
func (h ThreePoint) Mean() decimal.Decimal {
	low, okLow := hundredths(h.Low)
	likely, okLikely := hundredths(h.Likely)
	high, okHigh := hundredths(h.High)
	if okLow && okLikely && okHigh {
		return decimal.New((low+4*likely+high+3)/6, -2)
	}
	sum := h.Low.Add(h.Likely.Mul(decimal.NewFromInt(4))).Add(h.High)
	return sum.DivRound(decimal.NewFromInt(6), 2)
}

// hundredths reads hours of at most two places as a whole number, as nearly all
// are: a page takes the mean of each task several times, and this takes no big
// integers. ok is false for hours below zero, above a million or finer.
func hundredths(hours decimal.Decimal) (n int64, ok bool) {
	const most = 100_000_000
	e := hours.Exponent()
	if e < -2 || e > 6 || hours.Sign() < 0 || hours.NumDigits() > 9 {
		return 0, false
	}
	n = hours.CoefficientInt64()
	for ; e > -2; e-- {
		n *= 10
	}
	return n, n <= most
}

// Task is the smallest piece of work that is estimated, scheduled and logged
// against.
type Task struct {
	ID           ID
	JobID        ID
	PhaseID      ID
	Code         string
	Name         string
	Note         string
	Kind         TaskKind
	Hours        ThreePoint      // crew-hours, for work and hold
	ElapsedHours decimal.Decimal // for cure
	LeadDays     int             // working days, for sublet
	Skill        string
	Crew         int
	Station      string
	Zone         string
	Cautions     []string
	HoldPoint    string // who must inspect or decide what, or empty
	// StripGate marks the hold at which the firm part of a price ends: the
	// inspection after stripping.
	StripGate bool
	// AllowanceLineID names the allowance that the client agreed to beforehand,
	// inside whose cap the task may be worked before the strip gate is released.
	AllowanceLineID ID
	TaxClass        pricing.TaxClass
	Follows         bool // the hours follow the takeoff until somebody types over them
	NotBefore       Day
	FinishBy        Day
	Floor           Floor
	Arrives         Day `json:"-"` // the latest day that something ordered for it is expected; from the notes on its lines, not stored
	Position        int

	Scope    Scope
	OrderID  ID // the change order that brought it
	OptionID ID // the option that it belongs to; empty: always done
	OpenedBy string
	OpenedAt *time.Time
	OpenedAs string // the reason, shown to the client

	ReleasedBy  string
	ReleasedAt  *time.Time
	ReleaseNote string
}

// Holds reports whether the task stops what follows until it is released.
func (t Task) Holds() bool { return t.Kind == Hold || t.HoldPoint != "" }

// ValidateGate names what is wrong with a task's option and its part in the strip
// gate, which no option holds: it would not always be there.
func (t Task) ValidateGate(e Estimate) error {
	if _, ok := e.Option(t.OptionID); t.OptionID != "" && !ok {
		return fault.InvalidField("task-invalid", "/option_id", "This job has no such option.")
	}
	if t.StripGate && !t.Holds() {
		return fault.InvalidField("task-invalid", "/strip_gate", "Only a hold point can be the strip gate.")
	}
	if t.StripGate && t.OptionID != "" {
		return fault.InvalidField("task-invalid", "/option_id", "The strip gate always stands, so it belongs to no option.")
	}
	if t.AllowanceLineID == "" {
		return nil
	}
	for _, l := range e.Lines {
		if l.ID == t.AllowanceLineID && l.Kind == pricing.Allowance {
			return nil
		}
	}
	return fault.InvalidField("task-invalid", "/allowance_line_id", "This job has no such allowance.")
}

// Link is a precedence between two tasks with a lag in working or elapsed time.
type Link struct {
	ID       ID
	JobID    ID
	FromID   ID
	ToID     ID
	Type     network.LinkType
	LagHours decimal.Decimal // may be negative: a lead
	LagKind  calendar.Kind
	// MaxLagHours is the most time between the two ends, in hours of LagKind: steel is
	// primed within so many hours of blasting. nil is no limit.
	MaxLagHours *decimal.Decimal

	Bridge bool `json:"-"` // over a task that is left out, see Estimate.InForce; not stored
}

// Line is one priced item that is not labour; labour follows from the tasks.
type Line struct {
	ID              ID
	JobID           ID
	PhaseID         ID
	TaskID          ID // optional
	Kind            pricing.Kind
	Description     string
	Quantity        decimal.Decimal
	Unit            string
	UnitCost        decimal.Decimal
	MarkupPercent   decimal.Decimal
	WastePercent    decimal.Decimal
	DiscountPercent decimal.Decimal
	TaxClass        pricing.TaxClass
	Scope           Scope
	OrderID         ID     // the change order that brought it
	OptionID        ID     // the option that it belongs to; empty: always bought
	PriceItem       string // the row of the price book that it was made from: a material, for sublet work a vendor
	Position        int
	Follows         bool // the quantity follows the takeoff until somebody types over it
}

// Estimate is the work of one job: what it consists of and in what order.
type Estimate struct {
	Phases  []Phase
	Tasks   []Task
	Links   []Link
	Lines   []Line
	Options []Option // as stored, also of the estimate in force
}

// Sort puts phases, tasks, links, lines and options into their reading order.
func (e *Estimate) Sort() {
	place := map[ID]int{}
	sort.Slice(e.Phases, func(i, j int) bool {
		a, b := e.Phases[i], e.Phases[j]
		return a.Position < b.Position || a.Position == b.Position && a.ID < b.ID
	})
	for i, p := range e.Phases {
		place[p.ID] = i
	}
	sort.Slice(e.Tasks, func(i, j int) bool {
		a, b := e.Tasks[i], e.Tasks[j]
		if place[a.PhaseID] != place[b.PhaseID] {
			return place[a.PhaseID] < place[b.PhaseID]
		}
		return a.Position < b.Position || a.Position == b.Position && a.ID < b.ID
	})
	sort.Slice(e.Options, func(i, j int) bool {
		a, b := e.Options[i], e.Options[j]
		return a.Position < b.Position || a.Position == b.Position && a.ID < b.ID
	})
	sort.Slice(e.Links, func(i, j int) bool { return e.Links[i].ID < e.Links[j].ID })
	sort.Slice(e.Lines, func(i, j int) bool {
		a, b := e.Lines[i], e.Lines[j]
		if place[a.PhaseID] != place[b.PhaseID] {
			return place[a.PhaseID] < place[b.PhaseID]
		}
		return a.Position < b.Position || a.Position == b.Position && a.ID < b.ID
	})
}

// Task returns the task with an ID.
func (e Estimate) Task(id ID) (*Task, bool) {
	for i := range e.Tasks {
		if e.Tasks[i].ID == id {
			return &e.Tasks[i], true
		}
	}
	return nil, false
}

// Phase returns the phase with an ID.
func (e Estimate) Phase(id ID) (*Phase, bool) {
	for i := range e.Phases {
		if e.Phases[i].ID == id {
			return &e.Phases[i], true
		}
	}
	return nil, false
}

// Units returns the units that a line or material may be counted in.
func Units() []string {
	var out []string
	for _, u := range measure.Units() {
		out = append(out, string(u))
	}
	return out
}

// KnownUnit reports whether a unit is one of Units.
func KnownUnit(unit string) bool { return measure.Unit(unit).Known() }
