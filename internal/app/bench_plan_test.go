package app_test

import (
	"bytes"
	"log/slog"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
	"bareframe/internal/pricing"
	"bareframe/internal/store"
)

func (b *bench) day(who domain.Actor) app.Today {
	b.t.Helper()
	d, err := b.app.Today(b.t.Context(), who)
	b.ok("today of "+who.Name, err)
	return d
}

func (b *bench) logs(who domain.Actor, task domain.ID, from time.Time, long time.Duration, done bool) {
	b.t.Helper()
	_, err := b.app.LogHours(b.t.Context(), who, b.key(), app.Log{On: app.Target{TaskID: task}, StartedAt: from, FinishedAt: from.Add(long), Done: done})
	b.ok("logging", err)
}

// follows holds a day against the plan as the floor shows it: what the plan gives
// to somebody stands first, under way before the rest, by its own start, each with
// the plan's times and names; what it gives to others is beside it.
func (b *bench) follows(d app.Today, who domain.Actor, plan *app.FloorPlan) {
	b.t.Helper()
	if d.Plan == nil || d.Plan.ID != plan.ID || d.Unplanned != "" {
		b.t.Fatalf("%s's day follows %+v (%q), want plan %s", who.Name, d.Plan, d.Unplanned, plan.ID)
	}
	var want []app.FloorBar
	for _, x := range plan.Said.Bars { // by start
		if slices.Contains(x.People, who.PersonID) && x.Progress != "finished" && (d.Clock == nil || d.Clock.Entry.TaskID != x.TaskID) {
			want = append(want, x)
		}
	}
	slices.SortStableFunc(want, func(x, y app.FloorBar) int { return strings.Compare(x.Progress, y.Progress) }) // in_progress, not_started
	if len(d.Next) > len(want) || len(want) > 0 && len(d.Next) == 0 {
		b.t.Fatalf("%s has %d tasks next, the plan names %d", who.Name, len(d.Next), len(want))
	}
	for i, c := range d.Next {
		if w := want[i]; c.Task.ID != w.TaskID || c.Plan == nil || !c.Plan.Mine || !c.Plan.Start.Equal(w.Start) || !c.Plan.Finish.Equal(w.Finish) || len(c.Plan.With) != len(w.People)-1 {
			b.t.Errorf("%s, place %d: got %s %+v, want %s from %s to %s with %d others", who.Name, i, c.Task.Code, c.Plan, w.Code, w.Start, w.Finish, len(w.People)-1)
		}
	}
	end := d.Day.End(time.UTC)
	for i, w := range want {
		if w.Start.Before(end) && i >= len(d.Next) {
			b.t.Errorf("%s: %s begins %s by the plan and is not on the day", who.Name, w.Code, w.Start)
		}
	}
	for _, c := range d.Others {
		if c.Plan != nil && c.Plan.Mine {
			b.t.Errorf("%s: %s stands among what is others'", who.Name, c.Task.Code)
		}
	}
}

func TestTheDayFollowsTheAgreedPlan(t *testing.T) {
	theDayFollows(t, open(t, settings("EUR", pricing.PerDocument)))
}

func TestTheDayFollowsTheAgreedPlanOnPostgres(t *testing.T) {
	theDayFollows(t, openOnPostgres(t, settings("EUR", pricing.PerDocument)))
}

func theDayFollows(t *testing.T, b *bench) {
	for range 3 {
		b.soldJob()
	}
	before := b.day(b.marik)
	if before.Plan != nil || len(before.Next) == 0 || !strings.Contains(before.Unplanned, "No plan") || before.Others != nil {
		t.Fatalf("without a plan: got plan %v, %d next, %q", before.Plan, len(before.Next), before.Unplanned)
	}
	first := b.plans().Plan
	given := map[domain.ID]bool{}
	for _, who := range []domain.Actor{b.marik, b.tessel} {
		d := b.day(who)
		b.follows(d, who, first)
		for _, c := range d.Next {
			if given[c.Task.ID] {
				t.Errorf("%s is given to two people, and one is enough for it", c.Task.Code)
			}
			given[c.Task.ID] = true
		}
	}
	// Somebody is first on what the plan gives him; it stays at the top when the clock is stopped.
	mine := b.day(b.marik).Next
	last := mine[len(mine)-1]
	for _, c := range mine {
		if c.Ready && len(c.Blocks) == 0 {
			last = c
		}
	}
	b.pass(time.Hour)
	b.logs(b.marik, last.Task.ID, b.now().Add(-time.Hour), time.Hour, false)
	if d := b.day(b.marik); len(d.Next) == 0 || d.Next[0].Task.ID != last.Task.ID {
		t.Errorf("%s is under way and does not stand first", last.Task.Code)
	}
	second := b.plans().Plan
	b.follows(b.day(b.marik), b.marik, second)
	b.follows(b.day(b.tessel), b.tessel, second)
}

// On the next day what was not begun is late; a week after the last thing that the
// plan names it orders nothing any more.
func TestWhatThePlanGaveAndNobodyBeganIsLate(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	plan := b.plans().Plan
	var bar app.FloorBar
	for _, x := range plan.Said.Bars {
		if x.Kind == domain.Work && len(x.People) > 0 {
			bar = x
			break
		}
	}
	who := b.marik
	if bar.People[0] == b.tessel.PersonID {
		who = b.tessel
	}
	if d := b.day(who); d.Next[0].Task.ID != bar.TaskID || d.Next[0].Plan.Late {
		t.Errorf("on the day itself: got %s, late %v; want %s, not late", d.Next[0].Task.Code, d.Next[0].Plan.Late, bar.Code)
	}
	b.pass(24 * time.Hour)
	if d := b.day(who); d.Next[0].Task.ID != bar.TaskID || !d.Next[0].Plan.Late || d.Next[0].Plan.Why != "" {
		t.Errorf("a day later: got %s, %+v; want %s, late and not that it is next", d.Next[0].Task.Code, d.Next[0].Plan, bar.Code)
	}
	end := bar.Finish
	for _, x := range plan.Said.Bars {
		if x.Finish.After(end) {
			end = x.Finish
		}
	}
	b.set(end.Add(8 * 24 * time.Hour))
	if d := b.day(who); d.Plan != nil || d.Unplanned == "" || len(d.Next) == 0 {
		t.Errorf("long after the plan's end: got plan %v, %q, %d next; want none, a reason and what is free", d.Plan, d.Unplanned, len(d.Next))
	}
}

// The plan moves a task to somebody else while its clock runs: the clock runs on,
// its card says whose the task is now, and the hours are kept.
func TestAClockRunsOnWhenThePlanMovesItsTask(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	b.soldJob()
	first := b.plans().Plan
	card := b.day(b.marik).Next[0]
	at := card.Plan.Start.AddDate(0, 0, 7)
	trial, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{{Kind: levelling.PinTask, Task: card.Task.ID, At: &at, People: []string{b.tessel.PersonID}}})
	b.ok("trying to give it to another", err)
	kept, err := b.app.AdoptTrial(t.Context(), b.owner, trial.ID)
	b.ok("keeping", err)
	if kept.Plan.ID == first.ID {
		t.Fatal("the plan is the old one")
	}
	_, err = b.app.StartClock(t.Context(), b.marik, b.key(), app.Target{TaskID: card.Task.ID}, nil, "")
	b.ok("starting on it all the same", err)
	d := b.day(b.marik)
	if d.Clock == nil || d.Card == nil || d.Card.Task.ID != card.Task.ID {
		t.Fatalf("the clock is %+v on %+v, want it to run on %s", d.Clock, d.Card, card.Task.Code)
	}
	if p := d.Card.Plan; p == nil || p.Mine || !slices.Equal(p.With, []string{b.tessel.Name}) {
		t.Errorf("the card says %+v, want that it is %s's", p, b.tessel.Name)
	}
	b.pass(time.Hour)
	_, err = b.app.StopClock(t.Context(), b.marik, b.key(), app.Stop{HoursToGo: ptr(dec("2"))})
	b.ok("stopping", err)
	after := b.day(b.marik)
	if after.Minutes != 60 || after.Next[0].Task.ID != card.Task.ID || after.Next[0].Stand.State != app.TaskInWork {
		t.Errorf("stopped: got %d minutes, first %s; want 60 and %s, under way", after.Minutes, after.Next[0].Task.Code, card.Task.Code)
	}
	if slices.ContainsFunc(after.Others, func(c app.Card) bool { return c.Task.ID == card.Task.ID }) {
		t.Error("it stands in both places")
	}
}

// A day asks the store as often for six cars in a plan as for one.
func TestADayTakesTheSameStatementsWhateverTheFloorHolds(t *testing.T) {
	var log bytes.Buffer
	b := openOn(t, settings("EUR", pricing.PerDocument), store.Options{SQLitePath: filepath.Join(t.TempDir(), "shop.db"), Log: slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug}))})
	counted := func() (statements, tasks int) {
		b.t.Helper()
		if f := b.plans(); f.Proposed != nil {
			_, err := b.app.DecidePlan(t.Context(), b.owner, f.Proposed.ID, true)
			b.ok("agreeing", err)
		}
		b.day(b.marik) // estimates and the plan are read once
		log.Reset()
		d := b.day(b.marik)
		if d.Plan == nil || len(d.Next) == 0 {
			t.Fatalf("the day follows %v with %d tasks next", d.Plan, len(d.Next))
		}
		if n := strings.Count(log.String(), "shop_plans"); n != 1 || !strings.Contains(log.String(), "SELECT id FROM shop_plans") {
			t.Errorf("%d statements read plans, want one that asks which is agreed", n)
		}
		return strings.Count(log.String(), "msg=statement "), len(d.Next) + len(d.Others)
	}
	b.soldJob()
	one, few := counted()
	for range 5 {
		p := b.soldJob()
		b.logs(b.tessel, taskCalled(t, p, "A10").ID, b.now(), time.Minute, false)
		b.pass(time.Hour)
	}
	six, more := counted()
	if one == 0 || six != one || more <= few {
		t.Errorf("one car: %d statements for %d tasks; six: %d for %d; want the same number for more", one, few, six, more)
	}
}
