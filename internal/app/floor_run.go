package app

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"time"

	"bareframe/internal/domain"
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
	planSeed = 1
)

// Thrift keeps memory down while floors are planned: whoever runs the process knows
// how, and the use cases know when.
type Thrift struct {
	// Begin is called before a floor is looked at or planned; what it returns, when that
	// is done. A shop that waits for nothing is neither.
	Begin func() (end func())
	// Between is called when a floor was read, before it is searched.
	Between func()
}

// PlanFloor asks for a new plan; one that is being made goes on.
func (a *App) PlanFloor(ctx context.Context, actor domain.Actor) (Floor, error) {
	return a.onFloor(ctx, actor, "planFloor", func(w *work) error {
		return w.askForPlan("Asked for by "+w.actor.Name+".", w.actor.PersonID, w.actor.Name)
	})
}

// onFloor runs a use case of the floor and answers with the floor as it is then, read
// after others may write again.
func (a *App) onFloor(ctx context.Context, actor domain.Actor, action policy.Action, fn func(w *work) error) (Floor, error) {
	err := a.change(ctx, actor, action, func(w *work) error {
		w.tellFloor()
		return fn(w)
	})
	if err != nil {
		return Floor{}, err
	}
	return a.Floor(ctx, actor)
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
			b, err := a.floorBaseOf(w, "")
			if err != nil {
				return err
			}
			run.Facts = b.facts() // so that it is not begun again by itself
			run.State, run.EndedAt, run.Note = domain.RunCancelled, &w.now, "Stopped before it began."
		}
		return w.SaveRun(run)
	})
}

// MakePlans makes the plans that were asked for. Where something happened, in every
// shop when it is called first, and once in each of its days, it also asks for one when
// the facts have changed or time has overtaken the plan. With all, it looks in every
// shop for what was asked for elsewhere and for the new day. It returns how many it made. A shop that cannot be planned keeps no other from it.
func (a *App) MakePlans(ctx context.Context, all bool) (made int, err error) {
	due, first := a.stirs.take(a.now())
	if len(due) == 0 && !all && !first {
		return 0, nil
	}
	shops, err := a.store.Shops(ctx)
	if err != nil {
		a.stirs.untaken(due, first, a.now())
		return 0, err
	}
	var failed []error
	for _, shop := range shops {
		dawned := a.stirs.dawned(shop.ID, domain.DayOf(a.now(), shop.Zone()))
		look := first || dawned || due[shop.ID]
		if !all && !look {
			continue
		}
		did, err := a.planShop(ctx, domain.Actor{ShopID: shop.ID, Name: "The shop's own rule"}, look)
		if did {
			made++
		}
		if err != nil {
			failed = append(failed, fmt.Errorf("shop %s: %w", shop.ID, err))
			if look {
				a.stirs.failed(shop.ID, a.now())
			}
		}
	}
	return made, errors.Join(failed...)
}

// planShop makes the plan that a shop waits for, if any.
func (a *App) planShop(ctx context.Context, actor domain.Actor, look bool) (made bool, err error) {
	var f planFound
	err = sound(func() error {
		run, err := a.claimRun(ctx, actor, look)
		if made = run != nil; made {
			f.run = *run
		}
		return err
	})
	if err != nil || !made {
		return false, err
	}
	defer a.thrift.Begin()()
	err = sound(func() error {
		if err := a.search(ctx, actor, &f); err != nil {
			return err
		}
		return a.endRun(ctx, actor, f)
	})
	if err != nil && ctx.Err() == nil {
		err = errors.Join(err, a.failRun(ctx, actor, f.run))
	}
	return true, err
}

// sound makes an error of a defect: planning runs beside requests that must go on, and
// a run that ended the program would be begun again by the next.
func sound(fn func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("planning the floor: panic: %v\n%s", r, debug.Stack())
		}
	}()
	return fn()
}

// claimRun takes the run that waits, or one that its maker has left, or begins one
// where it is to look and the floor has no plan of its facts and day; nil when nothing is to do.
func (a *App) claimRun(ctx context.Context, actor domain.Actor, look bool) (*domain.FloorRun, error) {
	run, idle, err := a.takeRun(ctx, actor, "", 0)
	if err != nil || !idle || !look {
		return run, err
	}
	why, after, err := a.look(ctx, actor)
	if err != nil || why == "" {
		return nil, err
	}
	run, _, err = a.takeRun(ctx, actor, why, after)
	return run, err
}

// look is floorStale outside a transaction that writes: a large floor takes a while to read.
func (a *App) look(ctx context.Context, actor domain.Actor) (why string, after int, err error) {
	defer a.thrift.Begin()()
	err = a.store.View(ctx, actor.ShopID, func(r Reader) (err error) {
		why, after, err = a.floorStale(r)
		return err
	})
	return why, after, err
}

// takeRun claims the run that waits, where nobody else is at it, and begins one if
// there is a reason to and the last is still the one that it was found after; idle is
// true where none waits and none was begun.
func (a *App) takeRun(ctx context.Context, actor domain.Actor, why string, after int) (claimed *domain.FloorRun, idle bool, err error) {
	err = a.alone(ctx, actor, "planFloor", func(w *work) error {
		claimed, idle = nil, false // a transaction may be tried again
		run, _, err := w.Run()
		if err != nil {
			return err
		}
		if !run.Making() {
			if idle = why == "" || run.Number != after; idle {
				return nil // another server was at it since
			}
			if err := w.askForPlan(why, "", w.actor.Name); err != nil {
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
	return claimed, idle, err
}
