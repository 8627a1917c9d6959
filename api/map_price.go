package api

import (
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

func priceView(p app.JobPage) PriceView {
	t := p.Price.Totals
	labour, material, sublet, other := netsByKind(p.Price)
	v := PriceView{
		Currency: p.Job.Currency, Confidence: ConfidenceNotComputed,
		Net: t.TaxBasisTotal.String(), Tax: t.TaxTotal.String(), Total: t.GrandTotal.String(),
		Taxes: each(p.Price.Taxes, func(x pricing.TaxResult) TaxLine {
			return TaxLine{Percent: x.Percent, Base: x.Base.String(), Tax: x.Tax.String()}
		}),
		Draws: each(p.Draws, drawView),
		Cost:  p.Price.Margin.Cost.String(), Margin: p.Price.Margin.Amount.String(), MarginPercent: p.Price.Margin.Percent,
		LabourNet: labour.String(), MaterialNet: material.String(), SubletNet: sublet.String(), OtherNet: other.String(),
	}
	if v.MarginPercent == "" {
		v.MarginPercent = "0"
	}
	return v
}

// netsByKind adds up the nets of the lines by kind. Each is a whole number of
// minor units already, so that nothing is rounded here.
func netsByKind(r pricing.Result) (labour, material, sublet, other money.Amount) {
	sums := map[pricing.Kind]decimal.Decimal{}
	for _, l := range r.Lines {
		kind := l.Kind
		switch kind {
		case pricing.Labour, pricing.Material, pricing.Sublet:
		default:
			kind = ""
		}
		sums[kind] = sums[kind].Add(l.Net.Decimal())
	}
	of := func(kind pricing.Kind) money.Amount { return money.Round(sums[kind], r.Currency) }
	return of(pricing.Labour), of(pricing.Material), of(pricing.Sublet), of("")
}

// priceExplanation lays inputs and steps out as one list whose last item is the
// figure, with the formula and where its rule comes from.
func priceExplanation(e pricing.Explanation) PriceExplanation {
	out := PriceExplanation{Title: e.Title, Steps: []ExplainedStep{}}
	for _, g := range e.Inputs {
		out.Steps = append(out.Steps, ExplainedStep{Name: g.Name, Words: "as given", Value: strings.TrimSpace(g.Value + " " + g.Unit)})
	}
	for i, s := range e.Steps {
		name, words, _ := strings.Cut(s.Words, ": ")
		if i == len(e.Steps)-1 {
			words = e.Formula + ". Rule: " + e.Source + "."
		}
		out.Steps = append(out.Steps, ExplainedStep{Name: name, Words: words, Value: s.Value})
	}
	return out
}
