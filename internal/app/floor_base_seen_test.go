package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// SeenFloor gives tests of the outside what a plan is made from, and its sum.
func (a *App) SeenFloor(ctx context.Context, shop domain.ID) (in levelling.Input, facts string, err error) {
	err = a.store.View(ctx, shop, func(r Reader) error {
		b, err := a.floorBaseOf(r, "")
		if err == nil {
			in, facts = b.input(nil), b.facts()
		}
		return err
	})
	return in, facts, err
}

// SearchFloor claims what is asked for and searches; what comes of it is stored by end.
// There is no end where nothing was to be claimed.
func (a *App) SearchFloor(ctx context.Context, shop domain.ID) (end func() error, err error) {
	actor := domain.Actor{ShopID: shop, Name: "The shop's own rule"}
	a.stirs.take(a.now())
	run, err := a.claimRun(ctx, actor, false)
	if err != nil || run == nil {
		return nil, err
	}
	found := planFound{run: *run}
	err = a.search(ctx, actor, &found)
	return func() error { return a.endRun(ctx, actor, found) }, err
}

// SeenLean is SeenFloor of the floor as one of hundreds of cars is kept, and what both
// ask with the clock set back, as it is for orders.
func (a *App) SeenLean(ctx context.Context, shop domain.ID) (in levelling.Input, facts string, settled, leanSettled levelling.Input, err error) {
	err = a.store.View(ctx, shop, func(r Reader) error {
		b, err := a.floorBaseOf(r, "")
		if err != nil {
			return err
		}
		lean := *b
		lean.work, lean.tasks, lean.jobOf, lean.actuals = map[domain.ID]domain.Estimate{}, floorTasks{}, map[domain.ID]jobName{}, map[domain.ID]actual{}
		for _, j := range b.jobs {
			lean.put(j, LeanEstimate(b.work[j.ID]))
			lean.trackJob(j)
		}
		in, facts = lean.input(nil), lean.facts()
		b.settleTime()
		lean.settleTime()
		settled, leanSettled = b.input(nil), lean.input(nil)
		return nil
	})
	return in, facts, settled, leanSettled, err
}

// LeanEstimate is an estimate as a floor of hundreds of cars keeps it.
func LeanEstimate(e domain.Estimate) domain.Estimate { return newLean().estimate(e) }
