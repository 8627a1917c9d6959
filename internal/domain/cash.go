package domain

import (
	"slices"
	"time"

	"github.com/shopspring/decimal"
)

// PaymentHow is the way in which money came in.
type PaymentHow string

// The ways of paying.
const (
	ByTransfer PaymentHow = "transfer"
	ByCard     PaymentHow = "card"
	ByCash     PaymentHow = "cash"
	ByCheque   PaymentHow = "cheque"
	ByOther    PaymentHow = "other"
)

// Payment is money that came in on a job. It is never changed: one that does
// not stand is voided with a reason and stays readable.
type Payment struct {
	ID         ID
	JobID      ID
	Amount     decimal.Decimal
	PaidOn     Day
	How        PaymentHow
	Note       string
	RecordedBy string
	At         time.Time
	VoidedAt   *time.Time
	VoidedBy   string
	VoidReason string
}

// Void reports whether the payment does not stand.
func (p Payment) Void() bool { return p.VoidedAt != nil }

// PaidIn sums the payments that stand.
func PaidIn(payments []Payment) decimal.Decimal {
	sum := decimal.Zero
	for _, p := range payments {
		if !p.Void() {
			sum = sum.Add(p.Amount)
		}
	}
	return sum
}

// SupplyState says where the thing is that a line buys.
type SupplyState string

// The states of a supply.
const (
	SupplyOrdered  SupplyState = "ordered"
	SupplyFitted   SupplyState = "fitted"
	SupplyReturned SupplyState = "returned"
)

// Supply is one note on what a line buys: ordered, fitted or sent back. Notes
// are added, never changed; the latest of a line holds.
type Supply struct {
	ID            ID
	JobID         ID
	LineID        ID
	State         SupplyState
	Returnable    bool
	RestockingFee decimal.Decimal // before tax; what a return costs
	Note          string
	At            time.Time
	By            string
	ExpectedOn    Day // when what was ordered will be here; empty: nobody said
}

// LatestSupplies returns the note that holds of each line. The notes come
// oldest first.
func LatestSupplies(notes []Supply) map[ID]Supply {
	out := make(map[ID]Supply, len(notes))
	for _, s := range notes {
		out[s.LineID] = s
	}
	return out
}

// Expected tells of each line what day its ordered thing is expected, by the notes
// that hold; what is here or has no day is left out.
func Expected(notes []Supply) map[ID]Day {
	out := map[ID]Day{}
	for line, s := range LatestSupplies(notes) {
		if s.State == SupplyOrdered && !s.ExpectedOn.IsZero() {
			out[line] = s.ExpectedOn
		}
	}
	return out
}

// Awaiting is the estimate whose tasks wait for what was ordered for them, by the
// days of its lines. The estimate itself is not written to.
func (e Estimate) Awaiting(days map[ID]Day) Estimate {
	if len(days) == 0 {
		return e
	}
	e.Tasks = slices.Clone(e.Tasks)
	for _, l := range e.Lines {
		if t, ok := e.Task(l.TaskID); ok {
			t.Arrives = max(t.Arrives, days[l.ID])
		}
	}
	return e
}

// WatchOverride lets work go on past the stop, up to an amount. The latest of a
// job holds; the client reads the reason.
type WatchOverride struct {
	ID     ID
	JobID  ID
	UpTo   decimal.Decimal
	Reason string
	By     string
	At     time.Time
}
