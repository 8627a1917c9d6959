package pricing

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// classSums is what falls on each tax class.
type classSums map[TaxClass]*ClassResult

// readAdjustments checks what can be judged without the prices of the lines.
func (d *document) readAdjustments() {
	d.adjusts = make([]portion, len(d.in.Adjustments))
	seen := map[string]bool{}
	for i, in := range d.in.Adjustments {
		at := fmt.Sprintf("/adjustments/%d", i)
		if d.id(at, "/id", in.ID) && seen[in.ID] {
			d.faults.Add(at+"/id", "another adjustment has this id")
		}
		seen[in.ID] = true
		d.text(at, "/reason", in.Reason)
		if in.Kind != Discount && in.Kind != Charge {
			d.faults.Add(at+"/kind", `the kind is "discount" or "charge"`)
		}
		if in.TaxClass != "" {
			d.class(at, "/tax_class", in.TaxClass)
		}
		d.adjusts[i] = d.portion(at, in.Percent, in.Amount)
	}
}

// adjust works out the document's discounts and charges and how they fall on
// the tax classes.
func (d *document) adjust(r *Result) classSums {
	sums := classSums{}
	for i := range r.Lines {
		c := d.classSum(sums, r.Lines[i].TaxClass)
		c.Lines = plus(c.Lines, r.Lines[i].Net)
	}
	r.Adjustments = make([]AdjustmentResult, len(d.in.Adjustments))
	for i, in := range d.in.Adjustments {
		r.Adjustments[i] = d.adjustment(fmt.Sprintf("/adjustments/%d", i), in, d.adjusts[i], sums)
	}
	for _, class := range TaxClasses() {
		if c := sums[class]; c != nil {
			c.Base = plus(minus(c.Lines, c.Discounts), c.Charges)
			r.Classes = append(r.Classes, *c)
		}
	}
	if r.Classes == nil {
		r.Classes = []ClassResult{}
	}
	return sums
}

// classSum returns the sums of a class, made on first use.
func (d *document) classSum(sums classSums, class TaxClass) *ClassResult {
	if sums[class] == nil {
		sums[class] = &ClassResult{TaxClass: class, Percent: d.rates[class].String(),
			Lines: d.zero(), Discounts: d.zero(), Charges: d.zero()}
	}
	return sums[class]
}

func (d *document) adjustment(at string, in Adjustment, p portion, sums classSums) AdjustmentResult {
	out := AdjustmentResult{ID: in.ID, Kind: in.Kind, Reason: in.Reason, Percent: in.Percent,
		Base: d.adjustmentBase(in, sums), Shares: []ClassShare{}}
	out.Amount = p.of(out.Base)
	if in.Kind == Discount && out.Amount.Decimal().GreaterThan(out.Base.Decimal()) {
		d.faults.Add(at, "the discount is larger than the %s that it is taken from", out.Base)
		return out
	}
	for _, share := range d.shares(at, in.TaxClass, out.Amount, sums) {
		d.land(at, in.Kind, share, sums)
		if d.in.TaxBasis == PerLine {
			share.Tax = taxOn(share.Amount, d.rates[share.TaxClass])
		}
		out.Shares = append(out.Shares, share)
	}
	return out
}

// adjustmentBase is the net that an adjustment is of, not below zero.
func (d *document) adjustmentBase(in Adjustment, sums classSums) money.Amount {
	base := d.zero()
	if in.TaxClass != "" {
		if c := sums[in.TaxClass]; c != nil {
			base = c.Lines
		}
	} else {
		for _, c := range sums {
			base = plus(base, c.Lines)
		}
	}
	if base.Sign() < 0 {
		return d.zero()
	}
	return base
}

// shares divides an adjustment over the tax classes: all on the class it names,
// or by largest remainder in proportion to the line nets that are above zero.
func (d *document) shares(at string, class TaxClass, amount money.Amount, sums classSums) []ClassShare {
	if amount.IsZero() {
		return nil
	}
	if class != "" {
		return []ClassShare{{TaxClass: class, Amount: amount}}
	}
	var shares []ClassShare
	var weights []decimal.Decimal
	for _, c := range TaxClasses() {
		if s := sums[c]; s != nil && s.Lines.Sign() > 0 {
			shares = append(shares, ClassShare{TaxClass: c})
			weights = append(weights, s.Lines.Decimal())
		}
	}
	parts, err := amount.AllocateBy(weights)
	if err != nil {
		d.faults.Add(at+"/tax_class", "name a tax class, because there is no line to divide this over")
		return nil
	}
	for i := range shares {
		shares[i].Amount = parts[i]
	}
	return shares
}

// land adds a share to its class and refuses discounts beyond the class's lines.
func (d *document) land(at string, kind AdjustmentKind, share ClassShare, sums classSums) {
	c := d.classSum(sums, share.TaxClass)
	if kind == Charge {
		c.Charges = plus(c.Charges, share.Amount)
		return
	}
	c.Discounts = plus(c.Discounts, share.Amount)
	if c.Discounts.Decimal().GreaterThan(c.Lines.Decimal()) {
		d.faults.Add(at, "the discounts together are larger than the lines of the tax class %s", share.TaxClass)
	}
}
