package app

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// Names of priced lines: what is labour of a task, what is a line of its own.
const (
	labourOf = "task:"
	lineOf   = "line:"
)

// priceOf prices an estimate: one labour line for each task with hours, at
// their mean, then the estimate's own lines, phase by phase.
func priceOf(currency string, basis domain.PriceBasis, e domain.Estimate) (pricing.Result, error) {
	return pricing.Calculate(priceInput(currency, basis, e))
}

// priceInput is what an estimate is priced from.
func priceInput(currency string, basis domain.PriceBasis, e domain.Estimate) pricing.Input {
	in := pricing.Input{Currency: currency, TaxBasis: basis.TaxBasis}
	for _, r := range basis.TaxRates {
		in.TaxRates = append(in.TaxRates, pricing.TaxRate{Class: r.Class, Percent: r.Percent.String()})
	}
	for _, p := range e.Phases {
		in.Phases = append(in.Phases, pricing.Phase{ID: p.ID, Name: p.Name})
	}
	book := domain.PriceBook{Labour: basis.Labour}
	for _, t := range e.Tasks {
		if line, ok := labourLine(book, t); ok {
			in.Lines = append(in.Lines, line)
		}
	}
	for _, l := range e.Lines {
		in.Lines = append(in.Lines, materialLine(l))
	}
	return in
}

func labourLine(book domain.PriceBook, t domain.Task) (pricing.Line, bool) {
	hours := t.Hours.Mean()
	if !hours.IsPositive() || t.Skill == "" {
		return pricing.Line{}, false
	}
	rate, _ := book.Rate(t.Skill)
	return pricing.Line{
		ID: labourOf + t.ID, PhaseID: t.PhaseID, TaskID: t.ID, Kind: pricing.Labour, Description: t.Name,
		Quantity: hours.StringFixed(2), Unit: "h", UnitCost: rate.CostRate.String(), UnitPrice: rate.SellRate.String(), TaxClass: t.TaxClass,
	}, true
}

func materialLine(l domain.Line) pricing.Line {
	line := pricing.Line{
		ID: lineOf + l.ID, PhaseID: l.PhaseID, TaskID: l.TaskID, Kind: l.Kind, Description: l.Description,
		Quantity: l.Quantity.String(), Unit: l.Unit, UnitCost: l.UnitCost.String(), TaxClass: l.TaxClass,
	}
	if l.DiscountPercent.IsPositive() {
		line.DiscountPercent = l.DiscountPercent.String()
	}
	if l.Kind == pricing.Material && l.WastePercent.IsPositive() {
		line.WastePercent = l.WastePercent.String()
	}
	if (l.Kind == pricing.Material || l.Kind == pricing.Sublet) && l.MarkupPercent.IsPositive() {
		line.MarkupPercent = l.MarkupPercent.String()
	}
	return line
}

// drawsOf divides a total into the deposit and the draws of a basis, by
// largest remainder, so that they add up to it exactly.
func drawsOf(total money.Amount, basis domain.PriceBasis) ([]domain.OfferDraw, error) {
	rules := append([]domain.DrawRule{{Name: "Deposit on acceptance", Percent: basis.Deposit, Due: domain.GateAcceptance}}, basis.Draws...)
	weights := make([]decimal.Decimal, len(rules))
	for i, r := range rules {
		weights[i] = r.Percent
	}
	shares, err := total.AllocateBy(weights)
	if err != nil {
		return nil, err
	}
	out := make([]domain.OfferDraw, 0, len(rules))
	for i, r := range rules {
		if r.Percent.IsPositive() {
			out = append(out, domain.OfferDraw{Name: r.Name, Percent: r.Percent.String(), Amount: shares[i].String(), Due: r.Due, Phase: r.Phase, DaysToPay: r.DaysToPay})
		}
	}
	return out, nil
}
