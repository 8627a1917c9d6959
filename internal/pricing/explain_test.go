package pricing

import (
	"strings"
	"testing"

	"bareframe/internal/fault"
)

// Every line opens for the owner, and ends with the figure that it explains.
func TestExplainEveryLine(t *testing.T) {
	r := calculate(t, Example())
	for _, l := range append(append([]LineResult{}, r.Lines...), r.NotTaken...) {
		e, err := r.Explain(l.ID)
		if err != nil {
			t.Fatal(err)
		}
		if last := e.Steps[len(e.Steps)-1]; last.Value != l.Net.String() || e.Figure != l.ID {
			t.Errorf("%s ends with %v, want %s", l.ID, last, l.Net)
		}
		if e.Formula == "" || e.Source == "" || len(e.Inputs) == 0 {
			t.Errorf("%s lacks formula, source or inputs: %+v", l.ID, e)
		}
	}
	if _, err := r.Explain("L99"); fault.KindOf(err) != fault.NotFound {
		t.Errorf("L99: %v", err)
	}
}

func TestExplainShowsTheWay(t *testing.T) {
	e, err := calculate(t, Example()).Explain("L3")
	if err != nil {
		t.Fatal(err)
	}
	// 850 lb with 10 % waste are 935 lb; 27.40 with 25 % is 34.25; for 100 lb.
	var steps []string
	for _, s := range e.Steps {
		steps = append(steps, s.Value)
	}
	if got := strings.Join(steps, " "); got != "34.25 935 320.24 320.24" {
		t.Errorf("steps %s, want 34.25 935 320.24 320.24", got)
	}
}

func TestExplainEveryTotal(t *testing.T) {
	in := Example()
	in.Prepaid = "100.00"
	in.Adjustments = append(in.Adjustments, Adjustment{ID: "f", Kind: Charge, Reason: "Freight", Amount: "40.00", TaxClass: Part})
	for _, basis := range []TaxBasis{PerDocument, PerLine} {
		in.TaxBasis = basis
		r := calculate(t, in)
		for name, want := range map[string]string{
			"line_total": r.Totals.LineTotal.String(), "discount_total": r.Totals.DiscountTotal.String(),
			"charge_total": "40.00", "tax_basis_total": r.Totals.TaxBasisTotal.String(),
			"tax_total": r.Totals.TaxTotal.String(), "grand_total": r.Totals.GrandTotal.String(),
			"prepaid": "100.00", "due": r.Totals.Due.String(), "deposit": r.Deposit.Amount.String(),
			"margin": r.Margin.Amount.String(),
		} {
			e, err := r.ExplainTotal(name)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			if got := e.Steps[len(e.Steps)-1].Value; got != want || e.Figure != name || e.Title == "" || e.Source == "" {
				t.Errorf("%s: %+v, want %s", name, e, want)
			}
		}
		if _, err := r.ExplainTotal("luck"); fault.KindOf(err) != fault.NotFound {
			t.Errorf("luck: %v", err)
		}
	}
}
