package app

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// releaseGate releases the strip gate once the inspection's order is approved
// and nothing that was found waits any more.
func (s *sitting) releaseGate(d domain.OrderDecision, e domain.Estimate) error {
	if s.o.Kind != domain.FromInspection {
		return nil
	}
	open, err := s.w.waiting(s.job.ID)
	if err != nil || open != "" {
		return err
	}
	for _, t := range e.Tasks {
		if !t.StripGate || t.ReleasedAt != nil {
			continue
		}
		t.ReleasedBy, t.ReleasedAt = s.w.actor.Name, &s.w.now
		t.ReleaseNote = fmt.Sprintf("Order %d was decided by %s.", s.o.Number, d.Name)
		if err := s.w.SaveTask(t); err != nil {
			return err
		}
		if err := s.w.trail("task "+t.ID, s.job.ID, nil, map[string]string{"released": t.ReleaseNote}); err != nil {
			return err
		}
	}
	return nil
}

// waiting names what of an inspection still waits: a finding that is not decided
// on, or an inspection's order that is not. It is empty when nothing does.
func (w *work) waiting(jobID domain.ID) (string, error) {
	findings, err := findingsOf(w, jobID)
	if err != nil {
		return "", err
	}
	first := 0
	for _, f := range findings {
		switch f.State {
		case domain.FindingReported, domain.FindingGathered, domain.FindingSent:
			if first == 0 || f.Number < first {
				first = f.Number
			}
		}
	}
	if first > 0 {
		return fmt.Sprintf("finding %d", first), nil
	}
	orders, err := w.Orders([]domain.ID{jobID})
	if err != nil {
		return "", err
	}
	for _, o := range orders[jobID] {
		state := o.StateAt(w.now)
		if o.Kind == domain.FromInspection && (state == domain.OrderDraft || state == domain.OrderSent) {
			return fmt.Sprintf("order %d", o.Number), nil
		}
	}
	return "", nil
}

// mayReleaseGate refuses to release the strip gate by hand while anything that
// was found waits for its decision.
func (w *work) mayReleaseGate(job domain.Job, t domain.Task) error {
	open, err := w.waiting(job.ID)
	if err != nil || open == "" {
		return err
	}
	return fault.New(fault.Conflict, "findings-open", "%s is not released while %s waits: gather what was found into one order, and the client's decision releases it.", t.Describe(), open)
}

// insideAllowance reports whether a task may be worked before the strip gate:
// the client agreed beforehand to an allowance for it.
func insideAllowance(e domain.Estimate, t domain.Task) bool {
	return t.AllowanceLineID != "" && slices.ContainsFunc(e.Lines, func(l domain.Line) bool {
		return l.ID == t.AllowanceLineID && l.Kind == pricing.Allowance && l.Scope == domain.Authorised
	})
}

// allowanceLasts refuses hours before the strip gate's release that an allowance
// does not cover any more: what was worked on all tasks inside it, at the rates
// of the accepted quote and before tax, stays within the allowance's net.
func (w *work) allowanceLasts(job domain.Job, e domain.Entry) error {
	inside, err := w.app.inside.get(versionKey{job.ID, job.Version}, func() (map[domain.ID]bool, error) {
		all, err := w.Estimates([]domain.ID{job.ID})
		if err != nil {
			return nil, err
		}
		return openedByAllowance(all[job.ID].InForce()), nil
	})
	if err != nil || !inside[e.TaskID] {
		return err
	}
	b, err := w.app.orderBaseOf(w, job.ID)
	if err != nil {
		return err
	}
	t, _ := b.e.Task(e.TaskID)
	i := slices.IndexFunc(b.e.Lines, func(l domain.Line) bool { return l.ID == t.AllowanceLineID })
	sold, err := b.priced([]pricing.Line{materialLine(b.e.Lines[i])})
	if err != nil {
		return err
	}
	used := decimal.Zero
	for _, x := range b.e.Tasks {
		if x.AllowanceLineID == t.AllowanceLineID {
			rate, _ := b.book.Rate(x.Skill)
			minutes := b.progress[x.ID].WorkedMinutes
			if x.ID == e.TaskID {
				minutes += e.Minutes()
			}
			used = used.Add(hoursOf(minutes).Mul(rate.SellRate))
		}
	}
	if left := sold.Lines[0].Net.Decimal().Sub(used); left.IsNegative() || left.IsZero() {
		return fault.New(fault.Conflict, "allowance-used-up", "%s lies past the inspection after stripping, and the allowance for it is used up; what was found waits for its decision.", t.Describe())
	}
	return nil
}

// openedByAllowance is the tasks past a strip gate that is not released which an
// allowance opens all the same.
func openedByAllowance(e domain.Estimate) map[domain.ID]bool {
	out := map[domain.ID]bool{}
	for _, hold := range e.Tasks {
		if !hold.StripGate || hold.ReleasedAt != nil {
			continue
		}
		past := pastOf(e, hold.ID)
		for _, t := range e.Tasks {
			if past[t.ID] && insideAllowance(e, t) {
				out[t.ID] = true
			}
		}
	}
	return out
}

// pastOf is the tasks that may not start before a hold has finished.
func pastOf(e domain.Estimate, hold domain.ID) map[string]bool {
	ids, links := make([]string, len(e.Tasks)), make([]network.Link, len(e.Links))
	for i, t := range e.Tasks {
		ids[i] = t.ID
	}
	for i, l := range e.Links {
		links[i] = network.Link{ID: l.ID, From: l.FromID, To: l.ToID, Type: l.Type}
	}
	return network.Past(ids, links, hold)
}

// FirmAndRanged divides the net at the strip gate: what lies past it in the
// network is a range, the rest is firm. A line without a task goes with its
// phase, and a phase of which any task lies past the gate is a range. Document
// lines are firm. It is false when there is no such gate.
func (p JobPage) FirmAndRanged() (firm, ranged money.Amount, gated bool) {
	past, phases := map[string]bool{}, map[domain.ID]bool{}
	for _, hold := range p.Estimate.Tasks {
		if hold.StripGate {
			gated = true
			for id := range pastOf(p.Estimate, hold.ID) {
				past[id] = true
			}
		}
	}
	for _, t := range p.Estimate.Tasks {
		if past[t.ID] {
			phases[t.PhaseID] = true
		}
	}
	sum := decimal.Zero
	for _, l := range p.Price.Lines {
		if past[l.TaskID] || l.TaskID == "" && phases[l.PhaseID] {
			sum = sum.Add(l.Net.Decimal())
		}
	}
	ranged = money.Round(sum, p.Price.Currency)
	return money.Round(p.Price.Totals.TaxBasisTotal.Decimal().Sub(sum), p.Price.Currency), ranged, gated
}

// noOrderOpen refuses to end a job while an order waits for the client's decision.
func (w *work) noOrderOpen(job domain.Job) error {
	orders, err := w.Orders([]domain.ID{job.ID})
	if err != nil {
		return err
	}
	for _, o := range orders[job.ID] {
		if o.StateAt(w.now) == domain.OrderSent {
			return fault.New(fault.Conflict, "order-open", "Order %d is with the client; withdraw it first.", o.Number)
		}
	}
	return nil
}
