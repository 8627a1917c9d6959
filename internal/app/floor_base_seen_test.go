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
