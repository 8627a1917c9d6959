package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// floorAhead is the floor as an order's effect met it beside the transaction that
// writes it down; what it does to the floor is in orderEnds then.
type floorAhead struct {
	floor *orderFloor // nil where the effect did not ask for it
	seq   int64       // of the trail
}

// orderAhead follows the floor for what is chosen of an order, so that the transaction
// which needs it does not; nil where that will refuse it or needs no floor.
func (a *App) orderAhead(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID, choose func(o domain.ChangeOrder) (choices []domain.Choice, ok bool)) (*floorAhead, error) {
	var ahead *floorAhead
	err := a.view(ctx, actor, action, func(r Reader) error {
		o, job, err := orderWithin(r, actor, action, id)
		if err != nil {
			return err
		}
		choices, ok := choose(o)
		if !ok || workable(job) != nil {
			return nil
		}
		b, err := a.orderBaseOf(r, o.JobID)
		if err != nil {
			return err
		}
		if _, err = b.effectOf(o, choices, placeholders()); err != nil {
			return err
		}
		ahead = &floorAhead{floor: b.onFloor}
		ahead.seq, err = lastSeq(r)
		return err
	})
	if fault.As(err) != nil {
		return nil, nil // the transaction says it, after what comes before
	}
	return ahead, err
}

// standsAhead takes the floor that was read beside the transaction, where nothing was
// written since.
func (b *orderBase) standsAhead() (bool, error) {
	if !b.beside || b.ahead == nil || b.ahead.floor == nil {
		return false, nil
	}
	seq, err := lastSeq(b.reader)
	if err != nil || seq != b.ahead.seq {
		return false, err
	}
	b.onFloor = b.ahead.floor
	return true, nil
}

// deciding follows the floor for what is agreed to, and then decides.
func (a *App) deciding(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID, approved bool, choices []domain.Choice, decide func(ahead *floorAhead) error) error {
	return reckoning(func() error {
		ahead, err := a.orderAhead(ctx, actor, action, id, func(o domain.ChangeOrder) ([]domain.Choice, bool) {
			chosen, err := o.Selected(choices, true)
			return chosen, approved && err == nil && o.Decidable(a.now()) == nil
		})
		if err != nil {
			return err
		}
		return decide(ahead)
	})
}
