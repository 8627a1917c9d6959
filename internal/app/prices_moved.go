package app

import (
	"context"
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// MovedPrices is what a job would cost more or less at today's price book.
type MovedPrices struct {
	AsOf       domain.Day
	Before     money.Amount // net, as the job is priced
	After      money.Amount // net, at today's prices
	Difference money.Amount
	Items      []MovedPrice // in the order of the price book
}

// MovedPrice is a row of the price book that moved since the job took its price.
type MovedPrice struct {
	Kind       domain.PriceKind
	Key        string
	Name       string
	Was        string
	Now        string // empty: the price book has no such row any more
	Percent    string // of the price of a unit, one place; empty when it was nothing
	Uses       int
	Difference money.Amount
}

// MovedPrices compares what a job is priced with and today's price book: of
// lines that were made from a row of it, the unit price with its markup; of
// labour the rates of the quote that is open or accepted. An estimate that was
// never quoted has today's rates anyhow.
func (a *App) MovedPrices(ctx context.Context, actor domain.Actor, jobID domain.ID) (out MovedPrices, err error) {
	err = a.view(ctx, actor, "getMovedPrices", func(r Reader) error {
		page, err := a.loadPage(r, jobID)
		if err != nil {
			return err
		}
		out, err = page.movedPrices()
		return err
	})
	return out, err
}

func (p JobPage) movedPrices() (MovedPrices, error) {
	out := MovedPrices{AsOf: domain.DayOf(p.AsOf, p.Shop.Zone()), Items: []MovedPrice{}}
	basis := p.pricedWith()
	was, err := priceOf(p.Job.Currency, basis, p.Estimate)
	if err != nil {
		return out, err
	}
	book := p.Shop.PricesFor(p.Job, out.AsOf)
	todays := basis
	todays.Labour = newestRates(basis.Labour, book.Labour)
	is, err := priceOf(p.Job.Currency, todays, repriced(p.Estimate, book))
	if err != nil {
		return out, err
	}
	out.Before, out.After = was.Totals.TaxBasisTotal, is.Totals.TaxBasisTotal
	if out.Difference, err = out.After.Sub(out.Before); err != nil {
		return out, err
	}
	moved, err := differences(was, is)
	if err != nil {
		return out, err
	}
	out.Items = append(p.movedRates(basis.Labour, book, moved), p.movedLines(book, moved)...)
	return out, nil
}

// pricedWith is the basis of the quote that is accepted or open, else today's.
func (p JobPage) pricedWith() domain.PriceBasis {
	if q, ok := p.OpenQuote(); ok && !p.Job.Sold() {
		return q.Basis
	}
	return basisOf(p.Shop, p.Job, p.Quotes, p.AsOf)
}

// newestRates gives each skill its rate of today; one that the book dropped
// keeps its own.
func newestRates(were, are []domain.LabourRate) []domain.LabourRate {
	today := domain.PriceBook{Labour: are}
	out := make([]domain.LabourRate, len(were))
	for i, r := range were {
		out[i] = r
		if n, ok := today.Rate(r.Skill); ok {
			out[i] = n
		}
	}
	return out
}

// repriced is the estimate with the lines that name a row of the price book at
// that row's price.
func repriced(e domain.Estimate, book domain.PriceBook) domain.Estimate {
	lines := make([]domain.Line, len(e.Lines))
	for i, l := range e.Lines {
		lines[i], _ = atPrice(l, book)
	}
	e.Lines = lines
	return e
}

// atPrice puts a line at its row's price of a book; false when it stands there
// already or has no such row.
func atPrice(l domain.Line, book domain.PriceBook) (domain.Line, bool) {
	n := l
	switch l.Kind {
	case pricing.Material:
		m, ok := book.Material(l.PriceItem)
		if !ok || m.Unit != l.Unit {
			return l, false
		}
		n.UnitCost, n.MarkupPercent, n.WastePercent = m.UnitCost, m.MarkupPercent, m.WasteBilled()
	case pricing.Sublet:
		v, ok := book.Vendor(l.PriceItem)
		if !ok {
			return l, false
		}
		n.MarkupPercent = v.MarkupPercent
	}
	same := n.UnitCost.Equal(l.UnitCost) && n.MarkupPercent.Equal(l.MarkupPercent) && n.WastePercent.Equal(l.WastePercent)
	return n, !same
}

// differences is by how much the net of each priced line moved.
func differences(was, is pricing.Result) (map[string]money.Amount, error) {
	out := map[string]money.Amount{}
	for _, l := range is.Lines {
		out[l.ID] = l.Net
	}
	for _, l := range was.Lines {
		d, err := out[l.ID].Sub(l.Net)
		if err != nil {
			return nil, err
		}
		out[l.ID] = d
	}
	return out, nil
}

func (p JobPage) movedRates(were []domain.LabourRate, book domain.PriceBook, moved map[string]money.Amount) []MovedPrice {
	var out []MovedPrice
	for _, r := range were {
		n, known := book.Rate(r.Skill)
		if known && n.SellRate.Equal(r.SellRate) {
			continue
		}
		m := MovedPrice{Kind: domain.PricedLabour, Key: r.Skill, Name: r.Name, Was: r.SellRate.String() + " an hour", Difference: money.Zero(p.Price.Currency)}
		if known {
			m.Now, m.Percent = n.SellRate.String()+" an hour", percentMove(r.SellRate, n.SellRate)
		}
		for _, t := range p.Estimate.Tasks {
			if d, ok := moved[labourOf+t.ID]; ok && t.Skill == r.Skill {
				m.Uses++
				m.Difference, _ = m.Difference.Add(d) // of one document, so of one currency
			}
		}
		if m.Uses > 0 {
			out = append(out, m)
		}
	}
	return out
}

func (p JobPage) movedLines(book domain.PriceBook, moved map[string]money.Amount) []MovedPrice {
	var out []MovedPrice
	place := map[string]int{}
	for _, l := range p.Estimate.Lines {
		if l.PriceItem == "" || l.Kind != pricing.Material && l.Kind != pricing.Sublet {
			continue
		}
		m := MovedPrice{Kind: domain.PricedMaterial, Key: l.PriceItem, Name: l.Description, Was: unitWords(l), Difference: money.Zero(p.Price.Currency)}
		_, known := book.Material(l.PriceItem)
		if l.Kind == pricing.Sublet {
			m.Kind = domain.PricedVendor
			_, known = book.Vendor(l.PriceItem)
		}
		n, changed := atPrice(l, book)
		if known && !changed {
			continue
		}
		if known {
			m.Now, m.Percent = unitWords(n), percentMove(sellPrice(l), sellPrice(n))
		}
		key := string(m.Kind) + m.Key + m.Was
		at, seen := place[key]
		if !seen {
			at, place[key] = len(out), len(out)
			out = append(out, m)
		}
		out[at].Uses++
		out[at].Difference, _ = out[at].Difference.Add(moved[lineOf+l.ID])
	}
	return out
}

// percents is 100 percent.
var percents = decimal.NewFromInt(100)

func sellPrice(l domain.Line) decimal.Decimal {
	return l.UnitCost.Mul(percents.Add(l.MarkupPercent)).Shift(-2)
}

func unitWords(l domain.Line) string {
	if l.Kind == pricing.Sublet {
		return fmt.Sprintf("markup %s %%", l.MarkupPercent)
	}
	return fmt.Sprintf("%s a %s, markup %s %%, waste %s %%", l.UnitCost, l.Unit, l.MarkupPercent, l.WastePercent)
}

func percentMove(was, is decimal.Decimal) string {
	if was.IsZero() {
		return ""
	}
	return is.Sub(was).Mul(percents).DivRound(was, 1).String()
}

// TakeTodaysPrices prices the lines that were not sold at today's price book.
func (a *App) TakeTodaysPrices(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition) (JobPage, error) {
	return a.edit(ctx, actor, "takeTodaysPrices", jobID, made, func(w *work, ed *editing) error {
		book := ed.shop.PricesFor(ed.job, domain.DayOf(w.now, ed.shop.Zone()))
		before, after := []domain.Line{}, []domain.Line{}
		for _, l := range ed.e.Lines {
			n, changed := atPrice(l, book)
			if !changed || l.Scope == domain.Authorised {
				continue
			}
			if err := w.SaveLine(n); err != nil {
				return err
			}
			before, after = append(before, l), append(after, n)
		}
		if len(after) == 0 {
			return fault.New(fault.Conflict, "prices-stand", "No line that was not sold has another price today.")
		}
		return w.trail("job "+jobID, jobID, before, after)
	})
}
