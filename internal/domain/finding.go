package domain

import (
	"time"

	"github.com/shopspring/decimal"
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
	OrderID         ID // the latest order that held it
	By              ID
	ByName          string
	At              time.Time
}

// Open reports whether the finding still waits to be put into an order.
func (f Finding) Open() bool { return f.State == FindingReported }
