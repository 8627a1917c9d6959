package app_test

import (
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/levelling"
	"bareframe/internal/pricing"
)

// Two cars at once: the engine takes the floor as it is stated, its own slow
// check finds no rule broken, and the sum over the facts moves with hours and not
// with the clock.
func TestTheFloorOfTwoCarsIsStatedForTheEngine(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	first := b.soldJob()
	b.soldJob()
	in, facts, err := b.app.SeenFloor(t.Context(), b.shop)
	b.ok("reading the floor", err)
	if len(in.Jobs) != 2 || len(in.Tasks) != 2*len(first.Estimate.Tasks) || len(in.People) == 0 {
		t.Fatalf("got %d jobs, %d tasks, %d people; want 2 jobs with %d tasks each and the technicians", len(in.Jobs), len(in.Tasks), len(in.People), len(first.Estimate.Tasks))
	}
	plan, err := levelling.Solve(t.Context(), in, levelling.Effort{Schedules: 50, Seed: 1}, nil)
	b.ok("planning", err)
	if broken := levelling.Check(in, plan); len(broken) > 0 || len(plan.Tasks) == 0 {
		t.Fatalf("the plan of %d tasks breaks %v; unplaced %+v", len(plan.Tasks), broken, plan.Unplaced)
	}
	b.pass(time.Hour)
	if _, later, err := b.app.SeenFloor(t.Context(), b.shop); err != nil || later != facts {
		t.Errorf("an hour later nothing happened, but the sum moved (%v)", err)
	}
	_, err = b.app.LogHours(t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: first.Estimate.Tasks[0].ID}, StartedAt: b.now().Add(-time.Hour), FinishedAt: b.now()})
	b.ok("logging", err)
	if _, worked, err := b.app.SeenFloor(t.Context(), b.shop); err != nil || worked == facts {
		t.Errorf("an hour was logged, but the sum stayed (%v)", err)
	}
}
