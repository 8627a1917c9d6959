package app_test

import (
	"strings"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/levelling"
	"bareframe/internal/pricing"
)

// onlySkill gives everybody who works one skill and no other.
func (b *bench) onlySkill(skill string) {
	b.t.Helper()
	people, _, err := b.app.People(b.t.Context(), b.owner, domain.Technician, app.Page{Limit: 50})
	b.ok("reading the people", err)
	for _, p := range people {
		p.Skills = []string{skill}
		_, err := b.app.ChangePerson(b.t.Context(), b.owner, p.ID, app.Precondition{Given: true, Version: p.Version}, p)
		b.ok("learning", err)
	}
}

// A car that nobody can finish any more has no finish: the end of its part that can be
// planned is no date, so it neither counts as earlier nor takes the old plan's place.
func TestACarThatCannotBeFinishedIsNotEarlier(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	first := b.plans()
	const skill = "welder"
	b.onlySkill("fitter")
	lost := b.plans()
	if lost.Plan.ID != first.Plan.ID || lost.Proposed == nil {
		t.Fatalf("nobody is a %s any more: plan %d holds, proposed %v; want plan %d and a proposal for the owner", skill, lost.Plan.Revision, lost.Proposed, first.Plan.Revision)
	}
	j := lost.Proposed.Said.Jobs[0]
	if !j.Unsure || j.Moved != 0 || j.LateDays != 0 {
		t.Errorf("got unsure %v, moved %d, late %d; want no finish to compare", j.Unsure, j.Moved, j.LateDays)
	}
	if len(lost.Proposed.Said.Unplaced) == 0 || !strings.Contains(lost.Proposed.Said.Unplaced[0].Words, skill) {
		t.Errorf("got %+v, want the missing skill %q named", lost.Proposed.Said.Unplaced, skill)
	}
	_, err := b.app.DecidePlan(t.Context(), b.owner, lost.Proposed.ID, true)
	b.ok("agreeing", err)
	if why := b.page(j.JobID).Why; !strings.Contains(why, skill) {
		t.Errorf("the job's page says %q, want what keeps it from a finish", why)
	}
	gains, err := b.app.Relief(t.Context(), b.owner)
	b.ok("relief", err)
	for _, g := range gains {
		if want := g.Skill == skill; want != (g.Places > 0) {
			t.Errorf("one more %s%s lets %d tasks be planned, want some: %v", g.Skill, g.Station, g.Places, want)
		}
	}
	trial, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{{Kind: levelling.AddPerson, Skill: skill}})
	b.ok("trying", err)
	if len(trial.Said.Unplaced) > 0 || trial.Said.Jobs[0].Unsure {
		t.Errorf("with one more %s: got %+v, want all of it planned", skill, trial.Said.Unplaced)
	}
}

// Days off that leave no working time for a year are refused at the change that made
// them so, in a sentence, and also where two only do so together.
func TestAWhatIfThatNeverEndsIsNamed(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	b.plans()
	shop, err := b.app.Shop(t.Context(), b.owner)
	b.ok("settings", err)
	today, key := b.today(shop), shop.Settings.Stations[0].Key
	days := func(from, to int) levelling.Change {
		return levelling.Change{Kind: levelling.CloseStation, Station: key, From: string(today.AddDays(from)), To: string(today.AddDays(to))}
	}
	away := levelling.Change{Kind: levelling.PersonAway, Person: b.marik.PersonID, From: string(today), To: string(today.AddDays(366))}
	for _, row := range []struct {
		name    string
		changes []levelling.Change
		at      string
	}{
		{"a station for 367 days", []levelling.Change{days(0, 366)}, "/changes/0/to"},
		{"two closures on end", []levelling.Change{days(0, 200), days(201, 400)}, "/changes/1/to"},
		{"somebody for 367 days", []levelling.Change{days(0, 3), away}, "/changes/1/to"},
	} {
		_, err := b.app.TryFloor(t.Context(), b.owner, row.changes)
		if f := fault.As(err); f == nil || f.Code != "change-invalid" || len(f.Fields) != 1 || f.Fields[0].Pointer != row.at {
			t.Errorf("%s: got %v, want change-invalid at %s", row.name, err, row.at)
		}
	}
}

// A weight that nothing moves by makes nothing later: both sums are by the weights of
// the trial.
func TestAHeavierJobIsNoLaterByItself(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	one := b.soldJob()
	b.closeFor(60)
	b.plans()
	trial, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{{Kind: levelling.WeighJob, Job: one.Job.ID, By: 7}})
	b.ok("trying", err)
	if j := trial.Said.Jobs[0]; j.LateDays == 0 || j.Moved != 0 {
		t.Fatalf("the only car: got %d days late and moved by %d; want late, and where it was", j.LateDays, j.Moved)
	}
	if trial.Before != trial.Said.Result.Cost.Late {
		t.Errorf("late before %d, after %d; want the same, since the car finishes when it did", trial.Before, trial.Said.Result.Cost.Late)
	}
}

// Who keeps a car waiting longest by not being there is named, on the car and on the task.
func TestWhoIsNotThereIsNamed(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	b.plans()
	shop, err := b.app.Shop(t.Context(), b.owner)
	b.ok("settings", err)
	from, to := string(b.today(shop)), string(b.today(shop).AddDays(60))
	var changes []levelling.Change
	for _, who := range []domain.Actor{b.marik, b.tessel} {
		changes = append(changes, levelling.Change{Kind: levelling.PersonAway, Person: who.PersonID, From: from, To: to})
	}
	trial, err := b.app.TryFloor(t.Context(), b.owner, changes)
	b.ok("trying", err)
	named := func(words string) bool {
		return strings.Contains(words, b.marik.Name+" is") || strings.Contains(words, b.tessel.Name+" is")
	}
	if j := trial.Said.Jobs[0]; j.Moved == 0 || !named(j.Words) {
		t.Errorf("both away for 60 days: got %q, moved by %d; want one of them named", j.Words, j.Moved)
	}
	if first := trial.Said.Bars[0]; !named(first.Why) {
		t.Errorf("the first task: got %q, want one of them named", first.Why)
	}
}
