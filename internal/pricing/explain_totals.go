package pricing

import (
	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// ExplainTotal opens one of the totals by its name in JSON: line_total,
// discount_total, charge_total, tax_basis_total, tax_total, grand_total,
// prepaid, due, deposit, and for the owner margin. An unknown name is a
// fault.NotFound "unknown-total".
func (r Result) ExplainTotal(name string) (Explanation, error) {
	if name == "margin" {
		return explainMargin(r), nil
	}
	return r.ClientView().ExplainTotal(name)
}

// ExplainTotal opens one of the totals that the client sees; see Result.ExplainTotal.
func (v ClientResult) ExplainTotal(name string) (Explanation, error) {
	t, e := v.Totals, Explanation{Figure: name, Inputs: []Given{}}
	switch name {
	case "line_total":
		e.about("Lines", "the nets of all lines, by phase, added up", "EN 16931-1, BR-CO-10 (BT-106)")
		for _, p := range v.Phases {
			e.add(p.Name, p.Net)
		}
		e.add("lines outside the phases", v.DocumentLines.Net)
		e.result(t.LineTotal)
	case "discount_total":
		v.explainAdjustments(&e, Discount, t.DiscountTotal, "EN 16931-1, BR-CO-11 (BT-107)")
	case "charge_total":
		v.explainAdjustments(&e, Charge, t.ChargeTotal, "EN 16931-1, BR-CO-12 (BT-108)")
	case "tax_basis_total":
		e.about("Total without tax", "lines less discounts plus charges", "EN 16931-1, BR-CO-13 (BT-109)")
		e.add("lines", t.LineTotal)
		e.add("discounts", t.DiscountTotal)
		e.add("charges", t.ChargeTotal)
		e.result(t.TaxBasisTotal)
	case "tax_total":
		v.explainTax(&e)
	case "grand_total":
		e.about("Total with tax", "total without tax plus tax", "EN 16931-1, BR-CO-15 (BT-112)")
		e.add("total without tax", t.TaxBasisTotal)
		e.add("tax", t.TaxTotal)
		e.result(t.GrandTotal)
	case "prepaid":
		e.about("Paid already", "as recorded", "EN 16931-1, BT-113")
		e.result(t.Prepaid)
	case "due":
		e.about("Amount due", "total with tax less what is paid already", "EN 16931-1, BR-CO-16 (BT-115)")
		e.add("total with tax", t.GrandTotal)
		e.add("paid already", t.Prepaid)
		e.result(t.Due)
	case "deposit":
		return v.explainDeposit(e)
	default:
		return Explanation{}, fault.New(fault.NotFound, "unknown-total", "there is no total of this name")
	}
	return e, nil
}

func (e *Explanation) about(title, formula, source string) {
	e.Title, e.Formula, e.Source = title, formula, source
}

func (e *Explanation) result(a money.Amount) { e.step(e.Formula, a.String()) }

func (v ClientResult) explainAdjustments(e *Explanation, kind AdjustmentKind, total money.Amount, source string) {
	e.about("Document "+string(kind)+"s", "the "+string(kind)+"s on the whole document, each rounded once, added up", source)
	for _, a := range v.Adjustments {
		if a.Kind == kind {
			e.add(a.Reason, a.Amount)
		}
	}
	e.result(total)
}

func (v ClientResult) explainTax(e *Explanation) {
	e.about("Tax", "for each rate: the base times the rate, rounded once; added up", taxSource)
	if v.TaxBasis == PerLine {
		e.Formula = "for each line, discount and charge: its net times its rate, rounded; added up"
	}
	for _, row := range v.Taxes {
		e.add("base at "+row.Percent+" %", row.Base)
		e.step("tax at "+row.Percent+" %", row.Tax.String())
	}
	e.result(v.Totals.TaxTotal)
}

func (v ClientResult) explainDeposit(e Explanation) (Explanation, error) {
	if v.Deposit == nil {
		return Explanation{}, fault.New(fault.NotFound, "unknown-total", "this price asks for no deposit")
	}
	e.about("Deposit", "an amount as agreed", "the shop's terms")
	if v.Deposit.Percent != "" {
		e.Formula = "total with tax times the percent, rounded"
		e.add("total with tax", v.Totals.GrandTotal)
		e.given("deposit", v.Deposit.Percent, "%")
	}
	e.result(v.Deposit.Amount)
	return e, nil
}

func explainMargin(r Result) Explanation {
	e := Explanation{Figure: "margin"}
	e.about("Margin", "total without tax, less the net of lines without a known cost, less cost", "arithmetic")
	e.add("total without tax", r.Totals.TaxBasisTotal)
	e.add("lines without a known cost", r.Margin.Uncosted)
	e.add("cost", r.Margin.Cost)
	e.result(r.Margin.Amount)
	return e
}
