package app

import (
	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/paper"
	"bareframe/internal/pricing"
)

// workbookData is a priced estimate as the data of a workbook. In the client's
// edition the lines are those of the client's view: reserves that others carry
// are spread over them, and such a line is a stated sum.
func workbookData(in pricing.Input, r pricing.Result, e Edition) paper.WorkbookData {
	t := r.Totals
	d := paper.WorkbookData{Currency: in.Currency, TaxPerLine: in.TaxBasis == pricing.PerLine,
		LineTotal: t.LineTotal, TaxTotal: t.TaxTotal, Total: t.GrandTotal, Prepaid: t.Prepaid, Due: t.Due}
	for _, rate := range in.TaxRates {
		if rate.Class != pricing.Exempt {
			d.Classes = append(d.Classes, paper.WorkbookClass{Name: string(rate.Class), Percent: rate.Percent})
		}
	}
	d.Classes = append(d.Classes, paper.WorkbookClass{Name: string(pricing.Exempt), Exempt: true})
	places := map[string]int{}
	for i, p := range in.Phases {
		d.Phases, places[p.ID] = append(d.Phases, p.Name), i+1
	}
	for _, x := range r.Taxes {
		d.Taxes = append(d.Taxes, paper.WorkbookTax{Percent: x.Percent, Exempt: x.Exempt, Base: x.Base, Tax: x.Tax})
	}
	if e == ForOwner {
		d.Lines = ownersLines(in, r, places)
	} else {
		d.Lines = clientsLines(in, r, places)
	}
	return d
}

func ownersLines(in pricing.Input, r pricing.Result, places map[string]int) []paper.WorkbookLine {
	asked := askedFor(in)
	out := make([]paper.WorkbookLine, 0, len(r.Lines))
	for _, l := range r.Lines {
		line := workbookLine(asked[l.ID], places)
		line.Net, line.Tax, line.Cost = l.Net, l.Tax, l.Cost
		out = append(out, line)
	}
	return out
}

// clientsLines name no cost at all, only the quantity billed and the price of a unit.
func clientsLines(in pricing.Input, r pricing.Result, places map[string]int) []paper.WorkbookLine {
	asked, view := askedFor(in), r.ClientView()
	out := make([]paper.WorkbookLine, 0, len(view.Lines))
	for _, l := range view.Lines {
		line := workbookLine(asked[l.ID], places)
		line.UnitCost, line.MarkupPercent, line.WastePercent = "", "", ""
		line.Quantity, line.UnitPrice, line.Net, line.Tax = l.Quantity, l.UnitPrice, l.Net, l.Tax
		if l.UnitPrice == "" {
			line.DiscountPercent, line.DiscountAmount = "", ""
		}
		out = append(out, line)
	}
	return out
}

func askedFor(in pricing.Input) map[string]pricing.Line {
	out := make(map[string]pricing.Line, len(in.Lines))
	for _, l := range in.Lines {
		out[l.ID] = l
	}
	return out
}

func workbookLine(l pricing.Line, places map[string]int) paper.WorkbookLine {
	return paper.WorkbookLine{Phase: places[l.PhaseID], Kind: string(l.Kind), Description: l.Description, Credit: l.Kind == pricing.Credit,
		Quantity: l.Quantity, Unit: l.Unit, WastePercent: l.WastePercent, UnitCost: l.UnitCost, MarkupPercent: l.MarkupPercent, UnitPrice: l.UnitPrice,
		PriceBase: l.PriceBaseQuantity, DiscountPercent: l.DiscountPercent, DiscountAmount: l.DiscountAmount, TaxClass: string(l.TaxClass)}
}

// workbookDraws are the deposit, as the first, and the draws. There are none
// where they do not come to the total, as on a job to which work was added since
// its quote: then they are sums that were agreed, and no shares of it.
func workbookDraws(draws []domain.OfferDraw, total money.Amount) ([]paper.WorkbookDraw, error) {
	sum := money.Zero(total.Currency())
	out := make([]paper.WorkbookDraw, 0, len(draws))
	for _, draw := range draws {
		amount, err := money.Parse(draw.Amount, total.Currency())
		if err != nil {
			return nil, err
		}
		if sum, err = sum.Add(amount); err != nil {
			return nil, err
		}
		out = append(out, paper.WorkbookDraw{Name: draw.Name, Percent: draw.Percent, Amount: amount})
	}
	if !sum.Equal(total) {
		return nil, nil
	}
	return out, nil
}

// takeOffPaid states what was paid on the job so far.
func takeOffPaid(r Reader, job domain.Job, d *paper.WorkbookData) error {
	payments, err := r.Payments(job.ID)
	if err != nil {
		return err
	}
	for _, p := range payments {
		if p.Void() {
			continue
		}
		if d.Prepaid, err = d.Prepaid.Add(money.Round(p.Amount, d.Total.Currency())); err != nil {
			return err
		}
	}
	d.Due, err = d.Total.Sub(d.Prepaid)
	return err
}

func workbookOptions(options []domain.OfferOption) []paper.WorkbookOption {
	out := make([]paper.WorkbookOption, 0, len(options))
	for _, o := range options {
		row := paper.WorkbookOption{Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken, Net: o.Net, Difference: o.Difference, Days: o.Days}
		for _, l := range o.Lines {
			row.Lines = append(row.Lines, paper.WorkbookOptionLine{Description: l.Description, Quantity: l.Quantity, Unit: l.Unit, Net: l.Net})
		}
		out = append(out, row)
	}
	return out
}
