package billing

import "bareframe/internal/money"

// LineKind says where a line comes from.
type LineKind string

// The kinds of line, in the order of the bill.
const (
	LabourDone       LineKind = "labour"
	FittedItem       LineKind = "fitted"
	OrderedItem      LineKind = "ordered"
	StorageCharge    LineKind = "storage"
	TeardownCharge   LineKind = "teardown"
	ReassemblyCharge LineKind = "reassembly"
	CreditItem       LineKind = "credit"
)

// StopNowResult is the bill.
type StopNowResult struct {
	Currency money.Currency `json:"currency"`
	TaxBasis TaxBasis       `json:"tax_basis"`
	Lines    []Line         `json:"lines"`
	Taxes    []RateTotal    `json:"taxes"`
	Net      money.Amount   `json:"net"`
	Tax      money.Amount   `json:"tax"`
	Total    money.Amount   `json:"total"`
	Paid     money.Amount   `json:"paid"`
	Balance  money.Amount   `json:"balance"` // negative: owed to the client
	// OverAuthorised is how far the total is above the authorised amount, nothing
	// when it is not; absent when no authorised amount was given.
	OverAuthorised *money.Amount `json:"over_authorised,omitempty"`
	Words          []string      `json:"words"` // how the totals follow
}

// Line is one item of the bill. A line of nothing says why nothing is charged.
type Line struct {
	Kind        LineKind     `json:"kind"`
	ID          string       `json:"id,omitempty"`
	Description string       `json:"description"`
	Quantity    string       `json:"quantity"`
	Unit        string       `json:"unit"`
	Net         money.Amount `json:"net"` // negative on a credit
	TaxClass    string       `json:"tax_class"`
	// Tax is set with the basis line.
	Tax *money.Amount `json:"tax,omitempty"`
	Why string        `json:"why"`
}

// RateTotal is the subtotal of one rate; exempt is not the same as a rate of 0.
type RateTotal struct {
	Exempt  bool         `json:"exempt"`
	Percent string       `json:"percent"`
	Classes []string     `json:"classes"` // as the rates list them
	Base    money.Amount `json:"base"`
	Tax     money.Amount `json:"tax"`
	Why     string       `json:"why"`
}
