package app_test

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/levelling"
	"bareframe/internal/pricing"
)

// plans makes what was asked for and what has become stale, and answers the floor.
func (b *bench) plans() app.Floor {
	b.t.Helper()
	b.pass(time.Minute) // the floor has to be quiet for a while
	_, err := b.app.MakePlans(b.t.Context(), true)
	b.ok("planning", err)
	f, err := b.app.Floor(b.t.Context(), b.owner)
	b.ok("reading the floor", err)
	return f
}

// closeFor closes the shop from today on.
func (b *bench) closeFor(days int) {
	b.t.Helper()
	shop, err := b.app.Shop(b.t.Context(), b.owner)
	b.ok("reading the calendar", err)
	spec := shop.Calendar
	spec.Closures = append(spec.Closures, calendar.Closure{From: string(b.today(shop)), To: string(b.today(shop).AddDays(days)), Reason: "Flood"})
	_, err = b.app.ChangeCalendar(b.t.Context(), b.owner, app.Precondition{Given: true, Version: shop.CalendarVersion}, spec)
	b.ok("closing", err)
}

// holds checks a stored plan with the engine's own slow check, which shares nothing
// with what made it.
func (b *bench) holds(p *app.FloorPlan) {
	b.t.Helper()
	in, facts, err := b.app.SeenFloor(b.t.Context(), b.shop)
	b.ok("reading what the plan is made from", err)
	if p.Facts != facts {
		b.t.Fatal("the plan was made from other facts")
	}
	if broken := levelling.Check(in, p.Said.Result); len(broken) > 0 {
		b.t.Errorf("the stored plan breaks: %v", broken)
	}
}

func TestAPlanIsMadeKeptProposedAndDecided(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	one := b.soldJob()
	b.soldJob()
	first := b.plans()
	if first.Plan == nil || first.Plan.State != domain.PlanAgreed || !first.Current || len(first.Plan.Said.Jobs) != 2 {
		t.Fatalf("the first plan: got %+v; it holds, is current and has both cars", first.Plan)
	}
	b.holds(first.Plan)
	if again := b.plans(); again.Plan.ID != first.Plan.ID || again.Proposed != nil {
		t.Error("nothing happened, yet another plan was made")
	}
	// Hours move the facts; no car finishes on a later day, so the new plan holds unasked.
	_, err := b.app.LogHours(t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: one.Estimate.Tasks[0].ID}, StartedAt: b.now().Add(-30 * time.Minute), FinishedAt: b.now()})
	b.ok("logging", err)
	if f, err := b.app.Floor(t.Context(), b.owner); err != nil || f.Current {
		t.Errorf("hours were logged and the plan still says that it is current (%v)", err)
	}
	worked := b.plans()
	if worked.Plan.ID == first.Plan.ID || worked.Plan.DecidedBy != "The shop's rule" || !worked.Current {
		t.Errorf("after hours: got plan %d decided by %q, current %v; want a newer one by the shop's rule", worked.Plan.Revision, worked.Plan.DecidedBy, worked.Current)
	}
	// Nobody is there for a month: every car is later, so the plan waits for the owner.
	b.closeFor(30)
	waits := b.plans()
	if waits.Proposed == nil || waits.Plan.ID != worked.Plan.ID {
		t.Fatalf("the shop closes for a month: got proposed %v and plan %d; want a proposal beside plan %d", waits.Proposed, waits.Plan.Revision, worked.Plan.Revision)
	}
	for _, j := range waits.Proposed.Said.Jobs {
		if j.Moved < 1 {
			t.Errorf("job %d: moved by %d working days, want at least one", j.Number, j.Moved)
		}
	}
	agreed, err := b.app.DecidePlan(t.Context(), b.owner, waits.Proposed.ID, true)
	b.ok("agreeing", err)
	if agreed.Plan.ID != waits.Proposed.ID || agreed.Proposed != nil || agreed.Plan.DecidedBy != b.owner.Name {
		t.Errorf("agreed to %s: got plan %s decided by %q", waits.Proposed.ID, agreed.Plan.ID, agreed.Plan.DecidedBy)
	}
	b.holds(agreed.Plan)
	_, err = b.app.DecidePlan(t.Context(), b.owner, waits.Proposed.ID, false)
	refused(t, "deciding twice", err, "plan-decided")
	_, err = b.app.PlanFloor(t.Context(), b.marik)
	refused(t, "a technician plans", err, "not-for-this-role")
}

func TestAPlanThatIsStoppedChangesNothing(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	first := b.plans()
	asked, err := b.app.PlanFloor(t.Context(), b.owner)
	b.ok("asking", err)
	if asked.Run.State != domain.RunWaiting {
		t.Errorf("asked for, the run is %s, want waiting", asked.Run.State)
	}
	stopped, err := b.app.CancelPlanning(t.Context(), b.owner)
	b.ok("stopping", err)
	if stopped.Run.State != domain.RunCancelled {
		t.Errorf("stopped, the run is %s, want cancelled", stopped.Run.State)
	}
	if after := b.plans(); after.Plan.ID != first.Plan.ID || after.Proposed != nil {
		t.Error("a run that was stopped left a plan")
	}
	_, err = b.app.PlanFloor(t.Context(), b.owner)
	b.ok("asking again", err)
	ended, end := context.WithCancel(t.Context())
	end()
	if _, err := b.app.MakePlans(ended, true); err == nil {
		t.Error("a server that stops made a plan all the same")
	}
	if after := b.plans(); after.Run.State != domain.RunDone {
		t.Errorf("after the server came back the run is %s, want done", after.Run.State)
	}
}

func TestATrialIsSeenBeforeItIsKept(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	one := b.soldJob()
	b.soldJob()
	first := b.plans()
	var bar app.FloorBar
	for _, x := range first.Plan.Said.Bars {
		if x.JobID == one.Job.ID && x.Kind == domain.Work && x.Progress == "not_started" {
			bar = x
		}
	}
	at := bar.Start.AddDate(0, 0, 14) // the same hour of the same weekday
	try := func() app.WhatIf {
		trial, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{{Kind: levelling.PinTask, Task: bar.TaskID, At: &at}})
		b.ok("trying", err)
		return trial
	}
	trial := try()
	if !trial.Real || len(trial.Said.Jobs) != 2 || len(trial.Words) != 1 {
		t.Errorf("a move: real %v, %d jobs, words %q; want real, both cars, one sentence", trial.Real, len(trial.Said.Jobs), trial.Words)
	}
	if f, _ := b.app.Floor(t.Context(), b.owner); f.Plan.ID != first.Plan.ID {
		t.Error("trying changed the plan")
	}
	old := try()
	kept, err := b.app.AdoptTrial(t.Context(), b.owner, trial.ID)
	b.ok("making it real", err)
	b.holds(kept.Plan)
	for _, p := range kept.Plan.Said.Result.Tasks {
		if p.Task == bar.TaskID && !p.Start.Equal(at) {
			t.Errorf("kept, the task starts %s, want %s", p.Start, at)
		}
	}
	_, err = b.app.AdoptTrial(t.Context(), b.owner, old.ID)
	refused(t, "making real what was tried on another floor", err, "floor-moved")
	_, err = b.app.UnpinTask(t.Context(), b.owner, bar.TaskID)
	b.ok("unpinning", err)
	free := b.plans()
	for _, p := range free.Plan.Said.Result.Tasks {
		if p.Task == bar.TaskID && !p.Start.Before(at) {
			t.Errorf("unpinned, the task still starts %s", p.Start)
		}
	}
	more, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{{Kind: levelling.AddPerson, Skill: "welder"}})
	b.ok("one more welder", err)
	if more.Real {
		t.Error("somebody who is not there was called real")
	}
	_, err = b.app.AdoptTrial(t.Context(), b.owner, more.ID)
	refused(t, "hiring from the floor", err, "trial-not-real")
	after, err := b.app.KeepTrial(t.Context(), b.owner, more.ID, "One more welder")
	b.ok("saving", err)
	if after.Plan.ID != free.Plan.ID {
		t.Error("saving a what-if changed the plan")
	}
	saved, err := b.app.WhatIfs(t.Context(), b.owner)
	if b.ok("listing", err); len(saved) != 1 || saved[0].Name != "One more welder" || !json.Valid(saved[0].Body) {
		t.Errorf("got %d saved, want the one", len(saved))
	}
	b.ok("dropping", b.app.DropTrial(t.Context(), b.owner, more.ID))
	_, err = b.app.Relief(t.Context(), b.owner)
	b.ok("relief", err)
}

// What the owner tries and makes real stands in the settings and among the people
// afterwards, and the plan that was seen is one of that shop.
func TestWhatWasTriedIsMadeReal(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	one := b.soldJob()
	b.soldJob()
	first := b.plans()
	shop, err := b.app.Shop(t.Context(), b.owner)
	b.ok("settings", err)
	station := shop.Settings.Stations[0]
	from, to := b.today(shop).AddDays(7), b.today(shop).AddDays(13)
	trial, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{
		{Kind: levelling.AddCapacity, Station: station.Key, By: 1},
		{Kind: levelling.CloseStation, Station: station.Key, From: string(from), To: string(to)},
		{Kind: levelling.PersonAway, Person: b.marik.PersonID, From: string(from), To: string(to)},
		{Kind: levelling.JobFirst, Job: one.Job.ID},
	})
	b.ok("trying", err)
	if shop, err = b.app.Shop(t.Context(), b.owner); err != nil || shop.Settings.Stations[0].Capacity != station.Capacity {
		t.Fatalf("trying changed the settings (%v)", err)
	}
	kept, err := b.app.AdoptTrial(t.Context(), b.owner, trial.ID)
	b.ok("making it real", err)
	b.holds(kept.Plan)
	if !kept.Current || kept.Plan.ID == first.Plan.ID || kept.Plan.State != domain.PlanAgreed || kept.Plan.DecidedBy != b.owner.Name {
		t.Errorf("got current %v, plan %s by %q; want a new plan, current, decided by the owner", kept.Current, kept.Plan.State, kept.Plan.DecidedBy)
	}
	shop, err = b.app.Shop(t.Context(), b.owner)
	b.ok("settings", err)
	if got := shop.Settings.Stations[0]; got.Capacity != station.Capacity+1 || len(got.Roster.Absences) != 1 || got.Roster.Absences[0].From != from || got.Roster.Absences[0].To != to {
		t.Errorf("the station is %+v with %+v; want one place more and closed from %s to %s", got, got.Roster, from, to)
	}
	for _, p := range kept.People {
		if p.ID == b.marik.PersonID && (p.Roster.Empty() || p.Roster.Absences[0].From != from || p.Roster.Absences[0].To != to) {
			t.Errorf("%s has roster %+v, want the days off", p.Name, p.Roster)
		}
	}
	page, err := b.app.JobPage(t.Context(), b.owner, one.Job.ID)
	if b.ok("the job", err); page.Job.Weight != 9 {
		t.Errorf("the job weighs %d, want 9, the most that a shop gives", page.Job.Weight)
	}
}

func TestAWhatIfNamesItsWrongField(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	b.plans()
	shop, err := b.app.Shop(t.Context(), b.owner)
	b.ok("settings", err)
	key := shop.Settings.Stations[0].Key
	for _, row := range []struct {
		name, from, to, at string
	}{
		{"backwards", "2031-03-09", "2031-03-08", "/changes/0/to"},
		{"no such day", "2031-02-30", "2031-03-08", "/changes/0/from"},
		{"no last day", "2031-02-03", "", "/changes/0/to"},
		{"longer than a year", "2031-02-03", "2189-12-31", "/changes/0/to"},
	} {
		_, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{{Kind: levelling.CloseStation, Station: key, From: row.from, To: row.to}})
		if f := fault.As(err); f == nil || f.Code != "change-invalid" || len(f.Fields) != 1 || f.Fields[0].Pointer != row.at {
			t.Errorf("%s: got %v, want change-invalid at %s", row.name, err, row.at)
		}
	}
}
