package pricing

// TaxBasis says where tax is rounded.
type TaxBasis string

// The tax bases.
const (
	// PerDocument sums the base for each rate and rounds the tax once.
	PerDocument TaxBasis = "document"
	// PerLine rounds the tax of each line and adds it up.
	PerLine TaxBasis = "line"
)

// TaxClass says what a line is for the tax office; the shop sets a rate for each.
type TaxClass string

// The tax classes.
const (
	RepairLabour      TaxClass = "repair_labour"
	FabricationLabour TaxClass = "fabrication_labour"
	Part              TaxClass = "part"
	MaterialClass     TaxClass = "material" // stays on the car
	Consumable        TaxClass = "consumable"
	SubletClass       TaxClass = "sublet"
	Storage           TaxClass = "storage"
	FeeClass          TaxClass = "fee"
	Exempt            TaxClass = "exempt" // never taxed, needs no rate
)

// TaxClasses lists the classes in the order in which screens show them.
func TaxClasses() []TaxClass {
	return []TaxClass{RepairLabour, FabricationLabour, Part, MaterialClass, Consumable,
		SubletClass, Storage, FeeClass, Exempt}
}

// Kind says what a line is for the trade.
type Kind string

// The kinds of line.
const (
	Labour    Kind = "labour"
	Material  Kind = "material" // may carry waste and markup
	Sublet    Kind = "sublet"   // may carry markup
	Fee       Kind = "fee"
	Allowance Kind = "allowance" // a stated sum for work that cannot be priced yet
	Credit    Kind = "credit"    // counts against the total
	Reserve   Kind = "reserve"   // held against hidden damage, drawn down only by change orders
)

// Kinds lists the kinds in the order in which screens show them.
func Kinds() []Kind {
	return []Kind{Labour, Material, Sublet, Fee, Allowance, Credit, Reserve}
}

// Input is a document to be priced. All decimals are plain decimal text.
type Input struct {
	Currency    string       `json:"currency"` // ISO 4217
	TaxBasis    TaxBasis     `json:"tax_basis"`
	TaxRates    []TaxRate    `json:"tax_rates"`
	Phases      []Phase      `json:"phases"`
	Lines       []Line       `json:"lines"`
	Adjustments []Adjustment `json:"adjustments,omitempty"`
	Deposit     *Deposit     `json:"deposit,omitempty"`
	Draws       []Draw       `json:"draws,omitempty"`
	Prepaid     string       `json:"prepaid,omitempty"` // already paid, BT-113; empty is nothing
}

// TaxRate is the shop's rate for one class, 0 to 100 with up to 4 places.
type TaxRate struct {
	Class   TaxClass `json:"class"`
	Percent string   `json:"percent"`
}

// Phase is a phase of the job; subtotals come in the order of the phases.
type Phase struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// Line is one priced item. Quantity has up to 9 digits before the point and 6
// after it and is not negative (a credit is a kind, not a sign); prices likewise.
type Line struct {
	ID          string `json:"id"`
	PhaseID     string `json:"phase_id,omitempty"` // empty: a document line
	TaskID      string `json:"task_id,omitempty"`  // passed through
	Kind        Kind   `json:"kind"`
	Description string `json:"description"`
	Quantity    string `json:"quantity"`
	Unit        string `json:"unit,omitempty"` // a sign known to package measure, or empty
	// UnitCost is what the unit costs the shop; empty means not known, and then
	// the line counts neither as cost nor as margin.
	UnitCost string `json:"unit_cost,omitempty"`
	// UnitPrice is what the client pays; empty means UnitCost with MarkupPercent.
	UnitPrice string `json:"unit_price,omitempty"`
	// PriceBaseQuantity is the number of units that UnitPrice and UnitCost are
	// for (EN 16931 BT-149); empty means 1.
	PriceBaseQuantity string `json:"price_base_quantity,omitempty"`
	// WastePercent is added to the quantity of material: 10 m and 5 % are billed
	// as 10.5 m. A loss stated as a share of what is bought divides instead, and
	// is for takeoff to compute.
	WastePercent string `json:"waste_percent,omitempty"`
	// MarkupPercent is added to UnitCost of material and sublet; not beside UnitPrice.
	MarkupPercent string `json:"markup_percent,omitempty"`
	// DiscountPercent or DiscountAmount, not both, is taken from the gross.
	DiscountPercent string       `json:"discount_percent,omitempty"`
	DiscountAmount  string       `json:"discount_amount,omitempty"`
	TaxClass        TaxClass     `json:"tax_class"`
	Option          *Option      `json:"option,omitempty"`
	Reserve         *ReserveRule `json:"reserve,omitempty"` // only on kind reserve
}

// Option makes a line part of something the client chooses. Lines with the same
// Group and Choice belong together and are all taken or all not.
type Option struct {
	// Group names a choose-one group, of which exactly one choice is taken.
	// Empty: Choice is an extra by itself, taken or left.
	Group  string `json:"group,omitempty"`
	Choice string `json:"choice"`
	Taken  bool   `json:"taken"`
}

// Approval says who releases money from a reserve.
type Approval string

// The approvals of a reserve.
const (
	ByClient Approval = "client" // each change order is decided by the client; the default
	ByOwner  Approval = "owner"  // change orders inside the reserve were approved beforehand
)

// ReserveRule is the rule of a reserve line. A nil rule is the client's
// approval and a line of its own.
type ReserveRule struct {
	Approval Approval `json:"approval,omitempty"`
	// Carried hides the line from the client and spreads its net, and its tax
	// when that is per line, over the client's lines of the same phase and tax
	// class. The totals stay the same.
	Carried bool `json:"carried,omitempty"`
}

// AdjustmentKind says whether an adjustment lowers or raises the document.
type AdjustmentKind string

// The kinds of adjustment.
const (
	Discount AdjustmentKind = "discount" // EN 16931 BG-20
	Charge   AdjustmentKind = "charge"   // EN 16931 BG-21
)

// Adjustment is a discount or charge on the document, by Percent or Amount.
// With a TaxClass it belongs to that class, and a percent is of the lines of
// that class. Without one it is of all lines, and is divided over the tax
// classes in proportion to their line nets.
type Adjustment struct {
	ID       string         `json:"id"`
	Kind     AdjustmentKind `json:"kind"`
	Reason   string         `json:"reason"`
	Percent  string         `json:"percent,omitempty"`
	Amount   string         `json:"amount,omitempty"`
	TaxClass TaxClass       `json:"tax_class,omitempty"`
}

// Deposit is due on acceptance: a Percent of the grand total or an Amount.
type Deposit struct {
	Percent string `json:"percent,omitempty"`
	Amount  string `json:"amount,omitempty"`
}

// Draw is a progress invoice on the balance after the deposit. Either every
// draw has a Percent of the balance, which add up to 100, or none has and each
// names a phase with its PhaseID; the balance is then divided in proportion to
// the nets of those phases.
type Draw struct {
	ID      string `json:"id"`
	Name    string `json:"name"`
	Percent string `json:"percent,omitempty"`
	PhaseID string `json:"phase_id,omitempty"` // the phase whose end makes it due
}
