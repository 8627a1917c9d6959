package app_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
	"bareframe/internal/pricing"
	"bareframe/internal/store"
	"bareframe/internal/testkit/postgres"
)

// What the owner decides on while a plan is searched for stands: the search did not
// know of it.
func TestAPlanThatWasSearchedForMeanwhileDisplacesNoDecision(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	one := b.soldJob()
	b.soldJob()
	b.plans()
	_, err := b.app.PlanFloor(t.Context(), b.owner)
	b.ok("asking", err)
	end, err := b.app.SearchFloor(t.Context(), b.shop)
	b.ok("searching", err)
	trial, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{{Kind: levelling.JobFirst, Job: one.Job.ID}})
	b.ok("trying", err)
	kept, err := b.app.AdoptTrial(t.Context(), b.owner, trial.ID)
	b.ok("making it real", err)
	b.ok("ending the search", end())
	after := b.plans()
	if after.Plan.ID != kept.Plan.ID || after.Proposed != nil || after.Run.State == domain.RunRunning {
		t.Errorf("got plan %d by %q, proposed %v, run %s; want the owner's plan %d and nothing else", after.Plan.Revision, after.Plan.DecidedBy, after.Proposed, after.Run.State, kept.Plan.Revision)
	}
}

// A start that is taken back while a plan is searched for is free in the plan after it.
func TestAStartIsTakenBackWhileAPlanIsSearchedFor(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	first := b.plans()
	var bar app.FloorBar
	for _, x := range first.Plan.Said.Bars {
		if x.Code == "B10" {
			bar = x
		}
	}
	at := bar.Start.AddDate(0, 0, 14) // the same hour of the same weekday
	trial, err := b.app.TryFloor(t.Context(), b.owner, []levelling.Change{{Kind: levelling.PinTask, Task: bar.TaskID, At: &at}})
	b.ok("trying", err)
	_, err = b.app.AdoptTrial(t.Context(), b.owner, trial.ID)
	b.ok("making it real", err)
	_, err = b.app.PlanFloor(t.Context(), b.owner)
	b.ok("asking", err)
	end, err := b.app.SearchFloor(t.Context(), b.shop)
	b.ok("searching", err)
	_, err = b.app.UnpinTask(t.Context(), b.owner, bar.TaskID)
	b.ok("unpinning", err)
	b.ok("ending the search", end())
	for _, x := range b.plans().Plan.Said.Bars {
		if x.TaskID == bar.TaskID && !x.Start.Before(at) {
			t.Errorf("taken back, the task still starts %s", x.Start)
		}
	}
}

// A plan that can hold less of a car than the one before does not take its place
// unasked: the finish of what is left says nothing of the car.
func TestAPlanThatLosesWorkWaits(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	first := b.plans()
	for _, who := range []domain.Actor{b.marik, b.tessel} {
		p, err := b.app.Person(t.Context(), b.owner, who.PersonID)
		b.ok("reading", err)
		p.Skills = []string{"fitter"} // nobody welds any more
		_, err = b.app.ChangePerson(t.Context(), b.owner, p.ID, app.Precondition{Given: true, Version: p.Version}, p)
		b.ok("changing what somebody can do", err)
	}
	f := b.plans()
	if f.Plan.ID != first.Plan.ID || f.Proposed == nil || len(f.Proposed.Said.Unplaced) == 0 {
		t.Errorf("nobody welds: plan %d by %q holds, proposed %v; want plan %d to stay and a proposal that cannot place the weld", f.Plan.Revision, f.Plan.DecidedBy, f.Proposed, first.Plan.Revision)
	}
}

// What the owner dropped, or stopped before it began, is not made again by itself
// while the floor is the same.
func TestWhatTheOwnerRefusedIsNotMadeAgain(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	b.plans()
	something := func() { // that moves no fact of the floor
		b.hire("Orell Vask", "", domain.Client)
	}
	b.closeFor(30)
	waits := b.plans()
	_, err := b.app.DecidePlan(t.Context(), b.owner, waits.Proposed.ID, false)
	b.ok("dropping", err)
	something()
	if f := b.plans(); f.Proposed != nil {
		t.Errorf("plan %d was dropped, and %d is proposed on the same floor", waits.Proposed.Revision, f.Proposed.Revision)
	}
	b.closeFor(60)
	_, err = b.app.PlanFloor(t.Context(), b.owner)
	b.ok("asking", err)
	_, err = b.app.CancelPlanning(t.Context(), b.owner)
	b.ok("stopping", err)
	something()
	if f := b.plans(); f.Proposed != nil || f.Run.State != domain.RunCancelled {
		t.Errorf("stopped before it began: got run %s, proposed %v; want it to stay stopped", f.Run.State, f.Proposed)
	}
}

// faulty is a store in which one shop cannot be read, or a defect shows.
type faulty struct {
	app.Store
	shop domain.ID
	how  func() error
}

func (s faulty) View(ctx context.Context, shop domain.ID, fn func(r app.Reader) error) error {
	if shop == s.shop {
		return s.how()
	}
	return s.Store.View(ctx, shop, fn)
}

// A shop whose floor cannot be planned fails by itself: the program goes on, the other
// shops are planned, and it is not begun again and again.
func TestOneShopsFailureIsItsOwn(t *testing.T) {
	for name, how := range map[string]func() error{
		"error":  func() error { return errors.New("its rows cannot be read") },
		"defect": func() error { panic("a defect") },
	} {
		t.Run(name, func(t *testing.T) {
			b := open(t, settings("EUR", pricing.PerDocument))
			shop, owner, err := b.app.OpenShop(t.Context(), app.NewShop{Settings: settings("EUR", pricing.PerDocument), Calendar: app.StartingCalendar(), PriceBook: priceBook(),
				OwnerName: "Ennis Corvane", Email: "second@example.org", Password: "a long enough one"}, false)
			b.ok("opening a second shop", err)
			other := domain.Actor{ShopID: shop, PersonID: owner, Name: "Ennis Corvane", Role: domain.Owner}
			broken := app.New(app.Options{Store: faulty{b.store, b.shop, how}, Now: b.now, NewID: func() string { return "of-the-other-" + b.key() }})
			for _, who := range []domain.Actor{b.owner, other} {
				_, err := b.app.PlanFloor(t.Context(), who)
				b.ok("asking", err)
			}
			if made, err := broken.MakePlans(t.Context(), true); err == nil || made != 2 {
				t.Errorf("got %d made, error %v; want both tried and the failure said", made, err)
			}
			for _, row := range []struct {
				who  domain.Actor
				want domain.RunState
			}{{b.owner, domain.RunFailed}, {other, domain.RunDone}} {
				f, err := b.app.Floor(t.Context(), row.who)
				if b.ok("reading", err); f.Run.State != row.want {
					t.Errorf("the run of %s is %s, want %s", row.who.Name, f.Run.State, row.want)
				}
			}
			b.pass(time.Hour)
			if made, _ := broken.MakePlans(t.Context(), true); made != 0 {
				t.Errorf("an hour later %d were made, want none: nothing is asked for", made)
			}
		})
	}
}

// Two servers of one shop: the plan is made by the one that claimed it; when that one
// falls silent the other makes it, and what comes too late changes nothing.
func TestOnlyOneOfTwoServersMakesAPlan(t *testing.T) {
	t.Run("sqlite", func(t *testing.T) {
		b := open(t, settings("EUR", pricing.PerDocument))
		oneOfTwoPlans(t, b, b.store)
	})
	t.Run("postgres", func(t *testing.T) {
		url := postgres.Schema(t)
		b := openOn(t, settings("EUR", pricing.PerDocument), store.Options{PostgresURL: url})
		second, err := store.Open(t.Context(), store.Options{PostgresURL: url})
		b.ok("opening a second store", err)
		t.Cleanup(func() { b.ok("closing", second.Close()) })
		oneOfTwoPlans(t, b, second)
	})
}

func oneOfTwoPlans(t *testing.T, b *bench, st *store.Store) {
	second := app.New(app.Options{Store: st, Now: b.now, NewID: func() string { return "of-the-second-" + b.key() }})
	b.soldJob()
	_, err := b.app.PlanFloor(t.Context(), b.owner)
	b.ok("asking", err)
	end, err := b.app.SearchFloor(t.Context(), b.shop)
	b.ok("searching", err)
	if made, err := second.MakePlans(t.Context(), true); err != nil || made != 0 {
		t.Errorf("while the first searches the second made %d (%v), want none", made, err)
	}
	b.pass(31 * time.Second) // longer than a claim lasts
	if made, err := second.MakePlans(t.Context(), true); err != nil || made != 1 {
		t.Errorf("the first fell silent, and the second made %d (%v), want the one", made, err)
	}
	b.ok("ending the first's search", end())
	f, err := b.app.Floor(t.Context(), b.owner)
	if b.ok("reading", err); f.Plan == nil || f.Plan.Revision != 1 || f.Proposed != nil || f.Run.State != domain.RunDone {
		t.Errorf("got plan %+v, proposed %v, run %s; want one plan, of the second", f.Plan, f.Proposed, f.Run.State)
	}
}
