package app

import (
	"context"
	"runtime"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/levelling"
)

// planFound is what a search gave and what it began from.
type planFound struct {
	run    domain.FloorRun
	base   *floorBase
	held   domain.ID // the plan that held then
	in     levelling.Input
	result levelling.Result
	failed error
}

// search looks for a plan of the floor as it is now.
func (a *App) search(ctx context.Context, actor domain.Actor, f *planFound) error {
	err := a.store.View(ctx, actor.ShopID, func(r Reader) (err error) {
		if f.base, err = a.floorBaseOf(r, ""); err != nil {
			return err
		}
		holds, err := a.agreedPlan(r)
		if holds != nil {
			f.held = holds.ID
		}
		f.in = f.base.input(holds.placements())
		return err
	})
	if err != nil {
		return err
	}
	f.run.Facts = f.base.facts()
	f.base.work = nil // the input has it
	a.thrift.Between()
	searching, stop := context.WithCancel(ctx)
	defer stop()
	told := a.now()
	f.result, f.failed = levelling.Solve(searching, f.in, a.effort(f.run.OfSchedules), func(p levelling.Progress) {
		if a.now().Sub(told) < time.Second {
			return
		}
		told = a.now()
		f.run.Schedules, f.run.Late = int(p.Schedules), p.Cost.Late
		if going, err := a.reportRun(ctx, actor, f.run); err != nil || !going {
			stop()
		}
	})
	return nil
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

// endRun stores the plan that was found, and agrees to it where the shop's rule says
// so. What somebody decided on while it was searched for stands, and the floor is
// looked at again: the search did not know of it.
func (a *App) endRun(ctx context.Context, actor domain.Actor, f planFound) error {
	return a.onRun(ctx, actor, f.run, func(w *work, run *domain.FloorRun, cancelled bool) error {
		held, _, err := w.AgreedPlanID()
		if err != nil {
			return err
		}
		w.app.stirs.note(actor.ShopID, w.now)
		switch {
		case f.failed != nil:
			run.State, run.Note = domain.RunFailed, notPlanned
			if e := fault.As(f.failed); e != nil {
				run.Note = e.Detail
			}
			return nil
		case cancelled:
			run.State, run.Note = domain.RunCancelled, "Stopped; the plan is as it was."
			return nil
		case held != f.held:
			run.State, run.Facts, run.Note = domain.RunCancelled, "", "Another plan was agreed to while this one was made; that one stands."
			return nil
		}
		run.State, run.Schedules, run.Late = domain.RunDone, int(f.result.Schedules), f.result.Cost.Late
		run.Note, err = w.propose(*run, f.base, f.base.said(f.in, f.result), f.result)
		return err
	})
}

const notPlanned = "It could not be planned."

// failRun notes that a run came to nothing by a defect or for want of the store. It is
// not begun again by itself on the same facts.
func (a *App) failRun(ctx context.Context, actor domain.Actor, run domain.FloorRun) error {
	return a.onRun(ctx, actor, run, func(_ *work, run *domain.FloorRun, _ bool) error {
		run.State, run.Note = domain.RunFailed, notPlanned
		return nil
	})
}

// onRun ends a run as end says, unless it has ended or somebody took it over.
func (a *App) onRun(ctx context.Context, actor domain.Actor, run domain.FloorRun, end func(w *work, run *domain.FloorRun, cancelled bool) error) error {
	return a.alone(ctx, actor, "planFloor", func(w *work) error {
		now, _, err := w.Run()
		if err != nil || now.Number != run.Number || now.State != domain.RunRunning {
			return err
		}
		run.EndedAt, run.ClaimedUntil = &w.now, nil
		if err := end(w, &run, now.Cancel); err != nil {
			return err
		}
		w.tellFloor()
		return w.SaveRun(run)
	})
}
