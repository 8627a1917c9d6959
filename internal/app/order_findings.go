package app

import (
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// mayGather refuses findings that are not the job's or not free: one that waits
// in another order, or was approved or dismissed. What the client declined may
// be proposed again.
func (w *work) mayGather(o domain.ChangeOrder) error {
	var c fault.Collector
	for i, item := range o.Items {
		for k, id := range item.FindingIDs {
			at := fmt.Sprintf("/items/%d/finding_ids/%d", i, k)
			f, err := w.Finding(id)
			switch {
			case fault.KindOf(err) == fault.NotFound || err == nil && f.JobID != o.JobID:
				c.Add(at, "This job has no such finding.")
			case err != nil:
				return err
			case f.State == domain.FindingGathered && f.OrderID == o.ID:
			case f.State != domain.FindingReported && f.State != domain.FindingDeclined:
				c.Add(at, "Finding %d is %s; it cannot go into this order.", f.Number, f.State)
			}
		}
	}
	return c.Err("order-invalid")
}

// knownZones refuses tasks on zones that the job's frame does not have.
func (w *work) knownZones(b *orderBase, o domain.ChangeOrder) error {
	var c fault.Collector
	for i, item := range o.Items {
		for k, option := range item.Options {
			for n, t := range option.Tasks {
				if _, ok := b.zones[t.ZoneID]; t.ZoneID != "" && !ok {
					c.Add(fmt.Sprintf("/items/%d/options/%d/tasks/%d/zone_id", i, k, n), "This job's frame has no such zone.")
				}
			}
		}
	}
	return c.Err("order-invalid")
}

// gather puts an order's findings into it and lets go of those that it held
// before and holds no more.
func (w *work) gather(o domain.ChangeOrder, before []domain.ID) error {
	now := map[domain.ID]bool{}
	for _, id := range o.FindingIDs() {
		now[id] = true
	}
	var left []domain.ID
	for _, id := range before {
		if !now[id] {
			left = append(left, id)
		}
	}
	if err := w.freeFindings(left); err != nil {
		return err
	}
	return w.moveFindings(o.FindingIDs(), o.ID, domain.FindingGathered, "")
}

// freeFindings has findings wait again.
func (w *work) freeFindings(ids []domain.ID) error {
	return w.moveFindings(ids, "", domain.FindingReported, "")
}

// settleFindings ends the findings of a decided order: those whose item was
// taken are approved, the others declined with what that means.
func (w *work) settleFindings(o domain.ChangeOrder, choices []domain.Choice) error {
	for i, item := range o.Items {
		to, meaning := domain.FindingApproved, ""
		if choices[i].OptionKey == "" {
			to, meaning = domain.FindingDeclined, item.IfNot
		}
		if err := w.moveFindings(item.FindingIDs, o.ID, to, meaning); err != nil {
			return err
		}
	}
	return nil
}

// moveFindings takes a step with each finding and writes it into the trail. One
// that stands there already, in the same order, stays as it is.
func (w *work) moveFindings(ids []domain.ID, order domain.ID, to domain.FindingState, reason string) error {
	for _, id := range ids {
		f, err := w.Finding(id)
		if err != nil {
			return err
		}
		if f.State == to && f.OrderID == order {
			continue
		}
		before := f
		if err := f.Move(to, reason); err != nil {
			return err
		}
		f.OrderID = order
		if err := w.SaveFinding(f); err != nil {
			return err
		}
		if err := w.trail("finding "+f.ID, f.JobID, stateOf(before), stateOf(f)); err != nil {
			return err
		}
	}
	return nil
}

func stateOf(f domain.Finding) map[string]any {
	return map[string]any{"state": f.State, "order": f.OrderID, "reason": f.StateReason}
}

// findingsOf lists the findings of a job by ID.
func findingsOf(r Reader, jobID domain.ID) (map[domain.ID]domain.Finding, error) {
	out := map[domain.ID]domain.Finding{}
	all, err := r.Findings(jobID)
	for _, f := range all {
		out[f.ID] = f
	}
	return out, err
}
