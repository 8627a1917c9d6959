package app

import (
	"context"
	"runtime"
	"slices"
	"sync"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/levelling"
	"bareframe/internal/policy"
)

// Planning runs beside the requests: somebody asks, a row says so, and MakePlans
// does it. The search runs on what one snapshot said and outside any transaction;
// what comes out is stored with the sum of the facts it was made from.

const (
	// schedulesASecond turns the seconds that a shop allows into a number of
	// schedules, so that the same floor gives the same plan on any machine.
	schedulesASecond = 100
	// claimFor is how long a plan in the making belongs to who makes it, renewed
	// with each report.
	claimFor = 30 * time.Second
	// settleFor is how long the floor has to be quiet before it is planned again by itself.
	settleFor = 5 * time.Second
	planSeed  = 1
)

// stirred remembers the shops in which something happened since they were last
// planned.
type stirred struct {
	mu    sync.Mutex
	at    map[domain.ID]time.Time
	begun bool
}

func (s *stirred) note(shop domain.ID, at time.Time) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.at == nil {
		s.at = map[domain.ID]time.Time{}
	}
	s.at[shop] = at
}

// quiet takes the shops that were stirred before an instant; first is true once.
func (s *stirred) quiet(before time.Time) (out map[domain.ID]bool, first bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	first, s.begun = !s.begun, true
	out = map[domain.ID]bool{}
	for shop, at := range s.at {
		if !at.After(before) {
			out[shop] = true
			delete(s.at, shop)
		}
	}
	return out, first
}

// PlanFloor asks for a new plan; one that is being made goes on.
func (a *App) PlanFloor(ctx context.Context, actor domain.Actor) (Floor, error) {
	return a.onFloor(ctx, actor, "planFloor", func(w *work) error {
		return w.askForPlan("Asked for by "+w.actor.Name+".", w.actor.PersonID, w.actor.Name)
	})
}

// onFloor runs a use case of the floor and answers with the floor as it is then.
func (a *App) onFloor(ctx context.Context, actor domain.Actor, action policy.Action, fn func(w *work) error) (Floor, error) {
	var f Floor
	err := a.change(ctx, actor, action, func(w *work) (err error) {
		if err := fn(w); err != nil {
			return err
		}
		w.tellFloor()
		f, err = a.floorOf(w)
		return err
	})
	return f, err
}

// tellFloor announces that the floor changed.
func (w *work) tellFloor() {
	w.events = append(w.events, Event{ShopID: w.actor.ShopID, What: floorChanged})
}

const floorChanged = "floor"

func (w *work) askForPlan(cause string, by domain.ID, name string) error {
	last, _, err := w.Run()
	if err != nil || last.Making() {
		return err
	}
	shop, err := w.Shop()
	if err != nil {
		return err
	}
	w.app.stirs.note(w.actor.ShopID, time.Time{}) // at once
	return w.SaveRun(domain.FloorRun{State: domain.RunWaiting, Number: last.Number + 1, Cause: cause, ByID: by, ByName: name, AskedAt: w.now,
		OfSchedules: shop.Settings.FloorRules().PlanSeconds * schedulesASecond})
}

// CancelPlanning stops the plan that is being made.
func (a *App) CancelPlanning(ctx context.Context, actor domain.Actor) (Floor, error) {
	return a.onFloor(ctx, actor, "cancelPlanning", func(w *work) error {
		run, ok, err := w.Run()
		if err != nil || !ok || !run.Making() {
			return err
		}
		run.Cancel = true
		if run.State == domain.RunWaiting {
			run.State, run.EndedAt, run.Note = domain.RunCancelled, &w.now, "Stopped before it began."
		}
		return w.SaveRun(run)
	})
}

// MakePlans makes the plans that were asked for. Where something happened, and in
// every shop when it is called first, it also asks for one when the facts have
// changed. With all, it looks in every shop for what was asked for elsewhere. It
// returns how many it made.
func (a *App) MakePlans(ctx context.Context, all bool) (made int, err error) {
	due, first := a.stirs.quiet(a.now().Add(-settleFor))
	if len(due) == 0 && !all && !first {
		return 0, nil
	}
	shops, err := a.store.Shops(ctx)
	if err != nil {
		return 0, err
	}
	for _, shop := range shops {
		if !all && !first && !due[shop.ID] {
			continue
		}
		actor := domain.Actor{ShopID: shop.ID, Name: "The shop's own rule"}
		claimed, err := a.claimRun(ctx, actor, first || due[shop.ID])
		if err != nil {
			return made, err
		}
		if claimed == nil {
			continue
		}
		made++
		if err := a.makePlan(ctx, actor, *claimed); err != nil {
			return made, err
		}
	}
	return made, nil
}

// claimRun takes the run that waits, or one that its maker has left, or begins one
// where it is to look and the plan that holds was made from other facts; nil when nothing is to do.
func (a *App) claimRun(ctx context.Context, actor domain.Actor, look bool) (claimed *domain.FloorRun, err error) {
	err = a.alone(ctx, actor, "planFloor", func(w *work) error {
		run, _, err := w.Run()
		if err != nil {
			return err
		}
		if !run.Making() {
			if !look {
				return nil
			}
			stale, err := w.floorStale()
			if err != nil || !stale {
				return err
			}
			if err := w.askForPlan("What the plan was made from has changed.", "", w.actor.Name); err != nil {
				return err
			}
			if run, _, err = w.Run(); err != nil {
				return err
			}
		}
		if run.State == domain.RunRunning && run.ClaimedUntil != nil && run.ClaimedUntil.After(w.now) {
			return nil // somebody else is at it
		}
		until := w.now.Add(claimFor)
		run.State, run.ClaimedUntil = domain.RunRunning, &until
		claimed = &run
		w.tellFloor()
		return w.SaveRun(run)
	})
	return claimed, err
}

// floorStale reports whether a plan should be made by itself: the facts are
// others than those of the newest plan, and there is work to plan.
func (w *work) floorStale() (bool, error) {
	b, err := w.app.floorBaseOf(w, "")
	if err != nil || len(b.jobs) == 0 {
		return false, err
	}
	facts := b.facts()
	planned, err := w.PlannedFacts()
	if err != nil || slices.Contains(planned, facts) {
		return false, err
	}
	last, ok, err := w.Run() // one that failed or was stopped is not begun again by itself
	return !ok || last.Facts != facts || last.State == domain.RunDone, err
}

// makePlan searches and proposes what it found.
func (a *App) makePlan(ctx context.Context, actor domain.Actor, run domain.FloorRun) error {
	var b *floorBase
	var holds *heldPlan
	err := a.store.View(ctx, actor.ShopID, func(r Reader) (err error) {
		if b, err = a.floorBaseOf(r, ""); err != nil {
			return err
		}
		holds, err = a.agreedPlan(r)
		return err
	})
	if err != nil {
		return err
	}
	in := b.input(holds.placements())
	run.Facts = b.facts()
	searching, stop := context.WithCancel(ctx)
	defer stop()
	told := a.now()
	result, err := levelling.Solve(searching, in, a.effort(run.OfSchedules), func(p levelling.Progress) {
		if a.now().Sub(told) < time.Second {
			return
		}
		told = a.now()
		run.Schedules, run.Late = int(p.Schedules), p.Cost.Late
		if going, err := a.reportRun(ctx, actor, run); err != nil || !going {
			stop()
		}
	})
	return a.endRun(ctx, actor, run, b, in, result, err)
}

// effort is how long to search, for a number of schedules.
func (a *App) effort(schedules int) levelling.Effort {
	return levelling.Effort{Schedules: max(1, schedules), Seed: planSeed, Workers: min(4, runtime.GOMAXPROCS(0))}
}

// reportRun keeps how far a run has come; going is false when it was stopped or
// taken over.
func (a *App) reportRun(ctx context.Context, actor domain.Actor, run domain.FloorRun) (going bool, err error) {
	err = a.alone(ctx, actor, "planFloor", func(w *work) error {
		now, _, err := w.Run()
		if err != nil || now.Cancel || now.Number != run.Number || now.State != domain.RunRunning {
			return err
		}
		going = true
		until := w.now.Add(claimFor)
		run.ClaimedUntil = &until
		w.tellFloor()
		return w.SaveRun(run)
	})
	return going, err
}

// endRun stores the plan that was found, and agrees to it where the shop's rule says so.
func (a *App) endRun(ctx context.Context, actor domain.Actor, run domain.FloorRun, b *floorBase, in levelling.Input, r levelling.Result, failed error) error {
	return a.alone(ctx, actor, "planFloor", func(w *work) error {
		now, _, err := w.Run()
		if err != nil || now.Number != run.Number || now.State != domain.RunRunning {
			return err
		}
		run.EndedAt, run.ClaimedUntil = &w.now, nil
		w.tellFloor()
		switch {
		case failed != nil:
			run.State, run.Note = domain.RunFailed, "It could not be planned."
			if e := fault.As(failed); e != nil {
				run.Note = e.Detail
			}
			return w.SaveRun(run)
		case now.Cancel || ctx.Err() != nil:
			run.State, run.Note = domain.RunCancelled, "Stopped; the plan is as it was."
			return w.SaveRun(run)
		}
		run.State, run.Schedules, run.Late = domain.RunDone, int(r.Schedules), r.Cost.Late
		if run.Note, err = w.propose(run, b, b.said(in, r), r); err != nil {
			return err
		}
		return w.SaveRun(run)
	})
}
