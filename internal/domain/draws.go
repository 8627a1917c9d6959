package domain

import (
	"fmt"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Gate says what a draw waits for.
type Gate string

// The gates of draws.
const (
	GateNamed      Gate = "" // nothing that the program can see: the draw's own name says when
	GateAcceptance Gate = "acceptance"
	GatePhaseEnd   Gate = "phase_end"
	GateStripGate  Gate = "strip_gate" // the inspection after stripping is released
	GateHandOver   Gate = "hand_over"
)

// MostDaysToPay bounds how long a draw may take to be paid.
const MostDaysToPay = 120

// DrawRule is one progress invoice as a share of the total, with what makes it
// due and how many calendar days it may take to be paid from then on.
type DrawRule struct {
	Name      string          `json:"name"`
	Percent   decimal.Decimal `json:"percent"`
	Due       Gate            `json:"due,omitempty"`
	Phase     string          `json:"phase,omitempty"` // key of a phase, or its name where a job has no such key
	DaysToPay int             `json:"days_to_pay,omitempty"`
}

func (d DrawRule) faults(c *fault.Collector, at string) {
	if d.Percent.IsNegative() {
		c.Add(at+"/percent", "A draw is not negative.")
	}
	if d.DaysToPay < 0 || d.DaysToPay > MostDaysToPay {
		c.Add(at+"/days_to_pay", "Days to pay lie between 0 and %d.", MostDaysToPay)
	}
	switch hasPhase := strings.TrimSpace(d.Phase) != ""; {
	case d.Due == GatePhaseEnd && !hasPhase:
		c.Add(at+"/phase", "Name the phase whose end makes this draw due.")
	case d.Due != GatePhaseEnd && hasPhase:
		c.Add(at+"/phase", "Only a draw that is due at the end of a phase names one.")
	}
}

// OfferDraw is the deposit or a draw; together they are the total. What makes it
// due is fixed with the quote; the day is as the plan stands.
type OfferDraw struct {
	Name      string `json:"name"`
	Percent   string `json:"percent"`
	Amount    string `json:"amount"`
	Due       Gate   `json:"due,omitempty"`
	Phase     string `json:"phase,omitempty"`    // as the job calls it, or as the rule does where the job lacks it
	PhaseID   ID     `json:"phase_id,omitempty"` // of the job
	DaysToPay int    `json:"days_to_pay,omitempty"`
	// Lacking says that the job has nothing of what the rule waits for, so that the
	// draw is due at hand-over.
	Lacking bool `json:"lacking,omitempty"`
	On      Day  `json:"on,omitempty"` // expected; once reached, the day itself
	Reached bool `json:"reached,omitempty"`
}

// PayBy is the last day to pay, empty while no day is known.
func (d OfferDraw) PayBy() Day {
	if d.On.IsZero() {
		return ""
	}
	return d.On.AddDays(d.DaysToPay)
}

// When says in a sentence when the draw falls due, without a full stop; of a draw
// whose name says so, only how long it may take to be paid.
func (d OfferDraw) When() string {
	out := d.event()
	switch {
	case out == "":
	case d.Reached && !d.On.IsZero():
		out += ", reached on " + d.On.Long()
	case !d.On.IsZero():
		out += ", expected on " + d.On.Long()
	}
	switch {
	case d.DaysToPay == 0:
	case out == "":
		out = "To be paid within " + days(d.DaysToPay)
	default:
		out += "; to be paid within " + days(d.DaysToPay)
	}
	if d.Lacking {
		out += ". " + d.lack()
	}
	return out
}

func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

func (d OfferDraw) event() string {
	switch {
	case d.Lacking || d.Due == GateHandOver:
		return "At hand-over"
	case d.Due == GateAcceptance:
		return "On acceptance"
	case d.Due == GatePhaseEnd:
		return "At the end of " + d.Phase
	case d.Due == GateStripGate:
		return "When the inspection after stripping is released"
	}
	return ""
}

func (d OfferDraw) lack() string {
	if d.Due == GateStripGate {
		return "This job has no inspection after stripping that it could wait for"
	}
	return fmt.Sprintf("This job has no work in a phase %s that it could wait for", d.Phase)
}

// Long writes the day out as 2 January 2006; nothing for no day.
func (d Day) Long() string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return ""
	}
	return t.Format("2 January 2006")
}

// LastDay is the last day on which something holds that expires at an instant.
func LastDay(expires time.Time, zone *time.Location) Day {
	return DayOf(expires.Add(-time.Second), zone)
}
