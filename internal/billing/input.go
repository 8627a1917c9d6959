package billing

// TaxBasis says where tax is rounded, as in package pricing.
type TaxBasis string

// The tax bases.
const (
	PerDocument TaxBasis = "document"
	PerLine     TaxBasis = "line"
)

// Exempt is the tax class that is never taxed and needs no rate.
const Exempt = "exempt"

// TaxRate is the shop's rate for a tax class, 0 to 100 with up to 4 places.
type TaxRate struct {
	Class   string `json:"class"`
	Percent string `json:"percent"`
}

// StopNowInput is the state of a job on one day. Decimals are plain text.
type StopNowInput struct {
	Currency string    `json:"currency"` // ISO 4217
	TaxBasis TaxBasis  `json:"tax_basis"`
	TaxRates []TaxRate `json:"tax_rates"`
	Labour   []Labour  `json:"labour,omitempty"`
	Fitted   []Item    `json:"fitted,omitempty"`
	Orders   []Order   `json:"orders,omitempty"`
	Credits  []Item    `json:"credits,omitempty"` // count against the total
	Storage  *Storage  `json:"storage,omitempty"`
	// Teardown and Reassembly are agreed charges. Minutes worked on them are not
	// to be among Labour as well.
	Teardown   *Charge   `json:"teardown,omitempty"`
	Reassembly *Charge   `json:"reassembly,omitempty"`
	Payments   []Payment `json:"payments,omitempty"`
	// Authorised, with tax, when given, is held against the total.
	Authorised string `json:"authorised,omitempty"`
}

// Labour is work done at the rate that was sold.
type Labour struct {
	ID          string `json:"id,omitempty"`
	Description string `json:"description"`
	Minutes     int    `json:"minutes"`
	Rate        string `json:"rate"` // an hour, up to 6 places
	TaxClass    string `json:"tax_class"`
}

// Item is something at its price as sold, before tax.
type Item struct {
	ID          string `json:"id,omitempty"`
	Description string `json:"description"`
	Quantity    string `json:"quantity,omitempty"` // shown, not reckoned with; empty is 1
	Unit        string `json:"unit,omitempty"`
	Net         string `json:"net"`
	TaxClass    string `json:"tax_class"`
}

// Order is a special order that is not fitted.
type Order struct {
	Item
	Returnable bool `json:"returnable"`
	// RestockingFee is what returning it costs; only on what is returnable.
	RestockingFee string `json:"restocking_fee,omitempty"`
	FeeTaxClass   string `json:"fee_tax_class,omitempty"` // needed with a fee
}

// Storage is the time that the car has stood for the client's account.
type Storage struct {
	OnEstimate bool   `json:"on_estimate"`
	Days       int    `json:"days"`
	FreeDays   int    `json:"free_days"`
	PerDay     string `json:"per_day"`
	TaxClass   string `json:"tax_class"`
}

// Charge is an agreed charge, before tax.
type Charge struct {
	OnEstimate bool   `json:"on_estimate"`
	Amount     string `json:"amount"`
	TaxClass   string `json:"tax_class"`
}

// Payment is money that was received.
type Payment struct {
	ID     string `json:"id,omitempty"`
	Amount string `json:"amount"`
}
