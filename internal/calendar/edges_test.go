package calendar

import (
	"testing"
	"time"
)

// Hand-worked: shifts 08:00-12:00 and 12:30-16:30, Monday to Friday. 2026-11-20
// is a Friday.
func TestAtTheEdgesOfAShift(t *testing.T) {
	c := mustNew(t, Spec{TimeZone: "UTC", Week: dayShifts})
	axis, err := c.Axis(day("2026-11-16"), day("2026-11-30"))
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct{ name, at, next, prev string }{
		{"at the start", "2026-11-20T08:00:00Z", "2026-11-20T08:00:00Z", "2026-11-19T16:30:00Z"},
		{"inside", "2026-11-20T09:30:00Z", "2026-11-20T09:30:00Z", "2026-11-20T09:30:00Z"},
		{"at the end", "2026-11-20T12:00:00Z", "2026-11-20T12:30:00Z", "2026-11-20T12:00:00Z"},
		{"in the break", "2026-11-20T12:15:00Z", "2026-11-20T12:30:00Z", "2026-11-20T12:00:00Z"},
		{"after the break", "2026-11-20T12:30:00Z", "2026-11-20T12:30:00Z", "2026-11-20T12:00:00Z"},
		{"at the end of the week", "2026-11-20T16:30:00Z", "2026-11-23T08:00:00Z", "2026-11-20T16:30:00Z"},
		{"at the weekend", "2026-11-22T16:30:00Z", "2026-11-23T08:00:00Z", "2026-11-20T16:30:00Z"},
	} {
		at, next, prev := instantOf(t, row.at), instantOf(t, row.next), instantOf(t, row.prev)
		if got := c.NextOpen(at); !got.Equal(next) {
			t.Errorf("%s: next open after %s is %v, want %s", row.name, row.at, got, row.next)
		}
		if got := c.PrevOpen(at); !got.Equal(prev) {
			t.Errorf("%s: work may finish before %s at %v, want %s", row.name, row.at, got, row.prev)
		}
		if got := axis.Time(axis.NextOpen(axis.Minute(at))); !got.Equal(next) {
			t.Errorf("%s: next open on the axis is %v, want %s", row.name, got, row.next)
		}
		if got := axis.Time(axis.PrevOpen(axis.Minute(at))); !got.Equal(prev) {
			t.Errorf("%s: work may finish on the axis at %v, want %s", row.name, got, row.prev)
		}
	}
	// Half a minute into the last minute of the shift, half a minute is left; a
	// second after it there is nothing.
	if got, want := c.Add(instantOf(t, "2026-11-20T16:29:30Z"), 1), instantOf(t, "2026-11-23T08:00:30Z"); !got.Equal(want) {
		t.Errorf("a minute from 16:29:30 ends at %v, want %v", got, want)
	}
	if got, want := c.NextOpen(instantOf(t, "2026-11-20T16:30:01Z")), instantOf(t, "2026-11-23T08:00:00Z"); !got.Equal(want) {
		t.Errorf("next open after 16:30:01 is %v, want %v", got, want)
	}
	if got, want := c.PrevOpen(instantOf(t, "2026-11-20T08:00:01Z")), instantOf(t, "2026-11-20T08:00:01Z"); !got.Equal(want) {
		t.Errorf("work may finish before 08:00:01 at %v, want then", got)
	}
}

func instantOf(t *testing.T, s string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return at
}
