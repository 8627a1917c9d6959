package app

import (
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// Facts leave out the clock, so a plan on a floor where nobody says anything would be
// true to its facts for ever, while what it promises gets later. Time is judged by
// working days: what was to happen before the present one and did not makes a plan old,
// once for each day on which the shop opens.

const (
	causeFacts = "What the plan was made from has changed."
	causeClock = "Work that was planned before today has not been logged."
)

// workingDay is the beginning of the shop's present working day: of today, or where
// the shop does not open today of the last day on which it did.
func (b *floorBase) workingDay() time.Time {
	closing := b.cal.PrevOpen(domain.DayOf(b.now, b.zone).End(b.zone))
	return domain.DayOf(closing.Add(-time.Minute), b.zone).Start(b.zone)
}

// overtaken reports whether time has overtaken what was planned at an instant: that was
// before the present working day, and by then work was to begin that nobody has begun,
// or to be finished that is not. O(tasks).
func (b *floorBase) overtaken(plannedAt time.Time, places []levelling.Placement) bool {
	day := b.workingDay()
	if !plannedAt.Before(day) {
		return false
	}
	for _, p := range places {
		a := b.actuals[p.Task]
		_, known := b.tasks[p.Task]
		if known && (a.start == nil && p.Start.Before(day) || a.finish == nil && p.Finish.Before(day)) {
			return true
		}
	}
	return false
}

// floorStale says why a plan should be made by itself, and is empty where none should:
// no plan that holds, waits or was made last is of these facts, or time has overtaken
// those that are. run is the number of the last run as it was found.
func (a *App) floorStale(r Reader) (why string, run int, err error) {
	b, err := a.floorBaseOf(r, "")
	if err != nil || len(b.jobs) == 0 {
		return "", 0, err
	}
	facts := b.facts()
	made, err := r.NewestPlans()
	if err != nil {
		return "", 0, err
	}
	why = causeFacts
	for _, p := range made {
		if p.Facts != facts {
			continue
		}
		why = causeClock
		if !p.MadeAt.Before(b.workingDay()) {
			return "", 0, nil
		}
		plan, err := planRead(r.ShopPlan(p.ID))
		if err != nil || !b.overtaken(p.MadeAt, plan.Said.Result.Tasks) {
			return "", 0, err
		}
	}
	last, ok, err := r.Run()
	if err != nil || ok && b.endedInVain(last, facts) {
		return "", 0, err
	}
	return why, last.Number, nil
}

// endedInVain reports whether a run failed or was stopped on these facts in the present
// working day: it is not begun again by itself.
func (b *floorBase) endedInVain(last domain.FloorRun, facts string) bool {
	ended := last.AskedAt
	if last.EndedAt != nil {
		ended = *last.EndedAt
	}
	return last.Facts == facts && last.State != domain.RunDone && !ended.Before(b.workingDay())
}
