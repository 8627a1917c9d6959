package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// SelectionNow is the evidence of a decision on figures that are not what the
// selection comes to.
type SelectionNow struct{ Selection }

// PreviewQuote computes a combination of an open quote's options for its client:
// price, date and points, and what each option changes against it. It is computed
// from what the quote kept on the day of issue.
func (a *App) PreviewQuote(ctx context.Context, actor domain.Actor, id domain.ID, ids []domain.ID) (out Selection, err error) {
	err = a.view(ctx, actor, "previewQuote", func(r Reader) error {
		q, job, err := quoteOfClient(r, actor, "previewQuote", id)
		if err != nil {
			return err
		}
		out, err = a.previewOf(r, q, job, ids)
		return err
	})
	return out, err
}

// PreviewSelection is PreviewQuote for the owner, who records what was said.
func (a *App) PreviewSelection(ctx context.Context, actor domain.Actor, id domain.ID, ids []domain.ID) (out Selection, err error) {
	err = a.view(ctx, actor, "previewSelection", func(r Reader) error {
		q, err := r.Quote(id)
		if err != nil {
			return err
		}
		job, err := r.Job(q.JobID)
		if err != nil {
			return err
		}
		out, err = a.previewOf(r, q, job, ids)
		return err
	})
	return out, err
}

func (a *App) previewOf(r Reader, q domain.Quote, job domain.Job, ids []domain.ID) (Selection, error) {
	if err := q.Decidable(a.now()); err != nil {
		return Selection{}, err
	}
	return a.selection(r, q, job, ids)
}

// selection computes a combination of a quote's options. A quote without options
// has one: itself.
func (a *App) selection(r Reader, q domain.Quote, job domain.Job, ids []domain.ID) (Selection, error) {
	if len(q.Offer.Options) > 0 {
		c, err := a.choosingIn(r, q, job)
		if err != nil {
			return Selection{}, err
		}
		return c.of(ids)
	}
	if _, err := (domain.Estimate{}).Choose(ids); err != nil {
		return Selection{}, err
	}
	return asIssued(q), nil
}

// asIssued is a quote as a selection of nothing.
func asIssued(q domain.Quote) Selection {
	s := Selection{Currency: q.Currency, Computed: q.Offer.Finish,
		Agreed: domain.Agreed{OptionIDs: []domain.ID{}, Net: q.Net, Tax: q.Tax, Total: q.Total, Cost: q.Cost, Offer: q.Offer, Plan: q.Plan}}
	for _, t := range q.Plan {
		s.Hours = s.Hours.Add(t.Hours)
	}
	return s
}

// selectedIn reads the selection of a decision; to decline takes none.
func (w *work) selectedIn(q domain.Quote, accepted bool, ids []domain.ID) (Selection, error) {
	if !accepted {
		return asIssued(q), nil
	}
	if err := q.Decidable(w.now); err != nil {
		return Selection{}, err
	}
	job, err := w.Job(q.JobID)
	if err != nil {
		return Selection{}, err
	}
	return w.app.selection(w, q, job, ids)
}

// asRead refuses an acceptance whose amount or date is not what its selection comes
// to. Of a quote with options both are repeated.
func asRead(q domain.Quote, p PortalDecision, s Selection) error {
	if !p.Accepted {
		return nil
	}
	var c fault.Collector
	if len(q.Offer.Options) > 0 {
		if p.Amount == nil {
			c.Add("/amount", "Repeat the total of what you chose, so that it is clear which was read.")
		}
		if p.Finish.IsZero() {
			c.Add("/finish", "Repeat the date of what you chose, so that it is clear which was read.")
		}
	}
	if err := c.Err("decision-invalid"); err != nil {
		return err
	}
	if p.Amount != nil && !p.Amount.Equal(s.Total) || !p.Finish.IsZero() && p.Finish != s.Offer.Finish {
		return fault.New(fault.Conflict, "selection-moved", "What you chose comes to %s %s and is finished by %s, which is not what was sent. Look again and decide on these.",
			s.Total.String(), s.Currency, s.Offer.Finish).With(SelectionNow{s})
	}
	return nil
}

// keepAgreed keeps what was accepted of a quote with options, with the document as
// decided.
func (w *work) keepAgreed(q *domain.Quote, job domain.Job, s Selection) error {
	shop, err := w.Shop()
	if err != nil {
		return err
	}
	client, err := w.Person(job.ClientID)
	if err != nil {
		return err
	}
	agreed := s.Agreed
	agreed.Offer.Wording = q.Offer.Wording
	q.Agreed = &agreed
	page := JobPage{Shop: shop, Job: job, Client: client}
	filled := worded(page, q.AsAgreed())
	agreed.Offer.Opening, agreed.Offer.Closing = filled.Offer.Opening, filled.Offer.Closing
	doc, err := quoteDocument(page, filled)
	if err != nil {
		return err
	}
	agreed.DocumentHash = doc.Hash
	return w.AddAgreedDocument(q.ID, doc)
}

// choose takes the agreed options in the job's estimate and returns what of it is
// in force.
func (w *work) choose(e domain.Estimate, q domain.Quote) (domain.Estimate, error) {
	if q.Agreed == nil {
		return e, nil
	}
	chosen, err := e.Choose(q.Agreed.OptionIDs)
	if err != nil {
		return e, err
	}
	var changed []domain.Option
	for i, o := range chosen.Options {
		if o.Taken != e.Options[i].Taken {
			changed = append(changed, o)
		}
	}
	return chosen.InForce(), w.saveOptions(e, changed)
}

// AgreedDocument returns the document of a quote as it was accepted with a
// selection of options, for the owner.
func (a *App) AgreedDocument(ctx context.Context, actor domain.Actor, id domain.ID, form Form) (doc domain.Document, err error) {
	err = a.view(ctx, actor, "getQuoteDocument", func(r Reader) (err error) {
		doc, err = r.AgreedDocument(id)
		return err
	})
	if err != nil {
		return doc, err
	}
	return a.inForm(ctx, doc, form)
}

// ClientAgreedDocument is AgreedDocument for the client.
func (a *App) ClientAgreedDocument(ctx context.Context, actor domain.Actor, id domain.ID, form Form) (doc domain.Document, err error) {
	err = a.view(ctx, actor, "getClientQuoteDocument", func(r Reader) error {
		if _, _, err := quoteOfClient(r, actor, "getClientQuoteDocument", id); err != nil {
			return err
		}
		doc, err = r.AgreedDocument(id)
		return err
	})
	if err != nil {
		return doc, err
	}
	return a.inForm(ctx, doc, form)
}

func totalOf(q domain.Quote) string {
	if len(q.Offer.Options) > 0 {
		return "The total of what was chosen"
	}
	return "The quote's total"
}
