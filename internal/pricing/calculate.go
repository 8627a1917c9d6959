package pricing

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// Calculate prices a document. All faults of the input come back at once as one
// fault.Invalid "pricing-input" with a JSON pointer into Input for each.
// O(lines), and for each reserve that is carried
// once more over the lines; equal inputs give equal results.
func Calculate(in Input) (Result, error) {
	d := read(in)
	if err := d.faults.Err(code); err != nil {
		return Result{}, err
	}
	r := Result{Currency: d.currency, TaxBasis: in.TaxBasis, Lines: d.taken, NotTaken: d.left}
	d.priceOptions(&r)
	d.subtotal(&r)
	sums := d.adjust(&r)
	d.tax(&r, sums)
	d.total(&r)
	d.schedule(&r)
	if err := d.faults.Err(code); err != nil {
		return Result{}, err
	}
	return r, nil
}

// code is the fault code of a refused input.
const code = "pricing-input"

// document is an input that has been read, with the faults found in it.
type document struct {
	in           Input
	currency     money.Currency
	rates        map[TaxClass]decimal.Decimal
	rateText     map[TaxClass]string
	phases       map[string]int // index in in.Phases
	lines        []*LineResult  // one for each of in.Lines, in taken or left
	taken, left  []LineResult   // in input order
	adjusts      []portion      // one for each of in.Adjustments
	deposit      portion
	drawPercents []decimal.Decimal // percent of each draw; empty: the draws follow their phases
	prepaid      money.Amount
	faults       faults
}

// subtotal adds the lines up by phase and lists the reserve.
func (d *document) subtotal(r *Result) {
	phases := make([]PhaseResult, len(d.in.Phases))
	for i, p := range d.in.Phases {
		phases[i] = PhaseResult{ID: p.ID, Name: p.Name, Net: d.zero(), Margin: d.noMargin()}
	}
	r.DocumentLines = PhaseResult{Net: d.zero(), Margin: d.noMargin()}
	r.Reserve = ReserveResult{Net: d.zero(), LineIDs: []string{}}
	for i := range r.Lines {
		line := &r.Lines[i]
		if line.PhaseID == "" {
			r.DocumentLines.count(line)
		} else {
			phases[d.phases[line.PhaseID]].count(line)
		}
		if line.Kind == Reserve {
			r.Reserve.Net = plus(r.Reserve.Net, line.Net)
			r.Reserve.LineIDs = append(r.Reserve.LineIDs, line.ID)
		}
	}
	r.DocumentLines.close(r.DocumentLines.Net)
	for i := range phases {
		phases[i].close(phases[i].Net)
	}
	r.Phases = phases
}

// count adds a line to a subtotal.
func (p *PhaseResult) count(line *LineResult) {
	p.Net = plus(p.Net, line.Net)
	if line.Cost == nil {
		p.Uncosted = plus(p.Uncosted, line.Net)
	} else {
		p.Cost = plus(p.Cost, *line.Cost)
	}
}

// close derives the margin on net from cost and uncosted.
func (m *Margin) close(net money.Amount) {
	costed := minus(net, m.Uncosted)
	m.Amount = minus(costed, m.Cost)
	if costed.Sign() > 0 {
		m.Percent = m.Amount.Decimal().Shift(2).DivRound(costed.Decimal(), 1).StringFixed(1)
	}
}

// total fills in the totals of EN 16931-1 and the margin on the document.
func (d *document) total(r *Result) {
	t := Totals{LineTotal: r.DocumentLines.Net, DiscountTotal: d.zero(), ChargeTotal: d.zero(),
		TaxTotal: d.zero(), Prepaid: d.prepaid}
	r.Margin = Margin{Cost: r.DocumentLines.Cost, Uncosted: r.DocumentLines.Uncosted}
	for _, p := range r.Phases {
		t.LineTotal = plus(t.LineTotal, p.Net) // BR-CO-10
		r.Margin.Cost = plus(r.Margin.Cost, p.Cost)
		r.Margin.Uncosted = plus(r.Margin.Uncosted, p.Uncosted)
	}
	for _, a := range r.Adjustments {
		if a.Kind == Discount {
			t.DiscountTotal = plus(t.DiscountTotal, a.Amount) // BR-CO-11
		} else {
			t.ChargeTotal = plus(t.ChargeTotal, a.Amount) // BR-CO-12
		}
	}
	t.TaxBasisTotal = plus(minus(t.LineTotal, t.DiscountTotal), t.ChargeTotal) // BR-CO-13
	for _, rate := range r.Taxes {
		t.TaxTotal = plus(t.TaxTotal, rate.Tax) // BR-CO-14
	}
	t.GrandTotal = plus(t.TaxBasisTotal, t.TaxTotal) // BR-CO-15
	t.Due = minus(t.GrandTotal, t.Prepaid)           // BR-CO-16
	r.Totals = t
	r.Margin.close(t.TaxBasisTotal)
	if !t.GrandTotal.Fits() || !t.TaxBasisTotal.Fits() {
		d.faults.Add("/lines", "the total is beyond %d digits", money.MaxIntegerDigits)
	}
}

func (d *document) zero() money.Amount { return money.Zero(d.currency) }

func (d *document) noMargin() Margin {
	return Margin{Cost: d.zero(), Uncosted: d.zero(), Amount: d.zero()}
}

// plus adds amounts of one document, which are all made in its currency.
func plus(a, b money.Amount) money.Amount {
	sum, err := a.Add(b)
	if err != nil {
		panic("pricing: one document in two currencies: " + err.Error())
	}
	return sum
}

func minus(a, b money.Amount) money.Amount {
	difference, err := a.Sub(b)
	if err != nil {
		panic("pricing: one document in two currencies: " + err.Error())
	}
	return difference
}
