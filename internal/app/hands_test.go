package app_test

import (
	"strings"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// skilled gives a person skills.
func (b *bench) skilled(who domain.Actor, skills ...string) {
	b.t.Helper()
	p, err := b.app.Person(b.t.Context(), b.owner, who.PersonID)
	b.ok("person", err)
	p.Skills = skills
	_, err = b.app.ChangePerson(b.t.Context(), b.owner, p.ID, app.Precondition{Given: true, Version: p.Version}, p)
	b.ok("skills", err)
}

// needing is a job whose weld needs a crew and fitters beside it.
func (b *bench) needing(crew, fitters int) app.JobPage {
	b.t.Helper()
	p := b.job(b.template)
	weld := taskCalled(b.t, p, "B10")
	weld.Crew = crew
	floor := domain.Floor{}
	if fitters > 0 {
		floor.Helpers = []domain.Helper{{Skill: "fitter", Count: fitters}}
	}
	p, err := b.app.ChangeTask(b.t.Context(), b.owner, p.Job.ID, weld.ID, made(p), weld, &floor)
	b.ok("needing more", err)
	return p
}

// Two technicians: Marik welds and fits, Tessel does anything until skills are
// listed, the owner has none and is not counted.
func TestAnEstimateWarnsOfHandsThatTheShopHasNot(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	b.skilled(b.marik, "welder", "fitter")
	for _, r := range []struct {
		name          string
		crew, fitters int
		want          []string
	}{
		{"as many as there are", 2, 2, nil},
		{"one welder too many", 3, 0, []string{"B10 Weld needs 3 people with the skill Welder at once, and the shop has 2."}},
		{"helpers count by their own skill", 1, 3, []string{"B10 Weld needs 3 people with the skill Fitter at once, and the shop has 2."}},
		{"both", 4, 5, []string{"B10 Weld needs 4 people with the skill Welder at once, and the shop has 2.", "B10 Weld needs 5 people with the skill Fitter at once, and the shop has 2."}},
	} {
		if got := b.needing(r.crew, r.fitters).Warnings; strings.Join(got, "\n") != strings.Join(r.want, "\n") {
			t.Errorf("%s: crew of %d and %d fitters: %q, want %q", r.name, r.crew, r.fitters, got, r.want)
		}
	}
	b.skilled(b.tessel, "fitter")
	b.skilled(b.marik, "fitter")
	p := b.job(b.template)
	if len(p.Warnings) != 1 || p.Warnings[0] != "B10 Weld needs 1 person with the skill Welder at once, and the shop has 0." {
		t.Errorf("nobody welds: %q", p.Warnings)
	}
	b.issue(p) // said, not refused
}

func TestATaskSavedWithoutItsFloorKeepsIt(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	p := b.needing(1, 1)
	weld := taskCalled(t, p, "B10")
	weld.Note, weld.Floor = "Mind the shims.", domain.Floor{}
	p, err := b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, weld.ID, made(p), weld, nil)
	b.ok("a note", err)
	if weld = taskCalled(t, p, "B10"); weld.Note == "" || len(weld.Floor.Helpers) != 1 {
		t.Errorf("after a note of its own the task is %q with %+v", weld.Note, weld.Floor)
	}
	p, err = b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, weld.ID, made(p), weld, &domain.Floor{})
	b.ok("an empty floor", err)
	if weld = taskCalled(t, p, "B10"); !weld.Floor.Same(domain.Floor{}) {
		t.Errorf("taken away, the floor is %+v", weld.Floor)
	}
}

// Painter is a skill that no task has as its own.
func TestASkillThatOnlyHelpersHaveStays(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	b.skilled(b.marik, "welder", "fitter")
	book := func() domain.Shop {
		shop, err := b.app.Shop(t.Context(), b.owner)
		b.ok("shop", err)
		return shop
	}
	set := func(c app.PriceChange) error {
		_, err := b.app.SetPrices(t.Context(), b.owner, app.Precondition{Given: true, Version: book().PriceBookVersion}, c)
		return err
	}
	painter := domain.LabourRate{Skill: "painter", Name: "Painter", CostRate: dec("30"), SellRate: dec("60")}
	b.ok("a painter's rate", set(app.PriceChange{Set: []domain.PriceRow{{Labour: &painter}}}))
	p := b.job(b.template)
	weld := taskCalled(t, p, "B10")
	p, err := b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, weld.ID, made(p), weld, &domain.Floor{Helpers: []domain.Helper{{Skill: "painter", Count: 1}}})
	b.ok("a painter helps", err)
	gone := app.PriceChange{Removed: []domain.PriceRef{domain.PriceRow{Labour: &painter}.Ref()}}
	refused(t, "taking out the helper's skill", set(gone), "skill-in-use")
	_, err = b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, weld.ID, made(p), weld, &domain.Floor{})
	b.ok("nobody helps", err)
	b.ok("taking out a skill of nobody", set(gone))
}

// Monday 3 March 2031, 08:00. What B10 needs is expected on Monday the 17th, so it
// starts at that Monday's opening instead of on the 3rd, and all that follows moves;
// fitted, it holds nothing up.
func TestALateDeliveryMovesThePlan(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	p := b.soldJob()
	note := func(s domain.Supply) app.JobPage {
		t.Helper()
		s.RestockingFee = dec("0")
		_, err := b.app.NoteSupply(t.Context(), b.owner, p.Job.ID, p.Estimate.Lines[0].ID, b.key(), s)
		b.ok("supply", err)
		return b.page(p.Job.ID)
	}
	weld := taskCalled(t, p, "B10").ID
	starts := func(p app.JobPage) string { return p.Plan.Of(weld).EarlyStart.UTC().Format("2006-01-02") }
	before := p.Plan
	late := note(domain.Supply{State: domain.SupplyOrdered, Returnable: true, ExpectedOn: "2031-03-17"})
	if got := starts(late); got != "2031-03-17" {
		t.Errorf("weld starts on %s, want the day its tube comes, 2031-03-17", got)
	}
	if !late.Plan.Finish.After(before.Finish) || late.LateDays == 0 {
		t.Errorf("finish %s after %s, %d days late: the whole should move", late.Plan.Finish, before.Finish, late.LateDays)
	}
	if sooner := note(domain.Supply{State: domain.SupplyOrdered, Returnable: true, ExpectedOn: "2031-03-10"}); starts(sooner) != "2031-03-10" {
		t.Errorf("promised sooner, weld starts on %s", starts(sooner))
	}
	if here := note(domain.Supply{State: domain.SupplyFitted, Returnable: true}); !here.Plan.Finish.Equal(before.Finish) {
		t.Errorf("fitted, the finish is %s, was %s", here.Plan.Finish, before.Finish)
	}
}

func TestTheBenchShowsOnesOwnHours(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	p, err := b.app.Person(t.Context(), b.owner, b.marik.PersonID)
	b.ok("person", err)
	p.Roster = &domain.Roster{Absences: []domain.Absence{{From: "2031-03-10", To: "2031-03-12", Reason: domain.AwayHoliday}}}
	_, err = b.app.ChangePerson(t.Context(), b.owner, p.ID, app.Precondition{Given: true, Version: p.Version}, p)
	b.ok("an absence", err)
	mine, err := b.app.Today(t.Context(), b.marik)
	b.ok("today", err)
	if mine.Roster == nil || len(mine.Roster.Absences) != 1 || mine.Roster.Absences[0].From != "2031-03-10" {
		t.Errorf("the own roster is %+v", mine.Roster)
	}
	other, err := b.app.Today(t.Context(), b.tessel)
	b.ok("another's today", err)
	if other.Roster != nil && len(other.Roster.Absences) > 0 {
		t.Errorf("another's absences are shown: %+v", other.Roster)
	}
}
