package app

import (
	"context"
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// LapseQuotes notes in every shop which open quotes have expired, and has the
// estimates behind them take over what the steel has come to ask for meanwhile. It
// returns how many lapsed. What cannot be taken over leaves the estimate as it is;
// the quote has expired all the same. O(jobs with a quote out).
func (a *App) LapseQuotes(ctx context.Context) (lapsed int, err error) {
	shops, err := a.store.Shops(ctx)
	if err != nil {
		return 0, err
	}
	for _, shop := range shops {
		due, err := a.expired(ctx, shop)
		if err != nil {
			return lapsed, err
		}
		for _, q := range due {
			actor := domain.Actor{ShopID: shop.ID, Name: "Expiry of the quote"}
			if err := a.alone(ctx, actor, "lapseQuote", func(w *work) error { return w.lapse(q.ID) }); err != nil {
				return lapsed, err
			}
			lapsed++
			if err := a.catchUp(ctx, actor, "lapseQuote", q.ID, "has expired"); err != nil {
				return lapsed, err
			}
		}
	}
	return lapsed, nil
}

// expired are the quotes of a shop that are stored as open and expired.
func (a *App) expired(ctx context.Context, shop domain.Shop) (due []domain.Quote, err error) {
	err = a.store.View(ctx, shop.ID, func(r Reader) error {
		jobs, err := allJobs(r, []domain.JobState{domain.Quoted}, "")
		if err != nil || len(jobs) == 0 {
			return err
		}
		ids := make([]domain.ID, len(jobs))
		for i, j := range jobs {
			ids[i] = j.ID
		}
		quotes, err := r.Quotes(ids)
		for _, id := range ids {
			for _, q := range quotes[id] {
				if q.State == domain.QuoteOpen && q.StateAt(a.now()) == domain.QuoteExpired {
					due = append(due, q)
				}
			}
		}
		return err
	})
	return due, err
}

func (w *work) lapse(id domain.ID) error {
	q, err := w.Quote(id)
	if err != nil || q.State != domain.QuoteOpen || q.StateAt(w.now) != domain.QuoteExpired {
		return err // somebody was before us
	}
	job, err := w.Job(q.JobID)
	if err != nil {
		return err
	}
	q.State = domain.QuoteExpired
	if err := w.SaveQuoteState(q); err != nil {
		return err
	}
	w.tell(job, "quote")
	return w.trail("quote "+q.ID, job.ID, map[string]string{"state": "open"}, map[string]string{"state": "expired"})
}

// catchUp has the estimate behind a quote that is over take over what moved while
// it stood still, in a transaction of its own: what the rules ask for may be too
// large to be taken over, and that must keep nobody from declining a quote.
func (a *App) catchUp(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID, became string) error {
	err := a.alone(ctx, actor, action, func(w *work) error {
		q, err := w.Quote(id)
		if err != nil {
			return err
		}
		job, err := w.Job(q.JobID)
		if err != nil {
			return err
		}
		return w.caughtUp(job, q, fmt.Sprintf("Quote %s %s.", q.Number, became))
	})
	if e := fault.As(err); e != nil && (e.Kind == fault.Conflict || e.Kind == fault.Invalid) {
		return nil
	}
	return err
}

// alone runs work in a transaction of its own that no policy was asked for: of the
// program itself, or after a use case that was allowed.
func (a *App) alone(ctx context.Context, actor domain.Actor, action policy.Action, fn func(w *work) error) error {
	var events []Event
	err := a.store.Update(ctx, actor.ShopID, func(tx Tx) error {
		w := &work{Tx: tx, app: a, actor: actor, action: action, now: a.now()}
		err := fn(w)
		events = w.events
		return err
	})
	if err == nil && len(events) > 0 {
		a.announce(events)
	}
	return err
}
