package app

import (
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

// planBefore schedules the agreed work as it stands.
func (b *orderBase) planBefore() (Plan, error) {
	if b.before == nil {
		plan, err := b.app.planOf(b.shop, b.job, agreedWork(b.e, placeholders()), b.progress, b.now)
		if err != nil {
			return Plan{}, err
		}
		b.before = &plan
	}
	return *b.before, nil
}

// planAfter schedules the agreed work with the changes, or says why it cannot be
// scheduled.
func (b *orderBase) planAfter(e domain.Estimate, next func() domain.ID) (Plan, *domain.Contradiction, error) {
	plan, err := b.app.planOf(b.shop, b.job, agreedWork(e, next), b.progress, b.now)
	if refusal := fault.As(err); refusal != nil {
		return plan, contradictionOf(refusal, e), nil
	}
	if err != nil {
		return plan, nil, err
	}
	if err := (JobPage{Plan: plan}).withinReach(); err != nil {
		return plan, &domain.Contradiction{Detail: fault.As(err).Detail, Tasks: []string{}}, nil
	}
	return plan, nil, nil
}

// contradictionOf names the tasks of a circle as the shop calls them.
func contradictionOf(refusal *fault.Error, e domain.Estimate) *domain.Contradiction {
	out := &domain.Contradiction{Detail: refusal.Detail, Tasks: []string{}}
	circle, ok := refusal.Evidence.(network.Cycle)
	if !ok {
		return out
	}
	for _, id := range circle.Tasks {
		if t, ok := e.Task(id); ok {
			out.Tasks = append(out.Tasks, t.Describe())
		}
	}
	out.Detail = "These tasks wait for each other, so none can start: " + joinArrows(out.Tasks) + "."
	return out
}
