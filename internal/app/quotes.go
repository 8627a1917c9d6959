package app

import (
	"context"
	"fmt"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/paper"
	"bareframe/internal/policy"
	"bareframe/internal/pricing"
)

// IssueQuote fixes the estimate as it stands as the next numbered revision with
// its document. An earlier open revision is superseded in the same transaction,
// so an acceptance that races it meets either the one or the other. Its date is
// searched for beside that transaction.
func (a *App) IssueQuote(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, key string, validDays int, note string) (domain.Quote, error) {
	var id domain.ID
	err := reckoning(func() error {
		queue, err := a.queueAhead(ctx, actor, jobID, made)
		if err != nil {
			return err
		}
		id, err = once(ctx, a, actor, "issueQuote", key, []any{jobID, made, validDays, note}, func(w *work) (domain.ID, error) {
			return w.issueQuote(jobID, made, validDays, note, queue)
		})
		return err
	})
	if err != nil {
		return domain.Quote{}, err
	}
	return a.Quote(ctx, actor, id)
}

func (w *work) issueQuote(jobID domain.ID, made Precondition, validDays int, note string, queue *queued) (domain.ID, error) {
	job, err := w.Job(jobID)
	if err != nil {
		return "", err
	}
	if err := w.stillAt(job, made); err != nil {
		return "", err
	}
	if !job.Quotable() {
		return "", fault.New(fault.Conflict, "job-not-quotable", "Job %d is %s; a quote comes before acceptance.", job.Number, job.State)
	}
	page, err := w.app.loadPage(w, jobID)
	if err != nil {
		return "", err
	}
	if err := quotable(page); err != nil {
		return "", err
	}
	if err := w.queueStands(queue, page); err != nil {
		return "", err
	}
	revision := 1
	for _, q := range page.Quotes {
		revision = max(revision, q.Revision+1)
		if q.State == domain.QuoteOpen {
			q.State = domain.QuoteSuperseded
			if err := w.SaveQuoteState(q); err != nil {
				return "", err
			}
			if err := w.trail("quote "+q.ID, job.ID, map[string]string{"state": "open"}, map[string]string{"state": "superseded"}); err != nil {
				return "", err
			}
		}
	}
	if page.Job.Promise.IsZero() && queue.Behind {
		page.Job.Promise = queue.Finish // what the client may combine moves from here
	}
	q, err := w.offered(page, revision)
	if err != nil {
		return "", err
	}
	q.Offer.DateWords = queue.Words
	q.ID, q.IssuedAt, q.IssuedBy, q.Note = w.app.newID(), w.now, w.actor.Name, note
	q.ExpiresAt = domain.DayOf(w.now, page.Shop.Zone()).Start(page.Shop.Zone()).AddDate(0, 0, validDays+1).UTC()
	q.Offer.Wording = page.Shop.Settings.Wording()
	q = worded(page, q)
	doc, err := quoteDocument(page, q)
	if err != nil {
		return "", err
	}
	q.DocumentHash = doc.Hash
	if err := w.AddQuote(q, doc); err != nil {
		return "", err
	}
	if err := w.AddSnapshot(q.ID, snapshotOf(page)); err != nil {
		return "", err
	}
	job.State = domain.Quoted
	job.Version++
	if err := w.SaveJob(job); err != nil {
		return "", err
	}
	if err := w.postQuote(page, q); err != nil {
		return "", err
	}
	w.tell(job, "quote")
	return q.ID, w.trail("quote "+q.ID, job.ID, nil, map[string]any{"number": q.Number, "total": q.Total, "expires_at": q.ExpiresAt, "document": q.DocumentHash})
}

// quotable refuses an estimate with nothing to sell or a promise that its own
// schedule cannot keep.
func quotable(p JobPage) error {
	if len(p.Estimate.Tasks) == 0 || !p.Price.Totals.GrandTotal.Decimal().IsPositive() {
		return fault.New(fault.Conflict, "nothing-to-quote", "There is nothing to quote yet: add tasks with hours, or lines.")
	}
	if p.LateDays > 0 {
		return fault.New(fault.Conflict, "promise-not-kept", "The schedule passes the promised date by %s; move the promise or the work before quoting.", plural(p.LateDays, "working day"))
	}
	return nil
}

// offered is the estimate as a quote, with the options that the client may combine.
func (w *work) offered(p JobPage, revision int) (domain.Quote, error) {
	q := offer(p, revision)
	if len(p.All.Options) == 0 {
		return q, nil
	}
	c, err := w.app.choosingOf(p, q.Basis, nil)
	if err != nil {
		return q, err
	}
	selected, err := c.of(p.All.Taken())
	q.Offer.Options = selected.Offer.Options
	return q, err
}

// offer copies what the client buys and what acceptance authorises.
func offer(p JobPage, revision int) domain.Quote {
	f := figuresOf(p)
	return domain.Quote{JobID: p.Job.ID, Number: fmt.Sprintf("%d-%d", p.Job.Number, revision), Revision: revision, State: domain.QuoteOpen,
		Currency: p.Job.Currency, Net: f.Net, Tax: f.Tax, Total: f.Total, Cost: f.Cost, Offer: f.Offer, Plan: f.Plan,
		Terms: p.Shop.Settings.Terms, Basis: p.Shop.BasisFor(p.Job, domain.DayOf(p.AsOf, p.Shop.Zone()))}
}

// figuresOf are the figures of a page's estimate in force, as a quote keeps them.
func figuresOf(p JobPage) domain.Agreed {
	view := p.Price.ClientView()
	t := view.Totals
	q := domain.Agreed{Net: t.TaxBasisTotal.Decimal(), Tax: t.TaxTotal.Decimal(), Total: t.GrandTotal.Decimal(), Cost: p.Price.Margin.Cost.Decimal()}
	zone := p.Shop.Zone()
	q.Offer.Draws = p.dueDraws(p.Draws) // by the promise, which a selection may have moved
	if firm, ranged, gated := p.FirmAndRanged(); gated {
		q.Offer.Firm, q.Offer.Ranged = firm.String(), ranged.String()
	}
	q.Offer.Start, q.Offer.Finish = domain.DayOf(p.Plan.Start, zone), domain.DayOf(p.Plan.Finish, zone)
	if !p.Job.Promise.IsZero() {
		q.Offer.Finish = p.Job.Promise
	}
	for _, x := range view.Taxes {
		q.Offer.Taxes = append(q.Offer.Taxes, domain.OfferTax{Percent: x.Percent, Base: x.Base.String(), Tax: x.Tax.String()})
	}
	dates := map[domain.ID]PhaseStanding{}
	for _, ph := range p.Phases {
		dates[ph.Phase.ID] = ph
	}
	for _, ph := range view.Phases {
		q.Offer.Phases = append(q.Offer.Phases, offerPhase(ph, dates[ph.ID], view.Lines, zone))
	}
	for _, task := range p.Estimate.Tasks {
		times := p.Plan.Of(task.ID)
		q.Plan = append(q.Plan, domain.Sold{TaskID: task.ID, Hours: task.Hours.Mean(), Start: times.EarlyStart.UTC(), Finish: times.EarlyFinish.UTC()})
	}
	return q
}

func offerPhase(ph pricing.ClientPhase, dates PhaseStanding, lines []pricing.ClientLine, zone *time.Location) domain.OfferPhase {
	out := domain.OfferPhase{Name: ph.Name, Net: ph.Net.String(), Lines: offerLines(lines, func(l pricing.ClientLine) bool { return l.PhaseID == ph.ID })}
	if dates.Start != nil {
		out.Start, out.Finish = domain.DayOf(*dates.Start, zone), domain.DayOf(*dates.Finish, zone)
	}
	return out
}

func offerLines(lines []pricing.ClientLine, of func(pricing.ClientLine) bool) []domain.OfferLine {
	out := []domain.OfferLine{}
	for _, l := range lines {
		if of(l) {
			out = append(out, domain.OfferLine{Description: l.Description, Kind: l.Kind, Quantity: quantityText(l), Unit: l.Unit, Net: l.Net.String()})
		}
	}
	return out
}

// quantityText writes hours with two places, so that they stand in a column;
// other quantities as they were billed.
func quantityText(l pricing.ClientLine) string {
	if q, err := decimal.NewFromString(l.Quantity); err == nil && l.Kind == pricing.Labour {
		return q.StringFixed(2)
	}
	return l.Quantity
}

// quoteDocument writes the exact document and its hash.
func quoteDocument(p JobPage, q domain.Quote) (domain.Document, error) {
	s, err := paper.Quote(paper.QuoteData{Shop: p.Shop, Job: p.Job, Client: p.Client, Quote: q})
	if err != nil {
		return domain.Document{}, err
	}
	return issued(q.ID, s)
}

// Quote returns one revision for the owner.
func (a *App) Quote(ctx context.Context, actor domain.Actor, id domain.ID) (q domain.Quote, err error) {
	err = a.view(ctx, actor, "getQuote", func(r Reader) (err error) {
		q, err = r.Quote(id)
		return err
	})
	return q, err
}

// QuoteDocument returns the exact document for the owner.
func (a *App) QuoteDocument(ctx context.Context, actor domain.Actor, id domain.ID, form Form) (doc domain.Document, err error) {
	err = a.view(ctx, actor, "getQuoteDocument", func(r Reader) (err error) {
		doc, err = r.Document(id)
		return err
	})
	if err != nil {
		return doc, err
	}
	return a.inForm(ctx, doc, form)
}

// WithdrawQuote takes back an open quote, so that the estimate can be changed. It
// takes over at once what the steel has come to ask for meanwhile.
func (a *App) WithdrawQuote(ctx context.Context, actor domain.Actor, id domain.ID, key, reason string) (domain.Quote, error) {
	_, err := once(ctx, a, actor, "withdrawQuote", key, []string{id, reason}, func(w *work) (domain.ID, error) {
		q, err := w.Quote(id)
		if err != nil {
			return "", err
		}
		if q.State != domain.QuoteOpen {
			return "", fault.New(fault.Conflict, "quote-decided", "Quote %s is already %s.", q.Number, q.State)
		}
		job, err := w.Job(q.JobID)
		if err != nil {
			return "", err
		}
		q.State = domain.QuoteWithdrawn
		if err := w.SaveQuoteState(q); err != nil {
			return "", err
		}
		w.tell(job, "quote")
		if err := w.trail("quote "+q.ID, job.ID, map[string]string{"state": "open"}, map[string]string{"state": "withdrawn", "reason": reason}); err != nil {
			return "", err
		}
		return id, w.caughtUp(job, q, fmt.Sprintf("Quote %s was withdrawn.", q.Number))
	})
	if err != nil {
		return domain.Quote{}, err
	}
	return a.Quote(ctx, actor, id)
}

// ClientQuote returns one revision for its client.
func (a *App) ClientQuote(ctx context.Context, actor domain.Actor, id domain.ID) (q domain.Quote, err error) {
	err = a.view(ctx, actor, "getClientQuote", func(r Reader) (err error) {
		q, _, err = quoteOfClient(r, actor, "getClientQuote", id)
		return err
	})
	return q, err
}

// ClientQuoteDocument returns the exact document for its client.
func (a *App) ClientQuoteDocument(ctx context.Context, actor domain.Actor, id domain.ID, form Form) (doc domain.Document, err error) {
	err = a.view(ctx, actor, "getClientQuoteDocument", func(r Reader) error {
		if _, _, err := quoteOfClient(r, actor, "getClientQuoteDocument", id); err != nil {
			return err
		}
		doc, err = r.Document(id)
		return err
	})
	if err != nil {
		return doc, err
	}
	return a.inForm(ctx, doc, form)
}

func quoteOfClient(r Reader, actor domain.Actor, action policy.Action, id domain.ID) (domain.Quote, domain.Job, error) {
	q, err := r.Quote(id)
	if err != nil {
		return q, domain.Job{}, err
	}
	job, err := r.Job(q.JobID)
	if err != nil {
		return q, job, err
	}
	return q, job, policy.AllowOn(actor, action, policy.Subject{JobID: job.ID, ClientID: job.ClientID})
}
