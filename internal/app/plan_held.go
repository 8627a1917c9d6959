package app

import (
	"encoding/json"

	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// heldPlan is a stored plan as it was read once, without its body. It never changes.
type heldPlan struct {
	FloorPlan
	jobs   map[domain.ID]FloorJob
	bars   map[domain.ID]FloorBar // by task
	people []domain.ID            // that it names
}

// mostHeldPlans bounds what is kept: one of 2,000 tasks takes some megabytes.
const mostHeldPlans = 8

// agreedPlan returns the agreed plan, nil when there is none. One statement once the
// plan is known. A use case that writes reads it afresh and leaves nothing behind,
// since what it decides may yet be rolled back.
func (a *App) agreedPlan(r Reader) (*heldPlan, error) {
	id, ok, err := r.AgreedPlanID()
	if err != nil || !ok {
		return nil, err
	}
	read := func() (*heldPlan, error) {
		plan, err := planRead(r.ShopPlan(id))
		if err != nil {
			return nil, err
		}
		return plan.held(), nil
	}
	if _, writes := r.(Tx); writes {
		return read()
	}
	return a.held.get(id, read)
}

func planRead(p domain.ShopPlan, err error) (*FloorPlan, error) {
	if err != nil {
		return nil, err
	}
	out := &FloorPlan{ShopPlan: p}
	err = json.Unmarshal(p.Body, &out.Said)
	out.Body = nil
	return out, err
}

func (p *FloorPlan) held() *heldPlan {
	h := &heldPlan{FloorPlan: *p, jobs: make(map[domain.ID]FloorJob, len(p.Said.Jobs)), bars: make(map[domain.ID]FloorBar, len(p.Said.Bars))}
	for _, j := range p.Said.Jobs {
		h.jobs[j.JobID] = j
	}
	for _, b := range p.Said.Bars {
		h.bars[b.TaskID] = b
		h.people = append(h.people, b.People...)
	}
	h.people = unique(h.people)
	return h
}

// placements is where a plan put every task; nil without a plan.
func (h *heldPlan) placements() []levelling.Placement {
	if h == nil {
		return nil
	}
	return h.Said.Result.Tasks
}
