package app

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

// EffectNow is the evidence of a decision on figures that have moved: what the
// selection does now.
type EffectNow struct {
	Effect domain.OrderEffect
	Client bool // for the client's eyes
}

// PortalOrderDecision is what a client sends from the portal. Amount and promise
// are repeated as they were read.
type PortalOrderDecision struct {
	Approved     bool
	Name         string
	Signature    string
	DocumentHash string
	Choices      []domain.Choice
	Amount       decimal.Decimal
	PromiseAfter domain.Day
	Reason       string
}

// DecideOrder keeps the client's own decision on the order that was sent.
func (a *App) DecideOrder(ctx context.Context, actor domain.Actor, id domain.ID, key string, p PortalOrderDecision) (OrderPage, error) {
	err := a.deciding(ctx, actor, "decideOrder", id, p.Approved, p.Choices, func(ahead *floorAhead) error {
		_, err := once(ctx, a, actor, "decideOrder", key, []any{id, p}, func(w *work) (domain.ID, error) { return id, w.decideInPortal(id, p, ahead) })
		return err
	})
	if err != nil {
		return OrderPage{}, err
	}
	return a.ClientOrder(ctx, actor, id)
}

func (w *work) decideInPortal(id domain.ID, p PortalOrderDecision, ahead *floorAhead) error {
	s, err := w.sitting(id, ahead)
	if err != nil {
		return err
	}
	if p.DocumentHash != s.o.DocumentHash {
		return fault.New(fault.Conflict, "another-document", "This decision is about another document than order %d as it was sent; open the order again.", s.o.Number)
	}
	d := domain.OrderDecision{Approved: p.Approved, How: domain.ByPortal, Name: p.Name, Signature: p.Signature, Reason: p.Reason,
		DecidedAt: w.now, RecordedBy: w.actor.Name}
	if err := s.choose(&d, p.Choices); err != nil {
		return err
	}
	var c fault.Collector
	if d.Approved && strings.TrimSpace(p.Signature) == "" {
		c.Add("/signature", "Type your name as your signature.")
	}
	if !d.Approved && strings.TrimSpace(p.Reason) == "" {
		c.Add("/reason", "Say in a few words why, so that the shop knows what to do instead.")
	}
	if d.Approved && p.PromiseAfter.IsZero() && !s.job.Promise.IsZero() {
		c.Add("/promise_after", "Repeat the date that would be promised, so that it is clear which was read.")
	}
	if err := c.Err("decision-invalid"); err != nil {
		return err
	}
	if !d.Approved {
		return s.decline(d)
	}
	out, err := s.effect(d.Choices)
	if err != nil {
		return err
	}
	if !p.Amount.Equal(out.effect.Amount) || p.PromiseAfter != out.effect.Dates.PromiseAfter {
		return fault.New(fault.Conflict, "effect-moved", "Price or date of order %d have moved since they were read: it is now %s %s, promised by %s. Look again and decide on these.",
			s.o.Number, s.b.written(out.effect.Amount), out.effect.Currency, out.effect.Dates.PromiseAfter).With(EffectNow{out.effect, true})
	}
	d.RevisedTotal = authorisedAfter(out.effect)
	d.AddedParts, d.AddedLabour = partsAndLabour(out.effect)
	return s.approve(d, out)
}

// RecordOrderDecision keeps what a client, or somebody whom the client has named,
// said in person, by telephone or by e-mail.
func (a *App) RecordOrderDecision(ctx context.Context, actor domain.Actor, id domain.ID, key string, d domain.OrderDecision) (OrderPage, error) {
	err := a.deciding(ctx, actor, "recordOrderDecision", id, d.Approved, d.Choices, func(ahead *floorAhead) error {
		_, err := once(ctx, a, actor, "recordOrderDecision", key, []any{id, d}, func(w *work) (domain.ID, error) { return id, w.recordOrder(id, d, ahead) })
		return err
	})
	if err != nil {
		return OrderPage{}, err
	}
	return a.Order(ctx, actor, id)
}

func (w *work) recordOrder(id domain.ID, d domain.OrderDecision, ahead *floorAhead) error {
	s, err := w.sitting(id, ahead)
	if err != nil {
		return err
	}
	d.RecordedBy = w.actor.Name
	repeated := d.Amount
	if err := s.choose(&d, d.Choices); err != nil {
		return err
	}
	var c fault.Collector
	s.recordable(&c, d)
	if err := s.mayAuthorise(&c, d.Name); err != nil {
		return err
	}
	if !d.Approved {
		if err := c.Err("decision-invalid"); err != nil {
			return err
		}
		return s.decline(d)
	}
	out, err := s.effect(d.Choices)
	if err != nil {
		return err
	}
	after := authorisedAfter(out.effect)
	if !repeated.Equal(out.effect.Amount) {
		c.Add("/amount", "What was chosen comes to %s; repeat it to show that this was agreed.", s.b.written(out.effect.Amount))
	}
	if !d.RevisedTotal.IsZero() && !d.RevisedTotal.Equal(after) {
		c.Add("/revised_total", "With this order %s is authorised.", s.b.written(after))
	}
	if err := s.recordComplete(&c, d); err != nil {
		return err
	}
	if err := c.Err("decision-invalid"); err != nil {
		return err
	}
	d.RevisedTotal = after
	return s.approve(d, out)
}

// sitting is an order before whoever decides on it.
type sitting struct {
	w   *work
	b   *orderBase
	o   domain.ChangeOrder
	job domain.Job
}

// sitting loads an order that is with the client, or says what became of it.
func (w *work) sitting(id domain.ID, ahead *floorAhead) (*sitting, error) {
	o, job, err := w.orderOf(w.action, id)
	if err != nil {
		return nil, err
	}
	if err := o.Decidable(w.now); err != nil {
		return nil, err
	}
	b, err := w.app.orderBaseOf(w, o.JobID)
	if err != nil {
		return nil, err
	}
	b.beside, b.ahead = true, ahead
	return &sitting{w: w, b: b, o: o, job: job}, nil
}

// choose reads the choices of a decision. To leave everything is to decline.
func (s *sitting) choose(d *domain.OrderDecision, choices []domain.Choice) error {
	if !d.Approved {
		d.Choices = s.o.NothingTaken()
		return nil
	}
	var err error
	if d.Choices, err = s.o.Selected(choices, true); err != nil {
		return err
	}
	if domain.LeavesAll(d.Choices) {
		d.Approved = false
		return nil
	}
	return s.o.MustTake(d.Choices)
}

// effect is what the choices do now, refused when they contradict the work.
func (s *sitting) effect(choices []domain.Choice) (outcome, error) {
	if err := workable(s.job); err != nil {
		return outcome{}, err
	}
	out, err := s.b.effectOf(s.o, choices, s.w.app.newID)
	if err == nil && !out.ok {
		err = fault.New(fault.Conflict, "order-contradiction", "Order %d cannot be carried out as chosen: %s", s.o.Number, out.effect.Contradiction.Detail).With(*out.effect.Contradiction)
	}
	return out, err
}

// recordable checks what an owner noted about a decision.
func (s *sitting) recordable(c *fault.Collector, d domain.OrderDecision) {
	if d.DecidedAt.After(s.w.now.Add(time.Minute)) {
		c.Add("/decided_at", "The decision lies in the future.")
	}
	if s.o.SentAt != nil && d.DecidedAt.Before(s.o.SentAt.Truncate(time.Minute)) {
		c.Add("/decided_at", "The decision lies before the order was sent.")
	}
	if d.How != domain.InPerson && strings.TrimSpace(d.Contact) == "" {
		c.Add("/contact", "Note the number or address that was used.")
	}
	if !d.Approved && strings.TrimSpace(d.Said) == "" {
		c.Add("/said", "Note what the client said.")
	}
}

// decline closes the order; nothing of it is done, and what that means stays
// with its findings.
func (s *sitting) decline(d domain.OrderDecision) error {
	d.Approved, d.Amount, d.Choices = false, decimal.Zero, s.o.NothingTaken()
	d.RevisedTotal, d.AddedParts, d.AddedLabour = decimal.Zero, "", ""
	if err := s.close(d, s.o.Effect); err != nil {
		return err
	}
	if err := s.w.settleFindings(s.o, d.Choices); err != nil {
		return err
	}
	s.w.tell(s.job, "order")
	return nil
}

// approve carries the chosen options out: tasks, links and lines, authorised
// amount, promise, baseline, findings, document and gate, all in the transaction
// of the decision.
func (s *sitting) approve(d domain.OrderDecision, out outcome) error {
	d.Amount, d.OptionTasks = out.effect.Amount, out.applied.optionTasks
	if err := s.w.carryOut(s.job.ID, out.applied); err != nil {
		return err
	}
	old, err := s.w.Baselines([]domain.ID{s.job.ID})
	if err != nil {
		return err
	}
	if err := s.w.ReplaceBaseline(s.job.ID, s.b.rebased(old[s.job.ID], out)); err != nil {
		return err
	}
	s.job.AuthorisedAmount = authorisedAfter(out.effect)
	s.job.Promise = out.effect.Dates.PromiseAfter
	s.job.Version++
	if err := s.w.SaveJob(s.job); err != nil {
		return err
	}
	if err := s.close(d, out.effect); err != nil {
		return err
	}
	if err := s.w.settleFindings(s.o, d.Choices); err != nil {
		return err
	}
	if err := s.releaseGate(d, out.applied.e); err != nil {
		return err
	}
	s.w.tell(s.job, "order")
	s.w.tell(s.job, "estimate")
	return nil
}

// close records the decision with its document and writes it into the trail.
func (s *sitting) close(d domain.OrderDecision, effect domain.OrderEffect) error {
	d.RecordedAt, d.From = s.w.now, s.w.actor.From
	if err := s.o.Decide(s.w.now, d, effect); err != nil {
		return err
	}
	doc, err := s.w.orderDocument(s.b, s.o)
	if err != nil {
		return err
	}
	s.o.Decision.DocumentHash = doc.Hash
	if err := s.w.SaveOrder(s.o); err != nil {
		return err
	}
	if err := s.w.AddOrderDocument(s.o.ID, s.o.Revision, true, doc); err != nil {
		return err
	}
	return s.w.trail("order "+s.o.ID, s.o.JobID, map[string]any{"state": domain.OrderSent, "document": s.o.DocumentHash, "authorised": effect.AuthorisedBefore},
		map[string]any{"state": s.o.State, "decision": s.o.Decision, "authorised": s.job.AuthorisedAmount, "promise": s.job.Promise})
}

// carryOut writes what was applied.
func (w *work) carryOut(jobID domain.ID, a applied) error {
	if err := w.AddTasks(a.tasks); err != nil {
		return err
	}
	for _, t := range a.changed {
		if err := w.SaveTask(t); err != nil {
			return err
		}
	}
	for _, id := range a.removedLines {
		if err := w.RemoveLine(id, w.now); err != nil {
			return err
		}
	}
	for _, id := range a.removedTasks {
		if err := w.RemoveTask(id, w.now); err != nil {
			return err
		}
	}
	if err := w.AddTaskLinks(a.links); err != nil {
		return err
	}
	if err := w.AddLines(a.lines); err != nil {
		return err
	}
	return w.trail("job "+jobID, jobID, map[string]any{"removed_tasks": a.removedTasks, "removed_lines": a.removedLines},
		map[string]any{"tasks": a.tasks, "hours": a.changed, "links": a.links, "lines": a.lines})
}

// partsAndLabour says in words what an effect adds, as the record of a consent
// may have to name it.
func partsAndLabour(e domain.OrderEffect) (parts, labour string) {
	var bought []string
	for _, l := range e.Lines {
		if l.Kind != pricing.Labour {
			bought = append(bought, fmt.Sprintf("%s (%s %s)", l.Description, l.Quantity, l.Unit))
		}
	}
	parts = "none"
	if len(bought) > 0 {
		parts = strings.Join(bought, "; ")
	}
	return parts, e.Hours.StringFixed(2) + " h"
}
