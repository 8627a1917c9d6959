package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

// Trail lists the changes to a job, newest first.
func (a *App) Trail(ctx context.Context, actor domain.Actor, jobID domain.ID, page Page) (out []domain.TrailEntry, next string, err error) {
	err = a.view(ctx, actor, "listTrail", func(r Reader) error {
		if _, err := r.Job(jobID); err != nil {
			return err
		}
		out, next, err = r.Trail(jobID, page)
		return err
	})
	return out, next, err
}

// VerifyTrail walks a shop's trail from its start and recomputes every hash. It
// returns how many entries there are, and fails with Conflict
// "trail-broken" at the first that does not fit.
func (a *App) VerifyTrail(ctx context.Context, shopID domain.ID) (count int64, err error) {
	err = a.store.View(ctx, shopID, func(r Reader) error {
		previous, seq := "", int64(0)
		for {
			batch, err := r.TrailFrom(seq+1, 1000)
			if err != nil || len(batch) == 0 {
				return err
			}
			for _, t := range batch {
				if t.Seq != seq+1 || t.PrevHash != previous || t.Seal() != t.Hash {
					return fault.New(fault.Conflict, "trail-broken", "The trail breaks at entry %d.", seq+1)
				}
				previous, seq = t.Hash, t.Seq
				count++
			}
		}
	})
	return count, err
}

// ExplainPrice opens one priced line of a job: inputs, steps in words, rounding.
func (a *App) ExplainPrice(ctx context.Context, actor domain.Actor, jobID domain.ID, line string) (out pricing.Explanation, err error) {
	err = a.view(ctx, actor, "explainPrice", func(r Reader) error {
		page, err := a.loadPage(r, jobID)
		if err != nil {
			return err
		}
		if _, ok := page.priceLine[line]; !ok {
			return fault.New(fault.NotFound, "line-not-found", "This job has no such priced line.")
		}
		out, err = page.Price.Explain(line)
		return err
	})
	return out, err
}
