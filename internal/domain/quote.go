package domain

import (
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

// QuoteState is where an issued revision stands. Expiry is derived: an open
// quote past its expiry reads as expired.
type QuoteState string

// The states of a quote.
const (
	QuoteOpen       QuoteState = "open"
	QuoteAccepted   QuoteState = "accepted"
	QuoteDeclined   QuoteState = "declined"
	QuoteSuperseded QuoteState = "superseded"
	QuoteWithdrawn  QuoteState = "withdrawn"
	QuoteExpired    QuoteState = "expired"
)

// Quote is an issued, immutable, numbered revision of an estimate. Only its
// state and decision move after issue.
type Quote struct {
	ID           ID
	JobID        ID
	Number       string // job number and revision
	Revision     int
	State        QuoteState
	IssuedAt     time.Time
	IssuedBy     string
	ExpiresAt    time.Time
	Currency     string
	Net          decimal.Decimal
	Tax          decimal.Decimal
	Total        decimal.Decimal
	Cost         decimal.Decimal
	Note         string
	Terms        string
	Offer        Offer  // what the client reads
	Plan         []Sold // what acceptance authorises
	Basis        PriceBasis
	DocumentHash string // SHA-256 of the document, hex
	Decision     *Decision
	Agreed       *Agreed // what was accepted of a quote with options
}

// Agreed is what a client accepted of a quote with options: the selection with
// its figures, as they were shown. The quote itself stays as it was issued.
type Agreed struct {
	OptionIDs    []ID            `json:"option_ids"`
	Net          decimal.Decimal `json:"net"`
	Tax          decimal.Decimal `json:"tax"`
	Total        decimal.Decimal `json:"total"`
	Cost         decimal.Decimal `json:"cost"`
	Offer        Offer           `json:"offer"`
	Plan         []Sold          `json:"plan"`
	DocumentHash string          `json:"document_hash"` // of the document as decided
}

// AsAgreed is the quote with the figures of what was accepted of it, where that
// was a selection; else as it was issued.
func (q Quote) AsAgreed() Quote {
	if a := q.Agreed; a != nil {
		words := q.Offer.DateWords
		q.Net, q.Tax, q.Total, q.Cost, q.Offer, q.Plan = a.Net, a.Tax, a.Total, a.Cost, a.Offer, a.Plan
		q.Offer.DateWords = words
	}
	return q
}

// PriceBasis is what an estimate was priced with. A quote keeps it, so that a
// later price book does not move what was sold.
type PriceBasis struct {
	TaxBasis pricing.TaxBasis `json:"tax_basis"`
	TaxRates []TaxRate        `json:"tax_rates"`
	Labour   []LabourRate     `json:"labour"`
	Deposit  decimal.Decimal  `json:"deposit_percent"`
	Draws    []DrawRule       `json:"draws"`
	Stopping StopTerms        `json:"stopping"` // stated on the quote, so that they may be charged
}

// Basis returns what the shop prices with on a day.
func (s Shop) Basis(day Day) PriceBasis {
	return PriceBasis{TaxBasis: s.Settings.TaxBasis, TaxRates: s.Settings.TaxRates, Labour: s.PriceBook.LabourOn(day),
		Deposit: s.Settings.DepositPercent, Draws: s.Settings.Draws,
		Stopping: s.GoesBy().Stopping}
}

// Offer is the client's side of a quote: no cost, no margin.
type Offer struct {
	Phases []OfferPhase `json:"phases"`
	Taxes  []OfferTax   `json:"taxes"`
	Draws  []OfferDraw  `json:"draws"`
	Start  Day          `json:"start"`
	Finish Day          `json:"finish"` // the date promised
	// DateWords say how the date was found where the floor's plan gave it.
	DateWords string `json:"date_words,omitempty"`
	// Firm and Ranged are the net before and past the strip gate; empty when
	// there is no such gate.
	Firm   string `json:"firm,omitempty"`
	Ranged string `json:"ranged,omitempty"`
	// Options are what the client may combine, with what each changes against
	// the selection that the rest of the offer shows.
	Options []OfferOption `json:"options,omitempty"`
	// Opening and Closing are the shop's texts as they were filled in at issue.
	Opening string  `json:"opening,omitempty"`
	Closing string  `json:"closing,omitempty"`
	Wording Wording `json:"wording,omitzero"`
}

// Wording is the shop's texts of a quote as they were written on the day of issue,
// so that what was agreed of it can say its own total.
type Wording struct {
	Opening string `json:"opening"`
	Closing string `json:"closing"`
	Terms   string `json:"terms"`
}

// OfferOption is an option as the client reads it.
type OfferOption struct {
	ID    ID     `json:"id"`
	Group string `json:"group"`
	Name  string `json:"name"`
	Note  string `json:"note"`
	// Taken says whether it is in the selection: as advised when issued, as
	// chosen once agreed.
	Taken bool `json:"taken"`
	// Net is of its own tasks and lines, before tax.
	Net string `json:"net"`
	// Difference is by how much the total with tax changes, and Days by how many
	// working days the finish moves, when this option is taken instead of the
	// selected one of its group; of an extra, when it is taken, or left where it
	// is taken. Each is against the selection, so they do not add up.
	Difference  string          `json:"difference"`
	Days        int             `json:"days"`
	Hours       string          `json:"hours"`
	Points      []PointEffect   `json:"points"`
	Originality decimal.Decimal `json:"originality"`
	Condition   decimal.Decimal `json:"condition"`
	Lines       []OfferLine     `json:"lines"`
}

// OfferPhase is a phase as the client reads it.
type OfferPhase struct {
	Name   string      `json:"name"`
	Net    string      `json:"net"`
	Start  Day         `json:"start,omitempty"`
	Finish Day         `json:"finish,omitempty"`
	Lines  []OfferLine `json:"lines"`
}

// OfferLine is a priced line as the client reads it.
type OfferLine struct {
	Description string       `json:"description"`
	Kind        pricing.Kind `json:"kind"`
	Quantity    string       `json:"quantity"`
	Unit        string       `json:"unit"`
	Net         string       `json:"net"`
}

// OfferTax is the tax of one rate.
type OfferTax struct {
	Percent string `json:"percent"`
	Base    string `json:"base"`
	Tax     string `json:"tax"`
}

// Sold is one task as the quote sold it: its hours and its planned times. On
// acceptance it becomes the task's baseline.
type Sold struct {
	TaskID ID              `json:"task_id"`
	Hours  decimal.Decimal `json:"hours"`
	Start  time.Time       `json:"start"`
	Finish time.Time       `json:"finish"`
}

// DecisionHow says how the client decided.
type DecisionHow string

// The ways of deciding.
const (
	ByPortal    DecisionHow = "portal"
	InPerson    DecisionHow = "in_person"
	ByTelephone DecisionHow = "telephone"
	ByEmail     DecisionHow = "email"
)

// Decision is what the client said to a quote, and how it is known.
type Decision struct {
	Accepted   bool            `json:"accepted"`
	How        DecisionHow     `json:"how"`
	Name       string          `json:"name"`
	Signature  string          `json:"signature"`
	Contact    string          `json:"contact"` // number or address used
	Said       string          `json:"said"`
	Reason     string          `json:"reason"`
	DecidedAt  time.Time       `json:"decided_at"`
	RecordedAt time.Time       `json:"recorded_at"`
	RecordedBy string          `json:"recorded_by"`
	From       string          `json:"from"`
	Amount     decimal.Decimal `json:"amount"`
	OptionIDs  []ID            `json:"option_ids,omitempty"` // what was chosen of a quote with options
}

// StateAt returns the state as it reads at an instant.
func (q Quote) StateAt(now time.Time) QuoteState {
	if q.State == QuoteOpen && !now.Before(q.ExpiresAt) {
		return QuoteExpired
	}
	return q.State
}

// Decidable fails with Conflict when the quote is not open any more, and says what
// became of it.
func (q Quote) Decidable(now time.Time) error {
	switch state := q.StateAt(now); state {
	case QuoteOpen:
		return nil
	case QuoteSuperseded:
		return fault.New(fault.Conflict, "quote-superseded", "Quote %s was replaced by a later revision; decide on that one.", q.Number)
	case QuoteExpired:
		return fault.New(fault.Conflict, "quote-expired", "Quote %s has expired; ask the shop for a new one.", q.Number)
	default:
		return fault.New(fault.Conflict, "quote-decided", "Quote %s is already %s.", q.Number, state)
	}
}

// Decide records a decision. It fails with Conflict as Decidable does.
func (q *Quote) Decide(d Decision, now time.Time) error {
	if err := q.Decidable(now); err != nil {
		return err
	}
	q.State = QuoteDeclined
	if d.Accepted {
		q.State = QuoteAccepted
	}
	q.Decision = &d
	return nil
}

// Document is the exact text that was issued.
type Document struct {
	ID          ID
	Name        string // of a file, with its ending; not stored
	ContentType string
	Hash        string // SHA-256, hex
	Body        []byte
	Sheet       string // what it was drawn from, JSON; empty for what was issued before it was kept
}

// Baseline is the plan that a job is held against: one row a sold task.
type Baseline struct {
	JobID  ID
	TaskID ID
	Hours  decimal.Decimal
	Start  time.Time
	Finish time.Time
}
