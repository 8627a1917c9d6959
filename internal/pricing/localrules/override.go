package localrules

import "slices"

// Overrides are a shop's own values in place of those of a rule set. What is
// nil stays as the rule set has it. A list that is set replaces the whole list.
type Overrides struct {
	WrittenEstimateOver *string       `json:"written_estimate_over,omitempty"`
	Shape               *Shape        `json:"shape,omitempty"`
	Amount              *string       `json:"amount,omitempty"`
	Percent             *string       `json:"percent,omitempty"`
	Cap                 *string       `json:"cap,omitempty"`
	RecordMustName      *[]Field      `json:"record_must_name,omitempty"`
	ShopSuppliesLine    *SuppliesLine `json:"shop_supplies_line,omitempty"`
	InvoiceMustShow     *[]string     `json:"invoice_must_show,omitempty"`
	EstimateMustState   *[]Charge     `json:"estimate_must_state,omitempty"`
	KeepRecordsYears    *int          `json:"keep_records_years,omitempty"`
	// Note says why, and on whose advice; it is added to the rule set's note.
	Note string `json:"note,omitempty"`
}

// With returns r with the shop's own values in it; r itself is not changed. The
// members that were set are named in Overridden. A shape that needs no amount,
// percent or cap drops what r had of them. Errors are those of Validate on the
// merged rule set.
func With(r RuleSet, o Overrides) (RuleSet, error) {
	r.Overridden = slices.Clone(r.Overridden)
	if o.Shape != nil && *o.Shape != r.Consent.Shape {
		r.Consent = r.Consent.reshaped(*o.Shape)
		r.Overridden = note(r.Overridden, "consent.shape")
	}
	set(&r, "written_estimate_over", &r.WrittenEstimateOver, o.WrittenEstimateOver)
	set(&r, "consent.amount", &r.Consent.Amount, o.Amount)
	set(&r, "consent.percent", &r.Consent.Percent, o.Percent)
	set(&r, "consent.cap", &r.Consent.Cap, o.Cap)
	set(&r, "record_must_name", &r.RecordMustName, copied(o.RecordMustName))
	set(&r, "shop_supplies_line", &r.ShopSuppliesLine, o.ShopSuppliesLine)
	set(&r, "invoice_must_show", &r.InvoiceMustShow, copied(o.InvoiceMustShow))
	set(&r, "estimate_must_state", &r.EstimateMustState, copied(o.EstimateMustState))
	set(&r, "keep_records_years", &r.KeepRecordsYears, o.KeepRecordsYears)
	if o.Note != "" && r.Note != "" {
		r.Note += " "
	}
	r.Note += o.Note
	return r, r.Validate()
}

// reshaped keeps the numbers that the new shape uses.
func (c Consent) reshaped(to Shape) Consent {
	switch to {
	case NoneOver:
		return Consent{Shape: to}
	case Percent:
		return Consent{Shape: to, Percent: c.Percent}
	case LesserOf:
		return Consent{Shape: to, Amount: c.Amount, Percent: c.Percent}
	}
	c.Shape = to
	return c
}

func set[T any](r *RuleSet, name string, place, value *T) {
	if value != nil {
		*place = *value
		r.Overridden = note(r.Overridden, name)
	}
}

func note(names []string, name string) []string {
	if slices.Contains(names, name) {
		return names
	}
	return append(names, name)
}

func copied[T any](list *[]T) *[]T {
	if list == nil {
		return nil
	}
	c := slices.Clone(*list)
	return &c
}
