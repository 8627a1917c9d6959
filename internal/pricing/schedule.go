package pricing

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// readSchedule checks deposit and draws as far as they need no prices.
func (d *document) readSchedule() {
	if in := d.in.Deposit; in != nil {
		d.deposit = d.portion("/deposit", in.Percent, in.Amount)
	}
	sum := decimal.Decimal{}
	ids, phases := map[string]bool{}, map[string]bool{}
	for i, in := range d.in.Draws {
		at := fmt.Sprintf("/draws/%d", i)
		d.text(at, "/name", in.Name)
		if d.id(at, "/id", in.ID) && ids[in.ID] {
			d.faults.Add(at+"/id", "another draw has this id")
		}
		ids[in.ID] = true
		d.readDrawPhase(at, in, phases)
		if in.Percent != "" {
			p := d.percent(at, "/percent", in.Percent, maxPercent)
			sum, d.drawPercents = sum.Add(p), append(d.drawPercents, p)
		}
	}
	switch n := len(d.drawPercents); {
	case n == 0:
	case n < len(d.in.Draws):
		d.faults.Add("/draws", "give every draw a percent, or none")
	case !sum.Equal(hundred):
		d.faults.Add("/draws", "the percents of the draws add up to %s and must add up to 100", sum)
	}
}

// readDrawPhase checks the phase of a draw. Several draws with percents may
// wait for one phase; but a phase's price can be followed only once.
func (d *document) readDrawPhase(at string, in Draw, followed map[string]bool) {
	if in.PhaseID == "" {
		if in.Percent == "" {
			d.faults.Add(at, "give a percent of the balance, or a phase whose price it follows")
		}
		return
	}
	if _, ok := d.phases[in.PhaseID]; !ok {
		d.faults.Add(at+"/phase_id", "there is no such phase")
	}
	if in.Percent == "" && followed[in.PhaseID] {
		d.faults.Add(at+"/phase_id", "another draw follows the price of this phase")
	}
	followed[in.PhaseID] = followed[in.PhaseID] || in.Percent == ""
}

// schedule works out the deposit and divides the balance over the draws.
func (d *document) schedule(r *Result) {
	balance := r.Totals.GrandTotal
	if d.in.Deposit != nil {
		balance = d.takeDeposit(r)
	}
	r.Draws = make([]DrawResult, len(d.in.Draws))
	parts := d.drawParts(r, balance)
	for i, in := range d.in.Draws {
		r.Draws[i] = DrawResult{ID: in.ID, Name: in.Name, Percent: in.Percent, PhaseID: in.PhaseID, Amount: d.zero()}
		if parts != nil {
			r.Draws[i].Amount = parts[i]
		}
	}
}

// takeDeposit works out the deposit and returns the balance that it leaves. A
// total below zero has no deposit.
func (d *document) takeDeposit(r *Result) money.Amount {
	base := r.Totals.GrandTotal
	if base.Sign() < 0 {
		base = d.zero()
	}
	amount := d.deposit.of(base)
	if amount.Decimal().GreaterThan(base.Decimal()) {
		d.faults.Add("/deposit/amount", "the deposit is larger than the grand total of %s", r.Totals.GrandTotal)
	}
	r.Deposit = &DepositResult{Percent: d.in.Deposit.Percent, Amount: amount}
	return minus(r.Totals.GrandTotal, amount)
}

// drawParts divides the balance; nil means that there is nothing to divide.
func (d *document) drawParts(r *Result, balance money.Amount) []money.Amount {
	if balance.IsZero() || len(d.in.Draws) == 0 {
		return nil
	}
	weights := d.drawPercents
	if len(weights) == 0 {
		for _, in := range d.in.Draws {
			net := r.Phases[d.phases[in.PhaseID]].Net.Decimal()
			weights = append(weights, decimal.Max(decimal.Decimal{}, net))
		}
	}
	parts, err := balance.AllocateBy(weights)
	if err != nil {
		d.faults.Add("/draws", "the phases of the draws have no price by which to divide the balance")
	}
	return parts
}
