package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// GatherFindings drafts one order of the strip gate from all findings that wait.
func (a *App) GatherFindings(ctx context.Context, actor domain.Actor, jobID domain.ID, key string) (OrderPage, error) {
	return OrderPage{}, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}
