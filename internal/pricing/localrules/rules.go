package localrules

// RuleSet is the law of a place, or a shop's own rule, as data.
type RuleSet struct {
	Code  string `json:"code"` // stable, kebab-case
	Name  string `json:"name"`
	Place string `json:"place"`
	// Source is the statute and section, or "common practice".
	Source string `json:"source"`
	// ReadOn is the day on which the source was read, as 2026-11-25.
	ReadOn string `json:"read_on"`
	// Note says what was read, what is from memory, and what to mind.
	Note string `json:"note,omitempty"`
	// Check tells whoever relies on the rule to check the local law.
	Check string `json:"check"`
	// WrittenEstimateOver is the price above which a written estimate is owed;
	// "0" is always.
	WrittenEstimateOver string  `json:"written_estimate_over"`
	Consent             Consent `json:"consent"`
	RecordMustName      []Field `json:"record_must_name"`
	// ShopSuppliesLine says whether one line for "shop supplies" may be charged.
	ShopSuppliesLine SuppliesLine `json:"shop_supplies_line"`
	InvoiceMustShow  []string     `json:"invoice_must_show"`
	// EstimateMustState lists charges that may be made only when the estimate
	// named them.
	EstimateMustState []Charge `json:"estimate_must_state"`
	KeepRecordsYears  int      `json:"keep_records_years"`
	// Overridden lists the members that the shop replaced, as With does.
	Overridden []string `json:"overridden,omitempty"`
}

// Consent says when a higher price needs new consent. Amount and cap are in the
// shop's currency.
type Consent struct {
	Shape   Shape  `json:"shape"`
	Amount  string `json:"amount,omitempty"`  // greater_of_capped, lesser_of
	Percent string `json:"percent,omitempty"` // all but none_over
	Cap     string `json:"cap,omitempty"`     // greater_of_capped
}

// Shape is the form of a consent rule.
type Shape string

// The shapes.
const (
	NoneOver        Shape = "none_over"         // any extra needs consent
	GreaterOfCapped Shape = "greater_of_capped" // over the greater of amount and percent, at most the cap
	LesserOf        Shape = "lesser_of"         // over the lesser of amount and percent
	Percent         Shape = "percent"           // over a percent of what is authorised
)

// Shapes lists the shapes in the order in which screens show them.
func Shapes() []Shape { return []Shape{NoneOver, LesserOf, GreaterOfCapped, Percent} }

// Field is something that the record of a consent names.
type Field string

// The fields of a record.
const (
	Date            Field = "date"
	Time            Field = "time"
	Person          Field = "person"
	How             Field = "how"
	NumberOrAddress Field = "number_or_address"
	WhatWasSaid     Field = "what_was_said"
	AddedParts      Field = "added_parts"
	AddedLabour     Field = "added_labour"
	RevisedTotal    Field = "revised_total"
)

// Fields lists the fields in the order in which screens ask for them.
func Fields() []Field {
	return []Field{Date, Time, Person, How, NumberOrAddress, WhatWasSaid, AddedParts, AddedLabour, RevisedTotal}
}

// SuppliesLine says what a place thinks of one line for small consumables.
type SuppliesLine string

// What a place thinks of it.
const (
	SuppliesAllowed   SuppliesLine = "allowed"
	SuppliesForbidden SuppliesLine = "forbidden"
	SuppliesExplained SuppliesLine = "must_be_explained"
)

// SuppliesLines lists the values in the order in which screens show them.
func SuppliesLines() []SuppliesLine {
	return []SuppliesLine{SuppliesAllowed, SuppliesExplained, SuppliesForbidden}
}

// Charge is a charge that the estimate has to state before it may be made.
type Charge string

// The charges.
const (
	Teardown   Charge = "teardown"
	Reassembly Charge = "reassembly"
	Storage    Charge = "storage"
)

// Charges lists the charges in the order in which screens show them.
func Charges() []Charge { return []Charge{Teardown, Reassembly, Storage} }
