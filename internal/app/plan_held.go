package app

import (
	"encoding/json"

	"bareframe/internal/domain"
)

// heldPlan is what reads need of a stored plan, read once. It never changes.
type heldPlan struct {
	plan   domain.ShopPlan // without its body
	jobs   map[domain.ID]FloorJob
	bars   map[domain.ID]FloorBar // by task, without their pieces
	people []domain.ID            // that it names
}

// mostHeldPlans bounds what is kept: one of 2,000 tasks takes about a megabyte.
const mostHeldPlans = 16

// agreedPlan returns the agreed plan, nil when there is none. One statement once the
// plan is known.
func (a *App) agreedPlan(r Reader) (*heldPlan, error) {
	id, ok, err := r.AgreedPlanID()
	if err != nil || !ok {
		return nil, err
	}
	return a.held.get(id, func() (*heldPlan, error) {
		plan, err := r.ShopPlan(id)
		if err != nil {
			return nil, err
		}
		return readHeld(plan)
	})
}

func readHeld(plan domain.ShopPlan) (*heldPlan, error) {
	var said struct {
		Jobs []FloorJob `json:"jobs"`
		Bars []FloorBar `json:"bars"`
	}
	if err := json.Unmarshal(plan.Body, &said); err != nil {
		return nil, err
	}
	plan.Body = nil
	h := &heldPlan{plan: plan, jobs: make(map[domain.ID]FloorJob, len(said.Jobs)), bars: make(map[domain.ID]FloorBar, len(said.Bars))}
	for _, j := range said.Jobs {
		h.jobs[j.JobID] = j
	}
	for _, b := range said.Bars {
		b.Pieces = nil
		h.bars[b.TaskID] = b
		h.people = append(h.people, b.People...)
	}
	h.people = unique(h.people)
	return h, nil
}
