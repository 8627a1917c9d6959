package localrules

import (
	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Input asks whether a revised price needs new consent under a rule set.
type Input struct {
	Currency   string    `json:"currency"` // ISO 4217
	Rule       RuleSet   `json:"rule"`
	Overrides  Overrides `json:"overrides,omitzero"`
	Authorised string    `json:"authorised"`
	Revised    string    `json:"revised"`
	// Record, when given, is held against what the rule wants named.
	Record *Record `json:"record,omitempty"`
}

// Result is the answer.
type Result struct {
	Consent        ConsentResult `json:"consent"`
	EstimateDue    bool          `json:"estimate_due"` // on the revised price
	EstimateWhy    string        `json:"estimate_why"`
	RecordComplete *bool         `json:"record_complete,omitempty"` // only when a record was given
	Missing        []Field       `json:"missing"`                   // without a record: all that it must name
	Rule           RuleSet       `json:"rule"`                      // with the overrides in it
	Check          string        `json:"check"`
}

// Calculate merges the overrides, and answers for the two prices and the record.
// Errors are fault.Invalid with pointers into Input.
func Calculate(in Input) (Result, error) {
	var f fault.Collector
	rule, err := With(in.Rule, in.Overrides)
	if err != nil {
		rule.check(&f, "/rule")
	}
	currency, err := money.ParseCurrency(in.Currency)
	if err != nil {
		f.Add("/currency", "%s", fault.As(err).Detail)
		return Result{}, f.Err(code)
	}
	authorised := price(&f, "/authorised", in.Authorised, currency)
	revised := price(&f, "/revised", in.Revised, currency)
	if err := f.Err(code); err != nil {
		return Result{}, err
	}
	r := Result{Rule: rule, Check: rule.Check}
	if r.Consent, err = ConsentDue(rule, authorised, revised); err != nil {
		return Result{}, err
	}
	if r.EstimateDue, r.EstimateWhy, err = EstimateDue(rule, revised); err != nil {
		return Result{}, err
	}
	if in.Record == nil {
		r.Missing = Missing(rule, Record{})
		return r, nil
	}
	r.Missing = Missing(rule, *in.Record)
	complete := len(r.Missing) == 0
	r.RecordComplete = &complete
	return r, nil
}

func price(f *fault.Collector, at, s string, c money.Currency) money.Amount {
	a, err := money.Parse(s, c)
	if err != nil {
		f.Add(at, "%s", fault.As(err).Detail)
	} else if a.Sign() < 0 {
		f.Add(at, "this cannot be negative")
	}
	return a
}

// Example returns a change by telephone under a rule of the greater of 10 and
// 10 %, capped at 50, with one thing missing from the record.
func Example() Input {
	return Input{
		Currency: "USD", Authorised: "900.00", Revised: "975.50",
		Rule: RuleSet{
			Code: "example-greater-of", Name: "Example: greater of 10 and 10 %, at most 50", Place: "an example",
			Source: "an example; the rule sets that come with the program name their statutes", ReadOn: "2026-11-25",
			Check:               "Check your local law before you rely on this.",
			WrittenEstimateOver: "100", Consent: Consent{Shape: GreaterOfCapped, Amount: "10", Percent: "10", Cap: "50"},
			RecordMustName:   []Field{Date, Time, Person, How, NumberOrAddress, AddedParts, AddedLabour, RevisedTotal},
			ShopSuppliesLine: SuppliesExplained, InvoiceMustShow: []string{"each part with its price and condition"},
			EstimateMustState: []Charge{Teardown, Reassembly, Storage}, KeepRecordsYears: 1,
		},
		Record: &Record{Date: "2027-03-09", Time: "14:20", Person: "M. Hollis", How: "telephone",
			AddedParts: "one captive nut with cage", AddedLabour: "0.75 h welder", RevisedTotal: "975.50"},
	}
}
