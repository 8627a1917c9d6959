package app

import (
	"context"
	"encoding/json"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/levelling"
)

// hold stores a plan that holds from now on, and tells everybody whose dates are its
// own, clients too.
func (w *work) hold(plan domain.ShopPlan, store func(domain.ShopPlan) error) error {
	if err := store(plan); err != nil {
		return err
	}
	jobs, err := allJobs(w, []domain.JobState{domain.Accepted, domain.InWork}, "")
	for _, j := range jobs {
		w.tell(j, floorChanged)
	}
	return err
}

// propose stores a plan in the place of one that still waits, and says what became of it.
func (w *work) propose(run domain.FloorRun, b *floorBase, said FloorSaid, r levelling.Result) (string, error) {
	if err := w.setAside("A newer plan"); err != nil {
		return "", err
	}
	agreed, err := w.app.agreedPlan(w)
	if err != nil {
		return "", err
	}
	plan, err := w.storedPlan(run.Cause, run.ByName, run.Facts, said, r)
	if err != nil {
		return "", err
	}
	plan.MadeAt = b.now // what it was searched for; by its end another day may have begun
	note := "It waits for a decision."
	switch {
	case agreed == nil:
		note = "It is the first plan, so it holds."
	case w.within(b, said.Jobs, agreed.Said.Jobs):
		note = "No car finishes on a later day than the shop's tolerance allows, so it holds."
	default:
		return note, w.AddShopPlan(plan)
	}
	plan.State, plan.DecidedAt, plan.DecidedBy = domain.PlanAgreed, &w.now, "The shop's rule"
	if err := w.hold(plan, w.AddShopPlan); err != nil {
		return "", err
	}
	return note, w.trail("floor plan "+plan.ID, "", nil, planTrail(plan))
}

// plansKept is how many plans keep all that they said, beside the one that holds.
const plansKept = 20

func (w *work) storedPlan(cause, by, facts string, said FloorSaid, r levelling.Result) (domain.ShopPlan, error) {
	last, err := w.LastPlanRevision()
	if err != nil {
		return domain.ShopPlan{}, err
	}
	if err := w.ForgetPlans(plansKept); err != nil {
		return domain.ShopPlan{}, err
	}
	body, err := json.Marshal(said)
	return domain.ShopPlan{ID: w.app.newID(), Revision: last + 1, MadeAt: w.now, MadeBy: by, Cause: cause, Facts: facts, Seed: planSeed, Schedules: int(r.Schedules),
		Status: string(r.Status), Late: r.Cost.Late, Bound: r.Bound.Late, Body: body, State: domain.PlanProposed}, err
}

func planTrail(p domain.ShopPlan) map[string]any {
	return map[string]any{"revision": p.Revision, "state": p.State, "decided_by": p.DecidedBy, "late_weighted_minutes": p.Late}
}

// setAside drops the plan that waits for a decision, if any.
func (w *work) setAside(by string) error {
	waiting, ok, err := w.ProposedPlan()
	if err != nil || !ok {
		return err
	}
	waiting.State, waiting.DecidedAt, waiting.DecidedBy = domain.PlanDropped, &w.now, by
	return w.DecidePlan(waiting)
}

// within reports whether a plan may take the other's place unasked: no car's finish
// moves later by more working days than the shop tolerates, no promise that
// was kept is missed, and of no car less can be planned. With a tolerance of no days,
// no finish may move to a later day.
func (w *work) within(b *floorBase, jobs, before []FloorJob) bool {
	was := map[domain.ID]FloorJob{}
	for _, j := range before {
		was[j.JobID] = j
	}
	tolerance := b.shop.Settings.FloorRules().ReplanToleranceDays
	for _, j := range jobs {
		old, ok := was[j.JobID]
		if j.Unsure && !old.Unsure {
			return false // its finish is only that of what is left of it
		}
		if !ok {
			if j.LateDays > 0 {
				return false
			}
			continue
		}
		if j.LateDays > 0 && old.LateDays == 0 || j.Day > old.Day && b.workingDays(old.Finish, j.Finish) > tolerance {
			return false
		}
	}
	return true
}

// decided stores what was decided on a plan that waited.
func (w *work) decided(plan domain.ShopPlan) error {
	if plan.State != domain.PlanAgreed {
		return w.DecidePlan(plan)
	}
	return w.hold(plan, w.DecidePlan)
}

// DecidePlan agrees to the plan that waits, or drops it.
func (a *App) DecidePlan(ctx context.Context, actor domain.Actor, planID domain.ID, agree bool) (Floor, error) {
	return a.onFloor(ctx, actor, "decidePlan", func(w *work) error {
		plan, err := w.ShopPlan(planID)
		if err != nil {
			return err
		}
		waiting, ok, err := w.ProposedPlan()
		if err != nil {
			return err
		}
		if !ok || waiting.ID != plan.ID {
			return fault.New(fault.Conflict, "plan-decided", "This plan does not wait for a decision any more; look at the floor again.")
		}
		before := planTrail(plan)
		plan.State = domain.PlanDropped
		if agree {
			plan.State = domain.PlanAgreed
		}
		plan.DecidedAt, plan.DecidedBy = &w.now, w.actor.Name
		if err := w.decided(plan); err != nil {
			return err
		}
		return w.trail("floor plan "+plan.ID, "", before, planTrail(plan))
	})
}
