package command

import (
	"context"
	"io"
	"log/slog"
	"testing"
	"time"

	"bareframe/internal/testkit/postgres"

	"bareframe/api"
	"bareframe/internal/app"
	"bareframe/internal/store"
)

// TestEventsReachTheOtherInstance starts the relays of two instances on one
// PostgreSQL and waits for what the one announces on a screen of the other.
func TestEventsReachTheOtherInstance(t *testing.T) {
	url := postgres.Server(t)
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	heard := make(chan app.Event, 16)
	instance := func() *relay {
		st, err := store.Open(ctx, store.Options{PostgresURL: url, Log: log})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = st.Close() })
		r := newRelay(api.NewHub(), log)
		go r.run(ctx, st)
		return r
	}
	here, there := instance(), instance()
	tap := there.hub.Tap(func(e app.Event) { heard <- e })
	defer tap()
	want := app.Event{ShopID: "shop", JobID: "job", ClientID: "client", What: "hours"}
	for { // the other instance may not listen yet, so the hint is repeated
		here.announce([]app.Event{want})
		select {
		case got := <-heard:
			if got != want {
				t.Fatalf("heard %+v, want %+v", got, want)
			}
			return
		case <-time.After(200 * time.Millisecond):
		case <-ctx.Done():
			t.Fatal("the other instance heard nothing in 30 s")
		}
	}
}

// TestOwnNoticesAreNotHeardTwice: an instance publishes its events itself and
// must not publish them again when they come back from the store.
func TestOwnNoticesAreNotHeardTwice(t *testing.T) {
	r := newRelay(api.NewHub(), slog.New(slog.NewTextHandler(io.Discard, nil)))
	count := 0
	defer r.hub.Tap(func(app.Event) { count++ })()
	r.heard(`{"from":"` + r.self + `","events":[{"ShopID":"s"}]}`)
	r.heard(`not JSON`)
	if count != 0 {
		t.Fatalf("%d events were published from an own or unreadable notice, want 0", count)
	}
	r.heard(`{"from":"another","events":[{"ShopID":"s"}]}`)
	if count != 1 {
		t.Fatalf("%d events were published from another's notice, want 1", count)
	}
}
