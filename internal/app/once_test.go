package app_test

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func TestARetryIsAnsweredAndNotDoneAgain(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.soldJob()
	on := app.Target{TaskID: taskCalled(t, p, "A10").ID}
	first, err := b.app.StartClock(ctx, b.marik, "retry-me-1", on, nil, "")
	b.ok("the first", err)
	b.pass(10 * time.Minute) // the clock moved on between the two
	again, err := b.app.StartClock(ctx, b.marik, "retry-me-1", on, nil, "")
	b.ok("the same again", err)
	if again.Entry.ID != first.Entry.ID || !again.Entry.StartedAt.Equal(first.Entry.StartedAt) || len(b.entriesOf(p.Job.ID)) != 1 {
		t.Errorf("first %s at %v, again %s at %v, %d entries", first.Entry.ID, first.Entry.StartedAt, again.Entry.ID, again.Entry.StartedAt, len(b.entriesOf(p.Job.ID)))
	}
	_, err = b.app.StartClock(ctx, b.marik, "retry-me-1", app.Target{TaskID: taskCalled(t, p, "C10").ID}, nil, "")
	refused(t, "the same key on another task", err, "idempotency-key-reused")
	_, err = b.app.StopClock(ctx, b.marik, "retry-me-1", app.Stop{})
	refused(t, "the same key for another operation", err, "idempotency-key-reused")
	other, err := b.app.StartClock(ctx, b.tessel, "retry-me-1", on, nil, "")
	b.ok("somebody else's same key", err)
	if other.Entry.ID == first.Entry.ID {
		t.Error("a key is shared between people")
	}
	_, err = b.app.StartClock(ctx, b.tessel, "", on, nil, "")
	refused(t, "no key", err, "idempotency-key-missing")
}

func TestAFailedWriteKeepsNoAnswer(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.soldJob()
	blocked := app.Target{TaskID: taskCalled(t, p, "B10").ID}
	_, err := b.app.StartClock(ctx, b.marik, "retry-me-2", blocked, nil, "")
	refused(t, "past a hold point", err, "hold-not-released")
	_, err = b.app.ReleaseHold(ctx, b.owner, p.Job.ID, taskCalled(t, p, "A20").ID, b.key(), "Seen.")
	b.ok("release", err)
	e, err := b.app.StartClock(ctx, b.marik, "retry-me-2", blocked, nil, "")
	b.ok("the same key once the way is free", err)
	if !e.Entry.Running() {
		t.Errorf("got %+v", e.Entry)
	}
}

// failing lets everything through but the very last write of a use case.
type failing struct {
	app.Store
	broken error
}

type failingTx struct {
	app.Tx
	broken error
}

func (f failing) Update(ctx context.Context, shop domain.ID, fn func(tx app.Tx) error) error {
	return f.Store.Update(ctx, shop, func(tx app.Tx) error { return fn(failingTx{tx, f.broken}) })
}

func (f failingTx) KeepAnswer(domain.ID, string, app.Answer) error { return f.broken }

func TestNothingIsHalfWritten(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.job(b.template)
	broken := errors.New("the disk is full")
	weak := app.New(app.Options{Store: failing{b.store, broken}, Passwords: plainPasswords{}, Now: b.now, NewID: counter("%08d-1111-7000-8000-%012d"), Secret: counter("weak-%d-%d"), Announce: b.hear})
	heard, before := len(b.events), b.trailLength()
	if _, err := weak.IssueQuote(ctx, b.owner, p.Job.ID, made(p), "half-written-1", 30, ""); !errors.Is(err, broken) {
		t.Fatalf("got %v", err)
	}
	after := b.page(p.Job.ID)
	if len(after.Quotes) != 0 || after.Job.State != domain.Enquiry || after.Job.Version != p.Job.Version || b.trailLength() != before || len(b.events) != heard {
		t.Errorf("after a failure: %d quotes, job %s version %d, %d trail entries for %d, %d announcements for %d", len(after.Quotes), after.Job.State,
			after.Job.Version, b.trailLength(), before, len(b.events), heard)
	}
	if _, err := b.app.IssueQuote(ctx, b.owner, p.Job.ID, made(p), "half-written-1", 30, ""); err != nil {
		t.Errorf("the same key afterwards: %v", err)
	}
	if len(b.events) == heard {
		t.Error("what was committed is not announced")
	}
}

func (b *bench) trailLength() int64 {
	b.t.Helper()
	n, err := b.app.VerifyTrail(b.t.Context(), b.shop)
	b.ok("the trail", err)
	return n
}

// Ten devices send the same request at once: one entry, one answer.
func TestTheSameRequestAtOnce(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	p := b.soldJob()
	l := app.Log{On: app.Target{TaskID: taskCalled(t, p, "A10").ID}, StartedAt: monday.Add(-time.Hour), FinishedAt: monday}
	ids := make([]domain.ID, 10)
	errs := make([]error, 10)
	var all sync.WaitGroup
	for i := range ids {
		all.Go(func() {
			e, err := b.app.LogHours(t.Context(), b.marik, "at-once-1", l)
			ids[i], errs[i] = e.Entry.ID, err
		})
	}
	all.Wait()
	for i := range ids {
		if errs[i] != nil || ids[i] != ids[0] {
			t.Errorf("request %d: %s, %v; want %s", i, ids[i], errs[i], ids[0])
		}
	}
	if n := len(b.entriesOf(p.Job.ID)); n != 1 {
		t.Errorf("%d entries, want 1", n)
	}
}

// Two different people's decisions on one quote at once: one stands.
func TestTwoDecisionsAtOnce(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	q := b.issue(b.job(b.template))
	var all sync.WaitGroup
	errs := make([]error, 8)
	for i := range errs {
		key := b.key()
		all.Go(func() {
			_, errs[i] = b.app.DecideQuote(t.Context(), b.client, q.ID, key, app.PortalDecision{Accepted: i%2 == 0, Name: "Sorei", Signature: "Sorei", Reason: "Too dear.", DocumentHash: q.DocumentHash})
		})
	}
	all.Wait()
	won := 0
	for _, err := range errs {
		if err == nil {
			won++
		} else if e := fault.As(err); e == nil || e.Code != "quote-decided" {
			t.Errorf("got %v, want quote-decided", err)
		}
	}
	if won != 1 {
		t.Errorf("%d decisions stand, want 1", won)
	}
}
