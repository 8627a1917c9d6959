package app_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// watched is a store that counts what is read of the floor inside transactions that
// write, and lets something happen after each look from outside.
type watched struct {
	app.Store
	inside, looks *int
	then          func()
}

type watchedTx struct {
	app.Tx
	inside *int
}

// Pins are read with a floor and nowhere else.
func (tx watchedTx) Pins() ([]domain.FloorPin, error) {
	*tx.inside++
	return tx.Tx.Pins()
}

func (s watched) View(ctx context.Context, shop domain.ID, fn func(r app.Reader) error) error {
	*s.looks++
	defer s.then()
	return s.Store.View(ctx, shop, fn)
}

func (s watched) Update(ctx context.Context, shop domain.ID, fn func(tx app.Tx) error) error {
	return s.Store.Update(ctx, shop, func(tx app.Tx) error { return fn(watchedTx{tx, s.inside}) })
}

// watch is the bench's shop seen through such a store.
func (b *bench) watch(then func()) (a *app.App, inside, looks *int) {
	inside, looks = new(int), new(int)
	return app.New(app.Options{Store: watched{b.store, inside, looks, then}, Now: b.now, NewID: b.id, Rules: ruleSets(b.t)}), inside, looks
}

// moves is something that changes the facts of the floor: an hour on a car, each time another.
func (b *bench) moves(on domain.ID) func() {
	day := 0
	return func() {
		day++
		at := monday.AddDate(0, 0, -day)
		_, err := b.app.LogHours(b.t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: on}, StartedAt: at, FinishedAt: at.Add(time.Hour)})
		b.ok("logging", err)
	}
}

func onBoth(t *testing.T, fn func(t *testing.T, b *bench)) {
	t.Run("sqlite", func(t *testing.T) { fn(t, open(t, settings("EUR", pricing.PerDocument))) })
	t.Run("postgres", func(t *testing.T) { fn(t, openOnPostgres(t, settings("EUR", pricing.PerDocument))) })
}

// A quote's date is searched for beside the transaction that issues it. While nothing
// happens the floor is not even read in there; what moves no fact of it changes nothing;
// what does has the date reckoned anew; and a floor that never stands still is said.
func TestAQuotesDateIsReckonedBesideTheTransaction(t *testing.T) {
	onBoth(t, func(t *testing.T, b *bench) {
		first := b.soldJob()
		b.soldJob()
		b.plans()
		issue := func(a *app.App, job app.JobPage) (domain.Quote, error) {
			return a.IssueQuote(t.Context(), b.owner, job.Job.ID, made(job), b.key(), 30, "")
		}
		job := b.job(b.template)
		want, err := b.app.Queue(t.Context(), b.owner, job.Job.ID)
		b.ok("the queue", err)

		calm, inside, looks := b.watch(func() {})
		q, err := issue(calm, job)
		if b.ok("issuing", err); *inside != 0 || *looks != 2 || q.Offer.Finish != want.Finish || q.Offer.DateWords != want.Words {
			t.Errorf("calm: the floor was read %d times inside, %d looks, %s (%q); want none, two and %+v", *inside, *looks, q.Offer.Finish, q.Offer.DateWords, want)
		}

		chatty, inside, looks := b.watch(func() { b.hire("Orell Vask", "", domain.Client) })
		if _, err := issue(chatty, b.page(job.Job.ID)); err != nil || *inside != 1 || *looks != 2 {
			t.Errorf("something that is not of the floor: %v, read %d times inside, %d looks; want it issued at once after looking", err, *inside, *looks)
		}

		moves, done := b.moves(first.Estimate.Tasks[0].ID), false
		once, _, looks := b.watch(func() {
			if !done {
				done = true
				moves()
			}
		})
		q, err = issue(once, b.page(job.Job.ID))
		b.ok("issuing on a floor that moved once", err)
		if want, err = b.app.Queue(t.Context(), b.owner, job.Job.ID); err != nil || *looks != 3 || q.Offer.Finish != want.Finish || q.Offer.DateWords != want.Words {
			t.Errorf("moved once: %d looks, %s (%q); want three and the floor's %+v (%v)", *looks, q.Offer.Finish, q.Offer.DateWords, want, err)
		}

		before := b.page(job.Job.ID)
		busy, _, looks := b.watch(moves)
		_, err = issue(busy, before)
		refused(t, "a floor that moves each time", err, "floor-busy")
		if after := b.page(job.Job.ID); *looks != 3 || after.Job.Version != before.Job.Version || len(after.Quotes) != len(before.Quotes) {
			t.Errorf("refused after %d looks, and the job went from version %d to %d; want three, and nothing written", *looks, before.Job.Version, after.Job.Version)
		}
	})
}

// A retry of what was done answers as it did, and what is refused is refused as before.
func TestAQuotesRefusalsStayTheSame(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	job := b.job(b.template)
	key := b.key()
	issue := func(key string, p app.Precondition) (domain.Quote, error) {
		return b.app.IssueQuote(t.Context(), b.owner, job.Job.ID, p, key, 30, "")
	}
	q, err := issue(key, made(job))
	b.ok("issuing", err)
	if again, err := issue(key, made(job)); err != nil || again.ID != q.ID {
		t.Errorf("a retry: got %q, %v; want %q", again.ID, err, q.ID)
	}
	_, err = issue("", made(job))
	refused(t, "without a key", err, "idempotency-key-missing")
	_, err = issue(b.key(), made(job))
	refused(t, "on the version before", err, "stale-edit")
	_, err = issue(b.key(), app.Precondition{})
	refused(t, "without a version", err, "if-match-missing")
	_, err = b.app.IssueQuote(t.Context(), b.owner, "nothing", made(job), b.key(), 30, "")
	refused(t, "of no job", err, "job-not-found")
	_, err = b.app.IssueQuote(t.Context(), b.marik, job.Job.ID, made(job), b.key(), 30, "")
	refused(t, "by a technician", err, "not-for-this-role")
}

// Who asked and went away keeps nothing searching, and no quote is issued from half a search.
func TestAQuoteThatNobodyWaitsForIsNotIssued(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	job := b.job(b.template)
	ctx, leave := context.WithCancel(t.Context())
	gone, _, looks := b.watch(leave)
	_, err := gone.IssueQuote(ctx, b.owner, job.Job.ID, made(job), b.key(), 30, "")
	if !errors.Is(err, context.Canceled) || *looks != 1 {
		t.Errorf("got %v after %d looks, want the end of the request after one", err, *looks)
	}
	if after := b.page(job.Job.ID); len(after.Quotes) != 0 || after.Job.Version != job.Job.Version {
		t.Error("a quote was issued all the same")
	}
}

// The same of a change order: sent and agreed to, its dates are the floor's, and the
// floor is neither read nor followed where others wait to write.
func TestAnOrdersDatesAreReckonedBesideTheTransaction(t *testing.T) {
	onBoth(t, func(t *testing.T, b *bench) {
		job := b.soldJob()
		other := b.soldJob()
		b.plans()
		send := func(a *app.App, p app.OrderPage) (app.OrderPage, error) {
			return a.SendOrder(t.Context(), b.owner, p.Order.ID, orderMade(p), b.key(), 14)
		}
		calm, inside, _ := b.watch(func() {})
		draft := b.draft(job.Job.ID, patch(t, job))
		sent, err := send(calm, draft)
		if b.ok("sending", err); *inside != 0 || sent.Order.Effect.Dates != draft.Order.Effect.Dates || sent.Order.Effect.Floor == nil {
			t.Errorf("calm: the floor was read %d times inside, dates %+v; want none and %+v", *inside, sent.Order.Effect.Dates, draft.Order.Effect.Dates)
		}

		// Another choice than the advised one is followed on the floor of the day.
		section := []domain.Choice{{ItemKey: "i1", OptionKey: "section"}}
		yes := b.approval(sent, section)
		decided, err := calm.DecideOrder(t.Context(), b.client, sent.Order.ID, b.key(), yes)
		if b.ok("deciding", err); *inside != 0 || decided.Order.Effect.Dates.PromiseAfter != yes.PromiseAfter || decided.Order.Effect.Dates.Source != domain.FromFloor {
			t.Errorf("deciding: the floor was read %d times inside, dates %+v; want none and the promise %s", *inside, decided.Order.Effect.Dates, yes.PromiseAfter)
		}

		draft = b.draft(job.Job.ID, patch(t, b.page(job.Job.ID)))
		moves, done := b.moves(other.Estimate.Tasks[0].ID), false
		once, _, looks := b.watch(func() {
			if !done {
				done = true
				moves()
			}
		})
		if sent, err = send(once, draft); err != nil || *looks != 3 || sent.Order.Effect.Floor == nil {
			t.Errorf("moved once: %v after %d looks, floor %+v; want it sent after three", err, *looks, sent.Order.Effect.Floor)
		}

		draft = b.draft(job.Job.ID, patch(t, b.page(job.Job.ID)))
		busy, _, _ := b.watch(moves)
		_, err = send(busy, draft)
		refused(t, "a floor that moves each time", err, "floor-busy")
		still, err := b.app.Order(t.Context(), b.owner, draft.Order.ID)
		if b.ok("reading", err); still.Order.State != domain.OrderDraft || still.Order.Version != draft.Order.Version {
			t.Errorf("refused, and the order is %s of version %d", still.Order.State, still.Order.Version)
		}
	})
}

// Whoever declines waits for no floor.
func TestDecliningAsksNoFloor(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	job := b.soldJob()
	other := b.soldJob()
	b.plans()
	p := b.send(b.draft(job.Job.ID, patch(t, job)), 14)
	busy, inside, _ := b.watch(b.moves(other.Estimate.Tasks[0].ID))
	no, err := busy.DecideOrder(t.Context(), b.client, p.Order.ID, b.key(), app.PortalOrderDecision{Name: "Sorei Vantesse", DocumentHash: p.Order.DocumentHash, Reason: "Too much."})
	if b.ok("declining", err); no.Order.State != domain.OrderDeclined || *inside != 0 {
		t.Errorf("declined on a busy floor: %s, read %d times inside", no.Order.State, *inside)
	}
}
