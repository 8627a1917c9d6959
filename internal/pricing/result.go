package pricing

import "bareframe/internal/money"

// Result is the owner's view of a priced document. Amounts are in Currency and
// decimals are exact text. It must not be shown to a client: see ClientView.
type Result struct {
	Currency      money.Currency     `json:"currency"`
	TaxBasis      TaxBasis           `json:"tax_basis"`
	Lines         []LineResult       `json:"lines"`          // in the price, in input order
	NotTaken      []LineResult       `json:"not_taken"`      // lines of options not taken, with their price
	Options       []OptionResult     `json:"options"`        // each choice and extra with its price
	Phases        []PhaseResult      `json:"phases"`         // in input order
	DocumentLines PhaseResult        `json:"document_lines"` // the lines without a phase
	Reserve       ReserveResult      `json:"reserve"`
	Adjustments   []AdjustmentResult `json:"adjustments"`
	Classes       []ClassResult      `json:"classes"`
	Taxes         []TaxResult        `json:"taxes"`
	Totals        Totals             `json:"totals"`
	Margin        Margin             `json:"margin"`
	Deposit       *DepositResult     `json:"deposit,omitempty"`
	Draws         []DrawResult       `json:"draws"`
}

// LineResult is a line with its price, cost and margin.
type LineResult struct {
	ID              string   `json:"id"`
	PhaseID         string   `json:"phase_id,omitempty"`
	TaskID          string   `json:"task_id,omitempty"`
	Kind            Kind     `json:"kind"`
	Description     string   `json:"description"`
	Quantity        string   `json:"quantity"`        // as asked for
	BilledQuantity  string   `json:"billed_quantity"` // with waste
	Unit            string   `json:"unit,omitempty"`
	BaseQuantity    string   `json:"price_base_quantity"`
	WastePercent    string   `json:"waste_percent,omitempty"`
	UnitCost        string   `json:"unit_cost,omitempty"`
	MarkupPercent   string   `json:"markup_percent,omitempty"`
	UnitPrice       string   `json:"unit_price"` // with markup, unrounded
	DiscountPercent string   `json:"discount_percent,omitempty"`
	TaxClass        TaxClass `json:"tax_class"`
	TaxPercent      string   `json:"tax_percent"`

	Gross    money.Amount `json:"gross"`
	Discount money.Amount `json:"discount"` // gross less net
	Net      money.Amount `json:"net"`      // BT-131
	// Tax is the line's tax with basis "line"; nil with basis "document", where
	// a line has no tax of its own.
	Tax *money.Amount `json:"tax,omitempty"`
	// Cost and Margin are nil when the unit cost is not known.
	Cost   *money.Amount `json:"cost,omitempty"`
	Margin *money.Amount `json:"margin,omitempty"`

	Option  *Option      `json:"option,omitempty"`
	Reserve *ReserveRule `json:"reserve,omitempty"`
}

// OptionResult is the price of a choice or an extra, all its lines together.
type OptionResult struct {
	Group   string       `json:"group,omitempty"`
	Choice  string       `json:"choice"`
	Taken   bool         `json:"taken"`
	LineIDs []string     `json:"line_ids"`
	Net     money.Amount `json:"net"`
	// Difference is what the line total would change by if this choice were
	// taken instead of the taken one of its group, or this extra besides; zero
	// when it is taken already. Before document adjustments and tax.
	Difference money.Amount `json:"difference"`
}

// PhaseResult is a subtotal over lines.
type PhaseResult struct {
	ID   string       `json:"id,omitempty"`
	Name string       `json:"name,omitempty"`
	Net  money.Amount `json:"net"`
	Margin
}

// Margin is over lines whose cost is known: Amount is their net less Cost.
// Uncosted is the net of the other lines, about which it says nothing.
type Margin struct {
	Cost     money.Amount `json:"cost"`
	Uncosted money.Amount `json:"uncosted"`
	Amount   money.Amount `json:"margin"`
	// Percent is Amount in percent of the net that has a cost, with one place;
	// empty when there is no such net. For display; nothing is computed from it.
	Percent string `json:"margin_percent,omitempty"`
}

// ReserveResult is the sum of the reserve lines, which the totals include.
type ReserveResult struct {
	Net     money.Amount `json:"net"`
	LineIDs []string     `json:"line_ids"`
}

// AdjustmentResult is an adjustment with its amount, never negative, and how it
// falls on the tax classes.
type AdjustmentResult struct {
	ID      string         `json:"id"`
	Kind    AdjustmentKind `json:"kind"`
	Reason  string         `json:"reason"`
	Percent string         `json:"percent,omitempty"`
	Base    money.Amount   `json:"base"` // the line nets that it is of
	Amount  money.Amount   `json:"amount"`
	Shares  []ClassShare   `json:"shares"`
}

// ClassShare is the part of an adjustment that falls on one tax class.
type ClassShare struct {
	TaxClass TaxClass      `json:"tax_class"`
	Amount   money.Amount  `json:"amount"`
	Tax      *money.Amount `json:"tax,omitempty"` // with basis "line"
}

// ClassResult is what one tax class contributes to the tax base.
type ClassResult struct {
	TaxClass  TaxClass     `json:"tax_class"`
	Percent   string       `json:"percent"`
	Lines     money.Amount `json:"lines"`
	Discounts money.Amount `json:"discounts"`
	Charges   money.Amount `json:"charges"`
	Base      money.Amount `json:"base"` // lines - discounts + charges
}

// TaxResult is one rate of the tax breakdown (EN 16931 BG-23). Rates are in
// ascending order, exempt last.
type TaxResult struct {
	Exempt  bool         `json:"exempt"`
	Percent string       `json:"percent"` // BT-119
	Classes []TaxClass   `json:"classes"`
	Base    money.Amount `json:"base"` // BT-116
	Tax     money.Amount `json:"tax"`  // BT-117
}

// Totals are the document totals; each names its business term in EN 16931-1.
type Totals struct {
	LineTotal     money.Amount `json:"line_total"`      // BT-106, sum of line nets
	DiscountTotal money.Amount `json:"discount_total"`  // BT-107, document discounts
	ChargeTotal   money.Amount `json:"charge_total"`    // BT-108, document charges
	TaxBasisTotal money.Amount `json:"tax_basis_total"` // BT-109, total without tax
	TaxTotal      money.Amount `json:"tax_total"`       // BT-110
	GrandTotal    money.Amount `json:"grand_total"`     // BT-112, total with tax
	Prepaid       money.Amount `json:"prepaid"`         // BT-113
	Due           money.Amount `json:"due"`             // BT-115
}

// DepositResult is the deposit; Percent is set when it was given so.
type DepositResult struct {
	Percent string       `json:"percent,omitempty"`
	Amount  money.Amount `json:"amount"`
}

// DrawResult is one draw. Deposit and draws add up to the grand total.
type DrawResult struct {
	ID      string       `json:"id"`
	Name    string       `json:"name"`
	Percent string       `json:"percent,omitempty"` // of the balance
	PhaseID string       `json:"phase_id,omitempty"`
	Amount  money.Amount `json:"amount"`
}
