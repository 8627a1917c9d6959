package app

import (
	"context"
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/paper"
	"bareframe/internal/pricing"
)

// Edition says for whom a workbook is written.
type Edition string

// The editions of a workbook.
const (
	ForOwner  Edition = "owner"  // with cost, waste, markup and margin
	ForClient Edition = "client" // without
)

// WorkbookFile is a workbook with a name for the file.
type WorkbookFile struct {
	Name string
	Body []byte
}

// EstimateWorkbook writes a job's estimate as it stands as XLSX with formulas
// that are live: the lines in force, tax, totals and payments, and on a sheet of
// its own each option, taken or not. What was paid is taken off the total.
func (a *App) EstimateWorkbook(ctx context.Context, actor domain.Actor, jobID domain.ID, e Edition) (out WorkbookFile, err error) {
	var data paper.WorkbookData
	err = a.view(ctx, actor, "getEstimateWorkbook", func(r Reader) (err error) {
		data, out.Name, err = a.workbookOfJob(r, jobID, e)
		return err
	})
	if err != nil {
		return out, err
	}
	return out.written(data, e)
}

// QuoteWorkbook writes the client's edition of a quote for the owner, from what
// the quote kept: as it was agreed, once it was. It fails with NotFound
// "no-workbook" on quotes from before their lines were kept.
func (a *App) QuoteWorkbook(ctx context.Context, actor domain.Actor, id domain.ID) (out WorkbookFile, err error) {
	var data paper.WorkbookData
	err = a.view(ctx, actor, "getQuoteWorkbook", func(r Reader) error {
		q, err := r.Quote(id)
		if err != nil {
			return err
		}
		job, err := r.Job(q.JobID)
		if err != nil {
			return err
		}
		data, out.Name, err = a.workbookOfQuote(r, q, job)
		return err
	})
	if err != nil {
		return out, err
	}
	return out.written(data, ForClient)
}

// ClientQuoteWorkbook is QuoteWorkbook for its client.
func (a *App) ClientQuoteWorkbook(ctx context.Context, actor domain.Actor, id domain.ID) (out WorkbookFile, err error) {
	var data paper.WorkbookData
	err = a.view(ctx, actor, "getClientQuoteWorkbook", func(r Reader) error {
		q, job, err := quoteOfClient(r, actor, "getClientQuoteWorkbook", id)
		if err != nil {
			return err
		}
		data, out.Name, err = a.workbookOfQuote(r, q, job)
		return err
	})
	if err != nil {
		return out, err
	}
	return out.written(data, ForClient)
}

// written writes the workbook outside the transaction.
func (f WorkbookFile) written(d paper.WorkbookData, e Edition) (WorkbookFile, error) {
	edition := paper.ClientsEdition
	if e == ForOwner {
		edition = paper.OwnersEdition
	}
	var err error
	f.Body, err = paper.Workbook(d, edition)
	return f, err
}

func (a *App) workbookOfJob(r Reader, jobID domain.ID, e Edition) (paper.WorkbookData, string, error) {
	p, err := a.loadPage(r, jobID)
	if err != nil {
		return paper.WorkbookData{}, "", err
	}
	basis := basisOf(p.Shop, p.Job, p.Quotes, p.AsOf)
	d, err := workbookOf(p, basis, e)
	if err != nil {
		return d, "", err
	}
	d.Heading = fmt.Sprintf("Estimate of job %d: %s", p.Job.Number, p.Job.Title)
	d.Particulars = append(particulars(p), "As it stands on "+string(domain.DayOf(p.AsOf, p.Shop.Zone())))
	if d.Draws, err = workbookDraws(p.Draws, p.Price.Totals.GrandTotal); err != nil {
		return d, "", err
	}
	if len(d.Draws) == 0 && len(p.Draws) > 0 {
		d.Particulars = append(d.Particulars, "Deposit and draws are those of the accepted quote and are not divided anew.")
	}
	if err := takeOffPaid(r, p.Job, &d); err != nil {
		return d, "", err
	}
	options, err := a.optionsNow(r, p, basis)
	d.Options = workbookOptions(options)
	return d, fmt.Sprintf("estimate-%d-%s.xlsx", p.Job.Number, e), err
}

// optionsNow are the options of a job's estimate, each against what is taken.
func (a *App) optionsNow(r Reader, p JobPage, basis domain.PriceBasis) ([]domain.OfferOption, error) {
	if len(p.All.Options) == 0 {
		return nil, nil
	}
	entries, err := r.Entries([]domain.ID{p.Job.ID})
	if err != nil {
		return nil, err
	}
	c, err := a.choosingOf(p, basis, domain.ProgressOf(entries[p.Job.ID]))
	if err != nil {
		return nil, err
	}
	s, err := c.of(p.All.Taken())
	return s.Offer.Options, err
}

// workbookOfQuote prices what a quote kept with what it was priced with, and
// refuses to write anything else than the total that was quoted.
func (a *App) workbookOfQuote(r Reader, q domain.Quote, job domain.Job) (paper.WorkbookData, string, error) {
	var d paper.WorkbookData
	s, err := r.Snapshot(q.ID)
	if fault.KindOf(err) == fault.NotFound {
		return d, "", fault.New(fault.NotFound, "no-workbook", "This quote was issued before its lines were kept for a spreadsheet; its document says all of it.")
	}
	if err != nil {
		return d, "", err
	}
	e, heading := s.Estimate(), "Quote "+q.Number
	if q.Agreed != nil {
		heading += " as accepted"
		if e, err = e.Choose(q.Agreed.OptionIDs); err != nil {
			return d, "", err
		}
	}
	p := JobPage{Job: job, All: e, Estimate: e.InForce()}
	p.Job.Currency = q.Currency
	if p.Shop, err = r.Shop(); err != nil {
		return d, "", err
	}
	if p.Client, err = r.Person(job.ClientID); err != nil {
		return d, "", err
	}
	if d, err = workbookOf(p, q.Basis, ForClient); err != nil {
		return d, "", err
	}
	agreed := q.AsAgreed()
	if !d.Total.Decimal().Equal(agreed.Total) {
		return d, "", fmt.Errorf("quote %s comes to %s from what it kept, and was issued at %s", q.Number, d.Total, agreed.Total)
	}
	d.Heading = heading
	d.Particulars = append(particulars(p), "Issued on "+string(domain.DayOf(q.IssuedAt, p.Shop.Zone())))
	d.Options = workbookOptions(agreed.Offer.Options)
	d.Draws, err = workbookDraws(agreed.Offer.Draws, d.Total)
	return d, "quote-" + q.Number + ".xlsx", err
}

func particulars(p JobPage) []string {
	return []string{p.Shop.Settings.Name, p.Client.Name, p.Job.Vehicle.Label()}
}

// workbookOf maps an estimate in force with its price.
func workbookOf(p JobPage, basis domain.PriceBasis, e Edition) (paper.WorkbookData, error) {
	in := priceInput(p.Job.Currency, basis, p.Estimate)
	r, err := pricing.Calculate(in)
	if err != nil {
		return paper.WorkbookData{}, err
	}
	return workbookData(in, r, e), nil
}
