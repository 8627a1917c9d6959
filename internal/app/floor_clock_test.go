package app_test

import (
	"context"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
	"bareframe/internal/pricing"
)

// dawn sets the clock to a day of March 2031, a minute after midnight, and plans what
// has become stale. Then something happens that moves no fact of the floor, and nothing
// more is found.
func (b *bench) dawn(day int) app.Floor {
	b.t.Helper()
	b.set(time.Date(2031, 3, day, 0, 1, 0, 0, time.UTC))
	f := b.plans()
	if newest := newestOf(f); !newest.MadeAt.Before(time.Date(2031, 3, day, 0, 0, 0, 0, time.UTC)) {
		b.holds(newest)
	}
	b.hire("Orell Vask", "", domain.Client)
	again := b.plans()
	if again.Run.Number != f.Run.Number || !sameProposal(again.Proposed, f.Proposed) || again.Plan.ID != f.Plan.ID {
		b.t.Fatalf("%d March: run %d, and nothing happened, then run %d", day, f.Run.Number, again.Run.Number)
	}
	return f
}

func newestOf(f app.Floor) *app.FloorPlan {
	if f.Proposed != nil {
		return f.Proposed
	}
	return f.Plan
}

// lastOf is the day on which the last car is finished.
func lastOf(p *app.FloorPlan) (last domain.Day) {
	for _, j := range p.Said.Jobs {
		last = max(last, j.Day)
	}
	return last
}

func sameProposal(x, y *app.FloorPlan) bool {
	return (x == nil) == (y == nil) && (x == nil || x.ID == y.ID)
}

func lateOf(p *app.FloorPlan) (late int) {
	for _, j := range p.Said.Jobs {
		if j.LateDays > 0 {
			late++
		}
	}
	return late
}

// Nobody logs anything from Monday, 3 March on. Each working day, and no other, has one
// new plan of that day with later dates; what the plan that holds promises breaks in
// time, and is not broken unasked.
func TestAPlanIsOvertakenByTime(t *testing.T) {
	t.Run("sqlite", func(t *testing.T) { overtakenByTime(t, open(t, settings("EUR", pricing.PerDocument))) })
	t.Run("postgres", func(t *testing.T) { overtakenByTime(t, openOnPostgres(t, settings("EUR", pricing.PerDocument))) })
}

func overtakenByTime(t *testing.T, b *bench) {
	b.soldJob()
	b.soldJob()
	first := b.plans()
	if first.Overtaken || !first.Current || lateOf(first.Plan) > 0 {
		t.Fatalf("on Monday: overtaken %v, current %v, %d late; want a plan of today that keeps its promises", first.Overtaken, first.Current, lateOf(first.Plan))
	}
	runs, last := first.Run.Number, lastOf(first.Plan)
	b.set(time.Date(2031, 3, 3, 23, 59, 0, 0, time.UTC))
	if f := b.plansAt(); f.Run.Number != runs || f.Overtaken {
		t.Errorf("still on Monday: run %d, overtaken %v; want none but the first", f.Run.Number, f.Overtaken)
	}
	for _, row := range []struct {
		day int
		new bool
	}{{4, true}, {5, true}, {6, true}, {7, true}, {8, false}, {9, false}, {10, true}, {11, true}} {
		before, err := b.app.Floor(t.Context(), b.owner)
		b.ok("reading", err)
		f := b.dawn(row.day)
		if made := f.Run.Number - runs; made != map[bool]int{true: 1, false: 0}[row.new] {
			t.Fatalf("%d March: %d plans made, want one on a working day and none on another", row.day, made)
		}
		runs = f.Run.Number
		if !row.new {
			if f.Overtaken != before.Overtaken {
				t.Errorf("%d March, closed: overtaken went from %v to %v", row.day, before.Overtaken, f.Overtaken)
			}
			continue
		}
		newest := newestOf(f)
		if f.Overtaken != (f.Proposed != nil) || f.Current == f.Overtaken {
			t.Errorf("%d March: a plan waits %v, and the one that holds is overtaken %v, current %v", row.day, f.Proposed != nil, f.Overtaken, f.Current)
		}
		if f.Run.Cause != "Work that was planned before today has not been logged." || newest.Cause != f.Run.Cause {
			t.Errorf("%d March: made because %q and %q", row.day, f.Run.Cause, newest.Cause)
		}
		if next := lastOf(newest); next < last {
			t.Errorf("%d March: the last car is finished on %s, a working day before that it was %s", row.day, next, last)
		} else {
			last = next
		}
		for _, bar := range newest.Said.Bars {
			if bar.Start.Before(time.Date(2031, 3, row.day, 0, 0, 0, 0, time.UTC)) {
				t.Errorf("%d March: %s of the new plan begins %s", row.day, bar.Code, bar.Start)
			}
		}
	}
	f, err := b.app.Floor(t.Context(), b.owner)
	b.ok("reading", err)
	if f.Proposed == nil || lateOf(f.Proposed) != 2 || lateOf(f.Plan) != 0 || last < lastOf(first.Plan).AddDays(7) {
		t.Fatalf("after a week of six working days: proposed %v, the plan that holds breaks %d, the last car %s; want a proposal that says that both promises break, a week later than %s",
			f.Proposed != nil, lateOf(f.Plan), last, lastOf(first.Plan))
	}
	// What the owner agrees to is of today, and is what everybody reads.
	agreed, err := b.app.DecidePlan(t.Context(), b.owner, f.Proposed.ID, true)
	b.ok("agreeing", err)
	if agreed.Overtaken || !agreed.Current {
		t.Errorf("agreed to: overtaken %v, current %v", agreed.Overtaken, agreed.Current)
	}
}

// plansAt looks at the floor as it is at this minute.
func (b *bench) plansAt() app.Floor {
	b.t.Helper()
	_, err := b.app.MakePlans(b.t.Context(), true)
	b.ok("planning", err)
	f, err := b.app.Floor(b.t.Context(), b.owner)
	b.ok("reading the floor", err)
	return f
}

// A shop that is closed is not planned anew: what was to begin on its first closed day
// begins when it opens, and the plan of that day is made then.
func TestAClosedShopIsNotPlannedAnew(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	b.set(time.Date(2031, 3, 3, 7, 0, 0, 0, time.UTC))
	b.plans()
	b.closeFor(8) // to Tuesday, 11 March
	f := b.plans()
	for day := 4; day <= 11; day++ {
		if next := b.dawn(day); next.Run.Number != f.Run.Number {
			t.Errorf("%d March, closed: a plan was made", day)
		}
	}
	if next := b.dawn(12); next.Run.Number != f.Run.Number || next.Overtaken != f.Overtaken && f.Proposed == nil {
		t.Errorf("12 March, the first open day: run %d, want %d, because nothing was to happen before today", next.Run.Number, f.Run.Number)
	}
	if next := b.dawn(13); next.Run.Number != f.Run.Number+1 || next.Run.Cause != "Work that was planned before today has not been logged." {
		t.Errorf("13 March: run %d because %q, want one more", next.Run.Number, next.Run.Cause)
	}
}

// Days are the shop's: at 00:01 UTC it is still Monday in Chicago and long Tuesday in
// Auckland. Zones by the IANA time zone database; in March 2031 their clocks are 5 or 6
// hours behind and 13 ahead of UTC.
func TestAWorkingDayIsTheShopsOwn(t *testing.T) {
	for zone, made := range map[string]int{"America/Chicago": 0, "Pacific/Auckland": 1} {
		s := settings("EUR", pricing.PerDocument)
		s.TimeZone = zone
		b := open(t, s)
		b.set(time.Date(2031, 3, 2, 19, 0, 0, 0, time.UTC)) // Monday morning in Auckland
		if zone == "America/Chicago" {
			b.set(time.Date(2031, 3, 3, 14, 0, 0, 0, time.UTC))
		}
		b.soldJob()
		f := b.plans()
		b.set(time.Date(2031, 3, 4, 0, 1, 0, 0, time.UTC))
		if next := b.plansAt(); next.Run.Number-f.Run.Number != made {
			t.Errorf("%s: %d plans more, want %d", zone, next.Run.Number-f.Run.Number, made)
		}
	}
}

// The clocks of Vienna go forward on Sunday, 30 March 2031, and back on Sunday, 26
// October (last Sundays, Directive 2000/84/EC). A shop that is open all days has one plan
// on each, and none the second time that it is 02:30.
func TestDaysOfAnotherLengthHaveOnePlanEach(t *testing.T) {
	for _, from := range []time.Time{time.Date(2031, 3, 28, 23, 30, 0, 0, time.UTC), time.Date(2031, 10, 24, 22, 30, 0, 0, time.UTC)} {
		s := settings("EUR", pricing.PerDocument)
		s.TimeZone = "Europe/Vienna"
		b := open(t, s)
		b.openAllDays()
		b.set(from) // half past midnight of Saturday
		b.soldJob()
		f := b.plans()
		made := map[domain.Day]int{}
		zone, err := time.LoadLocation("Europe/Vienna")
		b.ok("the zone", err)
		for at := from.Add(time.Hour); at.Before(from.Add(72 * time.Hour)); at = at.Add(30 * time.Minute) {
			b.set(at)
			next := b.plansAt()
			made[domain.DayOf(at, zone)] += next.Run.Number - f.Run.Number
			f = next
		}
		saturday := domain.DayOf(from, zone)
		if made[saturday] != 0 || made[saturday.AddDays(1)] != 1 || made[saturday.AddDays(2)] != 1 {
			t.Errorf("from %s: plans by day %v; want none on the first, which has one, and one on the Sunday and the Monday", from, made)
		}
	}
}

func (b *bench) openAllDays() {
	b.t.Helper()
	shop, err := b.app.Shop(b.t.Context(), b.owner)
	b.ok("reading the calendar", err)
	spec := shop.Calendar
	for _, d := range []string{"saturday", "sunday"} {
		spec.Week[d] = spec.Week["monday"]
	}
	spec.Holidays = ""
	_, err = b.app.ChangeCalendar(b.t.Context(), b.owner, app.Precondition{Given: true, Version: shop.CalendarVersion}, spec)
	b.ok("opening", err)
}

// Work that is logged as it was planned leaves nothing behind, so no plan is made for
// the day alone: the hours have brought their own.
func TestWorkThatIsLoggedIsNotOvertaken(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	one := b.soldJob()
	b.plans()
	b.set(time.Date(2031, 3, 3, 16, 25, 0, 0, time.UTC))
	_, err := b.app.LogHours(t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: taskCalled(t, one, "A10").ID}, StartedAt: b.now().Add(-4 * time.Hour), FinishedAt: b.now(), Done: true})
	b.ok("logging", err)
	_, err = b.app.ReleaseHold(t.Context(), b.owner, one.Job.ID, taskCalled(t, one, "A20").ID, b.key(), "Looked at.")
	b.ok("releasing", err)
	b.set(time.Date(2031, 3, 3, 17, 0, 0, 0, time.UTC)) // after closing
	f := b.plans()
	if next := b.dawn(4); next.Run.Number != f.Run.Number || next.Overtaken || !next.Current {
		t.Errorf("Tuesday: run %d, overtaken %v, current %v; want the plan of Monday evening to stand", next.Run.Number, next.Overtaken, next.Current)
	}
}

// What the owner dropped or stopped, and what failed, is not begun again in the same
// working day, and is on the next.
func TestWhatEndedInVainIsTriedAgainOnTheNextWorkingDay(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	f := b.plans()
	for day := 4; day < 14 && f.Proposed == nil; day++ {
		f = b.dawn(day)
	}
	_, err := b.app.DecidePlan(t.Context(), b.owner, f.Proposed.ID, false)
	b.ok("dropping", err)
	day := f.Proposed.MadeAt.Day()
	if again := b.dawn(day); again.Run.Number != f.Run.Number || again.Proposed != nil {
		t.Errorf("dropped, and run %d was begun on the same day", again.Run.Number)
	}
	if day++; time.Date(2031, 3, day, 0, 0, 0, 0, time.UTC).Weekday() == time.Saturday {
		day += 2
	}
	f = b.dawn(day)
	if f.Proposed == nil {
		t.Fatal("the next working day has no new proposal")
	}
	// A store that fails after the claim: the run fails, and rests for the day.
	b.set(f.Proposed.MadeAt.AddDate(0, 0, 7))
	broken := app.New(app.Options{Store: b.store, Now: b.now, NewID: func() string { panic("a defect") }})
	if made, err := broken.MakePlans(t.Context(), true); made != 1 || err == nil {
		t.Fatalf("with a defect: %d tried, %v", made, err)
	}
	for range 3 {
		if failed := b.plans(); failed.Run.State != domain.RunFailed {
			t.Errorf("failed: the run is %s on the same day", failed.Run.State)
		}
		b.hire("Orell Vask", "", domain.Client)
	}
	b.pass(24 * time.Hour)
	if next := b.plans(); next.Run.State != domain.RunDone {
		t.Errorf("the day after a failure the run is %s, want done", next.Run.State)
	}
}

// Two servers see the day begin: one of them makes its plan.
func TestTwoServersMakeOnePlanOfADay(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	f := b.plans()
	second := app.New(app.Options{Store: b.store, Now: b.now, NewID: func() string { return "of-the-second-" + b.key() }})
	if made, err := second.MakePlans(t.Context(), true); err != nil || made != 0 {
		t.Fatalf("on Monday the second made %d (%v), want none", made, err)
	}
	b.set(time.Date(2031, 3, 4, 0, 1, 0, 0, time.UTC))
	made := 0
	for _, server := range []*app.App{b.app, second, b.app, second} {
		n, err := server.MakePlans(t.Context(), true)
		b.ok("planning", err)
		made += n
		b.pass(10 * time.Second)
	}
	if next, err := b.app.Floor(t.Context(), b.owner); err != nil || made != 1 || next.Run.Number != f.Run.Number+1 {
		t.Errorf("on Tuesday %d plans were made (%v), want one", made, err)
	}
}

// between lets something happen after each look at the store.
type between struct {
	app.Store
	then func()
}

func (s between) View(ctx context.Context, shop domain.ID, fn func(r app.Reader) error) error {
	defer s.then()
	return s.Store.View(ctx, shop, fn)
}

// One server saw that the day has no plan; before it begins, another makes it.
func TestAPlanThatAnotherServerMadeMeanwhileIsNotMadeAgain(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	f := b.plans()
	b.set(time.Date(2031, 3, 4, 0, 1, 0, 0, time.UTC))
	slow := app.New(app.Options{Store: between{b.store, func() { b.plansAt() }}, Now: b.now, NewID: func() string { return "of-the-slow-" + b.key() }})
	if made, err := slow.MakePlans(t.Context(), true); err != nil || made != 0 {
		t.Errorf("the slow server made %d (%v), want none", made, err)
	}
	if next, err := b.app.Floor(t.Context(), b.owner); err != nil || next.Run.Number != f.Run.Number+1 {
		t.Errorf("run %d (%v), want one more than %d", next.Run.Number, err, f.Run.Number)
	}
}

// A what-if of a day that has passed is of another floor once time has overtaken it.
func TestAWhatIfIsOvertakenToo(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	one := b.soldJob()
	b.plans()
	trial, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{{Kind: levelling.WeighJob, Job: one.Job.ID, By: 5}})
	b.ok("trying", err)
	_, err = b.app.KeepTrial(t.Context(), b.owner, trial.ID, "Heavier")
	b.ok("saving", err)
	current := func() bool {
		all, err := b.app.WhatIfs(t.Context(), b.owner)
		b.ok("listing", err)
		return all[0].Current
	}
	b.set(time.Date(2031, 3, 3, 23, 0, 0, 0, time.UTC))
	if !current() {
		t.Error("on the day itself the what-if is of another floor")
	}
	b.set(time.Date(2031, 3, 4, 0, 1, 0, 0, time.UTC))
	if current() {
		t.Error("what was tried for Monday is current on Tuesday, with nothing logged")
	}
	_, err = b.app.AdoptTrial(t.Context(), b.owner, trial.ID)
	refused(t, "making Monday's what-if real on Tuesday", err, "floor-moved")
}
