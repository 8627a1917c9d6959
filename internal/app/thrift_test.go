package app_test

import (
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/pricing"
)

// Whoever runs the process hears of floors that are looked at or planned, and of
// nothing while a shop waits for nothing: keeping memory down has a cost.
func TestMemoryIsSparedOnlyWhileAFloorIsRead(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	begun, ended, between := 0, 0, 0
	server := app.New(app.Options{Store: b.store, Now: b.now, NewID: func() string { return "of-the-thrifty-" + b.key() },
		Thrift: app.Thrift{Begin: func() func() { begun++; return func() { ended++ } }, Between: func() { between++ }}})
	for _, row := range []struct {
		name                   string
		pass                   time.Duration
		made, begun, searching int
	}{
		{"the first plan: looked at and planned", time.Minute, 1, 2, 1},
		{"nothing happened: quiet after the plan, looked at once more", time.Minute, 0, 1, 0},
		{"nothing happened", time.Minute, 0, 0, 0},
		{"another day: looked at and planned", 24 * time.Hour, 1, 2, 1},
	} {
		begun, ended, between = 0, 0, 0
		b.pass(row.pass)
		made, err := server.MakePlans(t.Context(), true)
		b.ok("planning", err)
		if made != row.made || begun != row.begun || ended != begun || between != row.searching {
			t.Errorf("%s: made %d, begun %d, ended %d, searched %d; want %d, %d, %d, %d", row.name, made, begun, ended, between, row.made, row.begun, row.begun, row.searching)
		}
	}
}
