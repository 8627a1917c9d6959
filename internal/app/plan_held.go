package app

import (
	"encoding/json"
	"slices"

	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// heldPlan is a stored plan as it was read once, without its body. It never changes.
type heldPlan struct {
	FloorPlan
	jobs   map[domain.ID]FloorJob
	bars   map[domain.ID]*FloorBar // by task, of Said
	people []domain.ID             // that it names
}

// mostHeldPlans bounds what is kept: one of 2,000 tasks takes more than a megabyte,
// and of one shop only the newest is asked for.
const mostHeldPlans = 4

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
	h := &heldPlan{FloorPlan: *p, jobs: make(map[domain.ID]FloorJob, len(p.Said.Jobs)), bars: make(map[domain.ID]*FloorBar, len(p.Said.Bars))}
	for _, j := range p.Said.Jobs {
		h.jobs[j.JobID] = j
	}
	named := map[domain.ID]bool{}
	once := newLean() // each ID stands in the body several times
	for i := range p.Said.Bars {
		b := &p.Said.Bars[i]
		b.TaskID, b.JobID, b.Kind, b.Progress, b.Cause = once.text(b.TaskID), once.text(b.JobID), domain.TaskKind(once.text(string(b.Kind))), once.text(b.Progress), once.text(b.Cause)
		once.all(b.People)
		once.all(b.Stations)
		h.bars[b.TaskID] = b
		for _, id := range b.People {
			if !named[id] && id != "" {
				named[id] = true
				h.people = append(h.people, id)
			}
		}
	}
	for i := range p.Said.Result.Tasks {
		t := &p.Said.Result.Tasks[i]
		t.Task = once.text(t.Task)
		once.all(t.People)
	}
	slices.Sort(h.people)
	return h
}

// placements is where a plan put every task; nil without a plan.
func (h *heldPlan) placements() []levelling.Placement {
	if h == nil {
		return nil
	}
	return h.Said.Result.Tasks
}
