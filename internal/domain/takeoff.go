package domain

import (
	"maps"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/method"
)

// Finish is the level that steel is brought to.
type Finish string

// The finish levels.
const (
	DriverFinish   Finish = "driver"   // sound and sealed, to be used
	ShowFinish     Finish = "show"     // even and clean where it is seen
	ConcoursFinish Finish = "concours" // as the maker left it, everywhere
	AsFoundFinish  Finish = "as_found" // kept as it is, made safe
)

// Finishes lists the finish levels.
func Finishes() []Finish { return []Finish{DriverFinish, ShowFinish, ConcoursFinish, AsFoundFinish} }

// Ways says by which method the stages of the work are done, by stage. A stage
// that is not named is left to the job, and on a job to the list of methods.
type Ways map[method.Stage]string

// Over are the ways with those of w in the place of what is underneath.
func (w Ways) Over(underneath Ways) Ways {
	out := Ways{}
	maps.Copy(out, underneath)
	maps.Copy(out, w)
	return out
}

// FirstWays are the ways of a job on which nobody chose: the first method of each stage.
func FirstWays(l method.List) Ways {
	out := Ways{}
	for _, m := range l.Methods {
		if _, has := out[m.Stage]; !has {
			out[m.Stage] = m.Key
		}
	}
	return out
}

// Validate names what is wrong with chosen methods, by pointer below at.
func (w Ways) Validate(at string, l method.List) error {
	var c fault.Collector
	for _, stage := range slices.Sorted(maps.Keys(w)) {
		if !slices.ContainsFunc(l.Methods, func(m method.Method) bool { return m.Stage == stage && m.Key == w[stage] }) {
			c.Add(at+"/"+string(stage), "For %s there is no method %q.", stage, w[stage])
		}
	}
	return c.Err("method-unknown")
}

// ValidateFinish refuses what is no finish; empty is left to the job.
func (f Finish) Validate(at string, needed bool) error {
	if f == "" && !needed || slices.Contains(Finishes(), f) {
		return nil
	}
	return fault.InvalidField("finish-unknown", at, "A finish is driver, show, concours or as_found.")
}

// ConditionOf gives the observation that says what a zone looks like: the latest
// of the latest moment that stands. What was seen after the repair tells nothing
// about how much there is to repair. ok is false while nobody has looked; the zone
// then counts as hidden. The observations come oldest first.
func ConditionOf(zoneID ID, all []Observation) (seen Observation, ok bool) {
	for _, o := range all {
		if o.ZoneID != zoneID || o.VoidedAt != nil || o.Moment == Repaired {
			continue
		}
		if !ok || slices.Index(Moments(), o.Moment) >= slices.Index(Moments(), seen.Moment) {
			seen, ok = o, true
		}
	}
	return seen, ok
}

// Holed reports whether the measured place is steel that is cut out: not where it
// is only stained or scaled.
func (o Observation) Holed() bool {
	return o.LengthMM > 0 && o.WidthMM > 0 && slices.Contains([]Condition{GradeD, Pitted, Patched, Perforated}, o.Condition)
}

// Said is the condition in words: grade B, perforated.
func (c Condition) Said() string {
	switch c {
	case GradeA, GradeB, GradeC, GradeD:
		return "grade " + string(c[0]-'a'+'A')
	}
	return string(c)
}

// TakeoffMove is one time that the estimate moved because the steel, the finish or
// a method did. It is never changed.
type TakeoffMove struct {
	ID     ID
	JobID  ID
	At     time.Time
	By     ID
	ByName string
	Cause  string // in words: Left rail ahead of rear wheel: grade B to perforated
	Moved  Moved
}

// Moved is what an estimate was and became.
type Moved struct {
	Tasks        []MovedHours     `json:"tasks"`
	Materials    []MovedMaterial  `json:"materials"`
	NetBefore    decimal.Decimal  `json:"net_before"`
	NetAfter     decimal.Decimal  `json:"net_after"`
	TotalBefore  decimal.Decimal  `json:"total_before"`
	TotalAfter   decimal.Decimal  `json:"total_after"`
	FinishBefore time.Time        `json:"finish_before"`
	FinishAfter  time.Time        `json:"finish_after"`
	PointsBefore *decimal.Decimal `json:"points_before,omitempty"` // deduction expected as found on the job's sheet; absent without one
	PointsAfter  *decimal.Decimal `json:"points_after,omitempty"`
}

// MovedHours are the hours of a task. Before and After are those of the estimate,
// the same where they were typed over; Asked is what the rules ask for.
type MovedHours struct {
	TaskID      ID              `json:"task_id"`
	Code        string          `json:"code"`
	Name        string          `json:"name"`
	Follows     bool            `json:"follows"`
	Before      ThreePoint      `json:"before"`
	After       ThreePoint      `json:"after"`
	AskedBefore decimal.Decimal `json:"asked_before"` // likely
	AskedAfter  decimal.Decimal `json:"asked_after"`
	By          []MovedBy       `json:"by"`
}

// MovedMaterial is the quantity of a material of a task, as MovedHours.
type MovedMaterial struct {
	LineID      ID              `json:"line_id,omitempty"` // empty: the estimate has no line for it
	Key         string          `json:"key"`
	Name        string          `json:"name"`
	TaskCode    string          `json:"task_code"`
	Unit        string          `json:"unit"` // of the line, else of the rules
	Follows     bool            `json:"follows"`
	Before      decimal.Decimal `json:"before"`
	After       decimal.Decimal `json:"after"`
	AskedBefore decimal.Decimal `json:"asked_before"`
	AskedAfter  decimal.Decimal `json:"asked_after"`
	By          []MovedBy       `json:"by"`
}

// MovedBy is what one rule makes more or less for one zone, and why.
type MovedBy struct {
	ZoneID ID              `json:"zone_id,omitempty"` // empty: the fixed amount of the rule
	Zone   string          `json:"zone,omitempty"`
	Rule   string          `json:"rule"`
	Amount decimal.Decimal `json:"amount"`
	Why    string          `json:"why"`
	Words  string          `json:"words"`
}

// StockMove is what one job takes of what another has left over of whole packs. It
// is never changed; one that does not stand is voided.
type StockMove struct {
	ID         ID
	Material   string // key of the price book
	Unit       string
	Quantity   decimal.Decimal
	FromJobID  ID
	ToJobID    ID
	By         ID
	ByName     string
	At         time.Time
	VoidedAt   *time.Time
	VoidedBy   string
	VoidReason string
}

// Void reports whether the move does not stand.
func (m StockMove) Void() bool { return m.VoidedAt != nil }
