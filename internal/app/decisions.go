package app

import (
	"context"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// RecordDecision keeps what a client said in person, by telephone or by e-mail.
// An acceptance must repeat the total, so that a slip of the revision shows.
func (a *App) RecordDecision(ctx context.Context, actor domain.Actor, id domain.ID, key string, d domain.Decision) (domain.Quote, error) {
	_, err := once(ctx, a, actor, "recordDecision", key, []any{id, d}, func(w *work) (domain.ID, error) {
		q, err := w.Quote(id)
		if err != nil {
			return "", err
		}
		selected, err := w.selectedIn(q, d.Accepted, d.OptionIDs)
		if err != nil {
			return "", err
		}
		if err := recordable(d, q, selected, w.now); err != nil {
			return "", err
		}
		d.RecordedBy = actor.Name
		return id, w.decide(q, d, selected)
	})
	if err == nil && !d.Accepted {
		err = a.catchUp(ctx, actor, "recordDecision", id, "was declined")
	}
	if err != nil {
		return domain.Quote{}, err
	}
	return a.Quote(ctx, actor, id)
}

func recordable(d domain.Decision, q domain.Quote, s Selection, now time.Time) error {
	var c fault.Collector
	if d.Accepted && !d.Amount.Equal(s.Total) {
		c.Add("/amount", "%s is %s; repeat it to show that this was agreed.", totalOf(q), s.Total.String())
	}
	if d.DecidedAt.After(now.Add(time.Minute)) {
		c.Add("/decided_at", "The decision lies in the future.")
	}
	if d.DecidedAt.Before(q.IssuedAt.Truncate(time.Minute)) {
		c.Add("/decided_at", "The decision lies before the quote was issued.")
	}
	if d.How != domain.InPerson && strings.TrimSpace(d.Contact) == "" {
		c.Add("/contact", "Note the number or address that was used.")
	}
	if !d.Accepted && strings.TrimSpace(d.Said) == "" {
		c.Add("/said", "Note what the client said.")
	}
	return c.Err("decision-invalid")
}

// PortalDecision is what a client sends from the portal.
type PortalDecision struct {
	Accepted     bool
	Name         string
	Signature    string
	DocumentHash string
	Reason       string
	// OptionIDs is the selection, of a quote with options; Amount and Finish are
	// repeated as they were read.
	OptionIDs []domain.ID
	Amount    *decimal.Decimal
	Finish    domain.Day
}

// DecideQuote keeps the client's own decision. The hash shows that the document
// that was read is the one that is accepted.
func (a *App) DecideQuote(ctx context.Context, actor domain.Actor, id domain.ID, key string, p PortalDecision) (domain.Quote, error) {
	_, err := once(ctx, a, actor, "decideQuote", key, []any{id, p}, func(w *work) (domain.ID, error) {
		q, _, err := quoteOfClient(w, actor, "decideQuote", id)
		if err != nil {
			return "", err
		}
		var c fault.Collector
		if p.Accepted && strings.TrimSpace(p.Signature) == "" {
			c.Add("/signature", "Type your name as your signature.")
		}
		if !p.Accepted && strings.TrimSpace(p.Reason) == "" {
			c.Add("/reason", "Say in a few words why, so that the shop can do better.")
		}
		if err := c.Err("decision-invalid"); err != nil {
			return "", err
		}
		if p.DocumentHash != q.DocumentHash {
			return "", fault.New(fault.Conflict, "another-document", "This decision is about another document than quote %s; open the quote again.", q.Number)
		}
		if err := q.Decidable(w.now); err != nil {
			return "", err
		}
		selected, err := w.selectedIn(q, p.Accepted, p.OptionIDs)
		if err != nil {
			return "", err
		}
		if err := asRead(q, p, selected); err != nil {
			return "", err
		}
		return id, w.decide(q, domain.Decision{Accepted: p.Accepted, How: domain.ByPortal, Name: p.Name, Signature: p.Signature,
			Reason: p.Reason, DecidedAt: w.now, RecordedBy: actor.Name, Amount: selected.Total, OptionIDs: selected.OptionIDs}, selected)
	})
	if err == nil && !p.Accepted {
		err = a.catchUp(ctx, actor, "decideQuote", id, "was declined")
	}
	if err != nil {
		return domain.Quote{}, err
	}
	return a.ClientQuote(ctx, actor, id)
}

// decide closes the quote. Acceptance sets the authorised amount, the scope,
// the promise and the baseline in the same transaction, of a quote with options
// for the selection, whose document is kept beside the one that was issued.
func (w *work) decide(q domain.Quote, d domain.Decision, selected Selection) error {
	job, err := w.Job(q.JobID)
	if err != nil {
		return err
	}
	d.RecordedAt, d.From = w.now, w.actor.From
	if !d.Accepted {
		d.Amount, d.OptionIDs = decimal.Zero, nil
	}
	if err := q.Decide(d, w.now); err != nil {
		return err
	}
	if d.Accepted && !job.Quotable() {
		return fault.New(fault.Conflict, "job-not-quotable", "Job %d is %s; nothing can be accepted on it.", job.Number, job.State)
	}
	if d.Accepted && len(q.Offer.Options) > 0 {
		if err := w.keepAgreed(&q, job, selected); err != nil {
			return err
		}
	}
	if err := w.SaveQuoteState(q); err != nil {
		return err
	}
	if d.Accepted {
		if err := w.authorise(&job, q.AsAgreed()); err != nil {
			return err
		}
	}
	job.Version++
	if err := w.SaveJob(job); err != nil {
		return err
	}
	w.tell(job, "quote")
	return w.trail("quote "+q.ID, job.ID, map[string]string{"state": "open"}, map[string]any{"state": q.State, "decision": d, "document": q.DocumentHash})
}

func (w *work) authorise(job *domain.Job, q domain.Quote) error {
	all, err := w.Estimates([]domain.ID{job.ID})
	if err != nil {
		return err
	}
	e, err := w.choose(all[job.ID], q)
	if err != nil {
		return err
	}
	tasks, lines := make([]domain.ID, len(e.Tasks)), make([]domain.ID, len(e.Lines))
	for i, t := range e.Tasks {
		tasks[i] = t.ID
	}
	for i, l := range e.Lines {
		lines[i] = l.ID
	}
	if err := w.SetScope(job.ID, tasks, lines, domain.Authorised); err != nil {
		return err
	}
	baseline := make([]domain.Baseline, len(q.Plan))
	for i, s := range q.Plan {
		baseline[i] = domain.Baseline{JobID: job.ID, TaskID: s.TaskID, Hours: s.Hours, Start: s.Start, Finish: s.Finish}
	}
	if err := w.ReplaceBaseline(job.ID, baseline); err != nil {
		return err
	}
	job.State, job.AcceptedQuoteID, job.AuthorisedAmount, job.Promise = domain.Accepted, q.ID, q.Total, q.Offer.Finish
	return nil
}
