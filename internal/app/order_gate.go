package app

import (
	"fmt"

	"bareframe/internal/domain"
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
