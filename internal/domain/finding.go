package domain

import (
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// FindingWhat says what was uncovered.
type FindingWhat string

// What can be uncovered.
const (
	FoundRust           FindingWhat = "rust"
	FoundPerforation    FindingWhat = "perforation"
	FoundPatchOverRot   FindingWhat = "patch_over_rot"
	FoundCrack          FindingWhat = "crack"
	FoundBrokenBolt     FindingWhat = "broken_bolt"
	FoundSpunNut        FindingWhat = "spun_nut"
	FoundMissingOpening FindingWhat = "missing_opening"
	FoundMissingBracket FindingWhat = "missing_bracket"
	FoundBent           FindingWhat = "bent"
	FoundOther          FindingWhat = "other"
)

// FindingState is what became of a finding.
type FindingState string

// The states of a finding.
const (
	FindingReported  FindingState = "reported"
	FindingGathered  FindingState = "gathered" // in a draft order
	FindingSent      FindingState = "sent"     // with the client
	FindingApproved  FindingState = "approved"
	FindingDeclined  FindingState = "declined"
	FindingDismissed FindingState = "dismissed" // nothing need be done
)

// Finding is what was uncovered on a zone: where, what, how large, pictures and
// suggested work.
type Finding struct {
	ID              ID
	JobID           ID
	Number          int // counts up within the job
	Version         int
	ZoneID          ID
	TaskID          ID // during which it was found; optional
	What            FindingWhat
	Condition       Condition // optional
	LengthMM        int
	WidthMM         int
	Count           int
	Note            string
	PhotoIDs        []ID
	Repairs         []string        // codes of the repair list
	Originality     decimal.Decimal // judged points lost as found
	ConditionPoints decimal.Decimal
	State           FindingState
	StateReason     string
	DismissedAt     *time.Time
	OrderID         ID // the latest order that held it
	By              ID
	ByName          string
	At              time.Time
}

// findingSteps are the steps of a finding's life. It goes back to reported when
// its draft is withdrawn or the order that held it was, and from declined into
// a further draft.
var findingSteps = map[FindingState][]FindingState{
	FindingReported: {FindingGathered, FindingDismissed},
	FindingGathered: {FindingSent, FindingReported},
	FindingSent:     {FindingApproved, FindingDeclined, FindingReported},
	FindingDeclined: {FindingGathered},
}

// Move takes a step of the finding's life and moves its version. It fails with
// Conflict "finding-state" when there is no such step.
func (f *Finding) Move(to FindingState, reason string) error {
	if !slices.Contains(findingSteps[f.State], to) {
		return fault.New(fault.Conflict, "finding-state", "Finding %d is %s; it cannot become %s.", f.Number, f.State, to)
	}
	f.State, f.StateReason = to, reason
	f.Version++
	return nil
}

// Editable refuses edits of what is with the client, decided or dismissed.
func (f Finding) Editable() error {
	switch f.State {
	case FindingReported, FindingGathered:
		return nil
	case FindingSent:
		return fault.New(fault.Conflict, "finding-sent", "Finding %d is with the client, so it stands still; withdraw the order to change it.", f.Number)
	}
	return fault.New(fault.Conflict, "finding-decided", "Finding %d is %s and is not changed any more; report what is new as a finding of its own.", f.Number, f.State)
}

// Open reports whether the finding still waits to be put into an order.
func (f Finding) Open() bool { return f.State == FindingReported }
