package calendar

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"bareframe/internal/fault"
)

// Two calendars, one laid over the other, against two clocks on the wall that are
// looked at every minute, near clock changes of either.
func TestLaidOverAgreesWithLookingAtBothClocksEveryMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shop, start := drawSpec(t)
		own, _ := drawSpec(t)
		if rapid.Bool().Draw(t, "same zone") {
			own.TimeZone = shop.TimeZone
		}
		below, over := mustNew(t, shop), mustNew(t, own)
		c, err := Lay(over, below)
		if err != nil {
			t.Skip("the two are never open together")
		}
		m, n := newModel(t, below, shop, start), newModel(t, over, own, start)
		end := start.Add(time.Duration(rapid.IntRange(1, 4*minutesPerDay).Draw(t, "stretch")) * time.Minute)
		open := Minutes(0)
		for at := start; at.Before(end); at = at.Add(time.Minute) {
			both := m.open(at) && n.open(at)
			if both {
				open++
			}
			if got := c.NextOpen(at).Equal(at); got != both {
				t.Fatalf("%v: open is %v, want %v", at.In(m.loc), got, both)
			}
		}
		if got := c.Between(start, end); got != open {
			t.Fatalf("Between(%v, %v) = %d, want %d", start, end, got, open)
		}
		if open > 0 {
			done := c.Add(start, open)
			if done.After(end) || c.Between(start, done) != open {
				t.Fatalf("%d minutes from %v are done at %v, want by %v", open, start, done, end)
			}
		}
	})
}

// Worked by hand. In Berlin the clock goes from 02:00 to 03:00 on 2026-03-29 and
// from 03:00 back to 02:00 on 2026-10-25 (Directive 2000/84/EC: the last Sundays
// of March and October at 01:00 UTC).
func TestLaidOverAcrossBothClockChanges(t *testing.T) {
	night := map[string][]Interval{"sunday": {{"00:00", "06:00"}}}
	shop := mustNew(t, Spec{TimeZone: "Europe/Berlin", Week: night})
	own := mustNew(t, Spec{TimeZone: "Europe/Berlin", Week: map[string][]Interval{"sunday": {{"01:00", "04:00"}}}})
	c, err := Lay(own, shop)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		day  string
		want Minutes
	}{{"2026-03-22", 180}, {"2026-03-29", 120}, {"2026-10-25", 240}} {
		from := day(row.day).Add(-24 * time.Hour)
		if got := c.Between(from, from.Add(48*time.Hour)); got != row.want {
			t.Errorf("%s: %d minutes from 01:00 to 04:00, want %d", row.day, got, row.want)
		}
	}
}

func TestLayRefusesWhatIsNeverOpenTogether(t *testing.T) {
	shop := mustNew(t, Spec{TimeZone: "Europe/Berlin", Week: dayShifts, Holidays: "DE", Closures: []Closure{{"2031-10-01", "2032-03-31", "rebuilding"}}})
	for _, row := range []struct {
		name   string
		own    Spec
		stands bool
	}{
		{"nights only", Spec{Week: map[string][]Interval{"monday": {{"20:00", "24:00"}}}}, false},
		{"away until the shop closes for half a year", Spec{Week: dayShifts, Closures: []Closure{{"2031-01-01", "2031-09-30", "ill"}}}, false},
		{"away for eleven months", Spec{Week: dayShifts, Closures: []Closure{{"2029-01-01", "2029-11-30", "ill"}}}, true},
		{"a morning a week", Spec{Week: map[string][]Interval{"friday": {{"06:00", "09:00"}}}}, true},
	} {
		row.own.TimeZone = "Europe/Berlin"
		c, err := Lay(mustNew(t, row.own), shop)
		if (err == nil) != row.stands || err != nil && fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: got %v, want it to stand: %v", row.name, err, row.stands)
		}
		if err == nil && len(c.Holidays(day("2031-01-01"), day("2031-12-31"))) != len(shop.Holidays(day("2031-01-01"), day("2031-12-31"))) {
			t.Errorf("%s: the shop's holidays are not shown", row.name)
		}
	}
}
