package pricing

import (
	"fmt"

	"bareframe/internal/money"
)

// chain sums amounts and remembers the first sum that does not tie.
type chain struct{ err error }

// tie notes an error unless parts add up to whole exactly.
func (c *chain) tie(what string, whole money.Amount, parts ...money.Amount) {
	sum, err := money.Sum(whole.Currency(), parts...)
	if c.err == nil && (err != nil || !sum.Equal(whole)) {
		c.err = fmt.Errorf("pricing: %s is %s and its parts add up to %s", what, whole, sum)
	}
}

// Ties walks the chain line to phase to document to tax to draws and returns
// nil when every sum is exact, or an error that names the first that is not. It
// adds up what the result says and shares no sum with Calculate. O(lines).
func (r Result) Ties() error {
	c := &chain{}
	nets := map[string][]money.Amount{}
	var all []money.Amount
	for _, l := range r.Lines {
		c.tie("net of line "+l.ID, l.Net, l.Gross, l.Discount.Neg())
		nets[l.PhaseID] = append(nets[l.PhaseID], l.Net)
		all = append(all, l.Net)
	}
	phases := []money.Amount{r.DocumentLines.Net}
	c.tie("subtotal of document lines", r.DocumentLines.Net, nets[""]...)
	for _, p := range r.Phases {
		c.tie("subtotal of phase "+p.ID, p.Net, nets[p.ID]...)
		c.tie("margin of phase "+p.ID, p.Amount, p.Net, p.Cost.Neg(), p.Uncosted.Neg())
		phases = append(phases, p.Net)
	}
	c.tie("line total by phase", r.Totals.LineTotal, phases...)
	c.tie("line total by line", r.Totals.LineTotal, all...)
	c.adjustments(r.Adjustments, r.Totals)
	c.classes(r)
	c.document(r.Taxes, r.Totals, r.Deposit, r.Draws)
	c.tie("margin", r.Margin.Amount, r.Totals.TaxBasisTotal, r.Margin.Cost.Neg(), r.Margin.Uncosted.Neg())
	return c.err
}

// Ties does for the client's view what Result.Ties does for the owner's, and
// compares its totals and subtotals with the owner's.
func (v ClientResult) Ties(owner Result) error {
	c := &chain{}
	nets, taxes := map[string][]money.Amount{}, []money.Amount{}
	for _, l := range v.Lines {
		c.tie("net of the client's line "+l.ID, l.Net, l.Gross, l.Discount.Neg())
		nets[l.PhaseID] = append(nets[l.PhaseID], l.Net)
		if l.Tax != nil {
			taxes = append(taxes, *l.Tax)
		}
	}
	c.tie("the client's document lines", owner.DocumentLines.Net, nets[""]...)
	c.tie("the client's subtotal of document lines", owner.DocumentLines.Net, v.DocumentLines.Net)
	if len(v.Phases) != len(owner.Phases) {
		return fmt.Errorf("pricing: the client sees %d phases and the owner %d", len(v.Phases), len(owner.Phases))
	}
	for i, p := range v.Phases {
		c.tie("the client's lines of phase "+p.ID, p.Net, nets[p.ID]...)
		c.tie("the owner's subtotal of phase "+p.ID, owner.Phases[i].Net, p.Net)
	}
	if v.TaxBasis == PerLine {
		c.tie("the client's tax per line", v.Totals.TaxTotal, append(taxes, adjustmentTaxes(v.Adjustments)...)...)
	}
	c.tie("the client's grand total", owner.Totals.GrandTotal, v.Totals.GrandTotal)
	c.tie("the client's amount due", owner.Totals.Due, v.Totals.Due)
	c.adjustments(v.Adjustments, v.Totals)
	c.document(v.Taxes, v.Totals, v.Deposit, v.Draws)
	return c.err
}

// adjustmentTaxes lists the taxes of charges, and those of discounts negated.
func adjustmentTaxes(adjustments []AdjustmentResult) []money.Amount {
	var taxes []money.Amount
	for _, a := range adjustments {
		for _, s := range a.Shares {
			switch {
			case s.Tax == nil:
			case a.Kind == Discount:
				taxes = append(taxes, s.Tax.Neg())
			default:
				taxes = append(taxes, *s.Tax)
			}
		}
	}
	return taxes
}

func (c *chain) adjustments(adjustments []AdjustmentResult, t Totals) {
	sums := map[AdjustmentKind][]money.Amount{}
	for _, a := range adjustments {
		var parts []money.Amount
		for _, s := range a.Shares {
			parts = append(parts, s.Amount)
		}
		c.tie("adjustment "+a.ID, a.Amount, parts...)
		sums[a.Kind] = append(sums[a.Kind], a.Amount)
	}
	c.tie("discounts", t.DiscountTotal, sums[Discount]...)
	c.tie("charges", t.ChargeTotal, sums[Charge]...)
}

func (c *chain) classes(r Result) {
	lines := map[TaxClass][]money.Amount{}
	for _, l := range r.Lines {
		lines[l.TaxClass] = append(lines[l.TaxClass], l.Net)
	}
	bases := map[TaxClass]money.Amount{}
	for _, k := range r.Classes {
		c.tie("lines of tax class "+string(k.TaxClass), k.Lines, lines[k.TaxClass]...)
		c.tie("base of tax class "+string(k.TaxClass), k.Base, k.Lines, k.Discounts.Neg(), k.Charges)
		bases[k.TaxClass] = k.Base
	}
	for _, row := range r.Taxes {
		var parts []money.Amount
		for _, class := range row.Classes {
			parts = append(parts, bases[class])
		}
		c.tie("base at "+row.Percent+" %", row.Base, parts...)
	}
}

func (c *chain) document(taxes []TaxResult, t Totals, deposit *DepositResult, draws []DrawResult) {
	var bases, amounts []money.Amount
	for _, row := range taxes {
		bases, amounts = append(bases, row.Base), append(amounts, row.Tax)
	}
	c.tie("total without tax by rate", t.TaxBasisTotal, bases...)
	c.tie("total without tax", t.TaxBasisTotal, t.LineTotal, t.DiscountTotal.Neg(), t.ChargeTotal)
	c.tie("tax", t.TaxTotal, amounts...)
	c.tie("grand total", t.GrandTotal, t.TaxBasisTotal, t.TaxTotal)
	c.tie("amount due", t.Due, t.GrandTotal, t.Prepaid.Neg())
	if len(draws) == 0 {
		return
	}
	paid := []money.Amount{}
	if deposit != nil {
		paid = append(paid, deposit.Amount)
	}
	for _, d := range draws {
		paid = append(paid, d.Amount)
	}
	c.tie("deposit and draws", t.GrandTotal, paid...)
}
