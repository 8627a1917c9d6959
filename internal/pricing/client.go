package pricing

import "bareframe/internal/money"

// ClientResult is what the client may see: the same lines and totals as the
// Result, in types that have no field for cost, markup, waste or margin.
type ClientResult struct {
	Currency      money.Currency     `json:"currency"`
	TaxBasis      TaxBasis           `json:"tax_basis"`
	Lines         []ClientLine       `json:"lines"`
	NotTaken      []ClientLine       `json:"not_taken"`
	Options       []OptionResult     `json:"options"`
	Phases        []ClientPhase      `json:"phases"`
	DocumentLines ClientPhase        `json:"document_lines"`
	Reserve       *ReserveResult     `json:"reserve,omitempty"` // the reserve lines that are shown
	Adjustments   []AdjustmentResult `json:"adjustments"`
	Taxes         []TaxResult        `json:"taxes"`
	Totals        Totals             `json:"totals"`
	Deposit       *DepositResult     `json:"deposit,omitempty"`
	Draws         []DrawResult       `json:"draws"`
}

// ClientLine is a line as the client sees it.
type ClientLine struct {
	ID           string `json:"id"`
	PhaseID      string `json:"phase_id,omitempty"`
	Kind         Kind   `json:"kind"`
	Description  string `json:"description"`
	Quantity     string `json:"quantity"` // billed
	Unit         string `json:"unit,omitempty"`
	BaseQuantity string `json:"price_base_quantity"`
	// UnitPrice is empty on a line that carries a share of a reserve, because
	// quantity times price would no longer be its net.
	UnitPrice       string        `json:"unit_price,omitempty"`
	DiscountPercent string        `json:"discount_percent,omitempty"`
	TaxPercent      string        `json:"tax_percent"`
	Gross           money.Amount  `json:"gross"`
	Discount        money.Amount  `json:"discount"`
	Net             money.Amount  `json:"net"`
	Tax             *money.Amount `json:"tax,omitempty"`
	Option          *Option       `json:"option,omitempty"`
	Approval        Approval      `json:"approval,omitempty"` // of a reserve that is shown
}

// ClientPhase is a subtotal as the client sees it.
type ClientPhase struct {
	ID   string       `json:"id,omitempty"`
	Name string       `json:"name,omitempty"`
	Net  money.Amount `json:"net"`
}
