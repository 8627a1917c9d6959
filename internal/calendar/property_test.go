package calendar

import (
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func drawInstant(t *rapid.T, label string) time.Time {
	// To the nanosecond: nothing says that a clock is punched on the minute.
	return time.Unix(rapid.Int64Range(0, 5_000_000_000).Draw(t, label), rapid.Int64Range(0, 999_999_999).Draw(t, label+" ns"))
}

func TestAddAndBetweenUndoEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, _ := drawSpec(t)
		c := mustNew(t, spec)
		start := drawInstant(t, "start")
		d := Minutes(rapid.IntRange(-200_000, 200_000).Draw(t, "minutes"))
		end := c.Add(start, d)
		if lo, hi := Limits(); !end.After(lo) || !end.Before(hi) {
			t.Skip("ran into a limit")
		}
		if got := c.Between(start, end); got != d {
			t.Fatalf("Between(%v, Add(.., %d) = %v) = %d", start, d, end, got)
		}
		if back := c.Add(end, -d); d > 0 && !back.Equal(c.NextOpen(start)) || d < 0 && !back.Equal(c.PrevOpen(start)) {
			t.Fatalf("from %v by %d to %v and back to %v", start, d, end, back)
		}
	})
}

func TestAddKeepsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, start := drawSpec(t)
		c := mustNew(t, spec)
		later := start.Add(time.Duration(rapid.Int64Range(0, int64(100*time.Hour)).Draw(t, "later")))
		d := Minutes(rapid.IntRange(-5000, 5000).Draw(t, "minutes"))
		more := Minutes(rapid.IntRange(1, 5000).Draw(t, "more"))
		if d != 0 && c.Add(later, d).Before(c.Add(start, d)) {
			t.Fatalf("%v + %d is after %v + %d", start, d, later, d)
		}
		if !c.Add(start, d+more).After(c.Add(start, d)) && d*(d+more) > 0 {
			t.Fatalf("%v + %d is not after + %d", start, d+more, d)
		}
		if c.Between(start, later) < 0 || c.Between(start, later) > Minutes(later.Sub(start)/time.Minute) {
			t.Fatalf("%d working minutes from %v to %v", c.Between(start, later), start, later)
		}
		if first := c.Add(start, d); d > 0 && more > 0 && !c.Add(first, more).Equal(c.Add(start, d+more)) {
			t.Fatalf("%d and %d more is not %d from %v", d, more, d+more, start)
		}
	})
}

func TestAxisAgreesWithItsCalendar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, start := drawSpec(t)
		c := mustNew(t, spec)
		axis, err := c.Axis(start, start.AddDate(0, 1, 0))
		if err != nil {
			t.Fatal(err)
		}
		m := rapid.Int64Range(-500_000, 10*525_600).Draw(t, "minute")
		d := rapid.Int64Range(-50_000, 50_000).Draw(t, "minutes")
		at := axis.Time(m)
		if at.Before(time.Unix(0, 0).AddDate(0, 6, 0)) {
			t.Skip("at the limit")
		}
		if axis.Minute(at) != m || axis.Minute(at.Add(59*time.Second)) != m {
			t.Fatalf("minute %d is %v is minute %d", m, at, axis.Minute(at))
		}
		for _, row := range []struct {
			what      string
			got, want int64
		}{
			{"AddWorking", axis.AddWorking(m, d), axis.Minute(c.Add(at, Minutes(d)))},
			{"Worked", axis.Worked(m), int64(c.Between(start, at))},
			{"NextOpen", axis.NextOpen(m), axis.Minute(c.NextOpen(at))},
			{"PrevOpen", axis.PrevOpen(m), axis.Minute(c.PrevOpen(at))},
			{"Worked after AddWorking", axis.Worked(axis.AddWorking(m, d)), axis.Worked(m) + d},
		} {
			if row.got != row.want {
				t.Fatalf("%s at %d (%v) by %d: axis %d, calendar %d", row.what, m, at, d, row.got, row.want)
			}
		}
		if axis.Worked(m+1) < axis.Worked(m) {
			t.Fatalf("Worked falls at %d", m)
		}
	})
}

// A calendar that lays out its years as it is asked gives the answers of one
// that had them all from the start.
func TestGrowingChangesNoAnswer(t *testing.T) {
	spec := Spec{TimeZone: "Europe/Berlin", Week: dayShifts, Holidays: "DE"}
	whole := mustNew(t, spec)
	whole.cover(limitLo, limitHi)
	rapid.Check(t, func(t *rapid.T) {
		c := mustNew(t, spec)
		for range rapid.IntRange(1, 3).Draw(t, "questions") {
			start := drawInstant(t, "start")
			d := Minutes(rapid.IntRange(-3_000_000, 3_000_000).Draw(t, "minutes"))
			if got, want := c.Add(start, d), whole.Add(start, d); !got.Equal(want) {
				t.Fatalf("%v + %d is %v, want %v", start, d, got, want)
			}
			end := drawInstant(t, "end")
			if got, want := c.Between(start, end), whole.Between(start, end); got != want {
				t.Fatalf("from %v to %v are %d, want %d", start, end, got, want)
			}
		}
	})
}

// Many at once ask a fresh calendar about years far apart, so that it grows
// under them; run with -race.
func TestManyMayAskAtOnce(t *testing.T) {
	spec := Spec{TimeZone: "Europe/Berlin", Week: dayShifts, Holidays: "DE"}
	alone, shared := mustNew(t, spec), mustNew(t, spec)
	axis, err := shared.Axis(day("2026-06-01"), day("2026-06-02"))
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for g := range 8 {
		wg.Go(func() {
			for i := range 40 {
				start := time.Date(1980+(g*29+i*7)%180, time.Month(1+i%12), 3, 9, 0, 0, 0, time.UTC)
				m := axis.Minute(start)
				if got, want := axis.Time(axis.AddWorking(m, 4800)), shared.Add(start, 4800); !got.Equal(want) {
					t.Errorf("axis %v, calendar %v", got, want)
				}
				if got, want := shared.Add(start, 4800), alone.Add(start, 4800); !got.Equal(want) {
					t.Errorf("shared %v, alone %v", got, want)
				}
			}
		})
	}
	wg.Wait()
}
