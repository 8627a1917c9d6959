package domain

import (
	"testing"
	"time"

	"bareframe/internal/fault"
)

func TestParseDay(t *testing.T) {
	for _, text := range []string{"1970-01-01", "2027-03-31", "2028-02-29", "2000-02-29", "2189-12-31"} {
		if got, err := ParseDay(text); err != nil || string(got) != text {
			t.Errorf("%q: %q, %v", text, got, err)
		}
	}
	for _, text := range []string{
		"", "2027-02-29", "2100-02-29", "2027-02-30", "2027-13-01", "2027-00-10", "2027-01-00", "2027-04-31",
		"0000-01-01", "1969-12-31", "2190-01-01", "99999-01-01", "27-03-31", "2027-3-31", "2027/03/31", "31.03.2027",
		" 2027-03-31", "2027-03-31 ", "2027-03-31\n", "2027-03-31T00:00:00Z", "２０２７-03-31", "-027-03-31",
	} {
		if got, err := ParseDay(text); fault.KindOf(err) != fault.Invalid || got != "" {
			t.Errorf("%q: %q, %v; want it refused", text, got, err)
		}
	}
}

// Facts of the calendar: Vienna changes its clocks on 29 March and 25 October
// 2026, so that these days have 23 and 25 hours.
func TestADayIsAsLongAsTheZoneMakesIt(t *testing.T) {
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct {
		day   Day
		hours int
		start string
	}{
		{"2026-03-29", 23, "2026-03-28T23:00:00Z"},
		{"2026-10-25", 25, "2026-10-24T22:00:00Z"},
		{"2026-11-02", 24, "2026-11-01T23:00:00Z"},
	} {
		start, end := r.day.Start(vienna), r.day.End(vienna)
		if got := start.UTC().Format(time.RFC3339); got != r.start || end.Sub(start) != time.Duration(r.hours)*time.Hour {
			t.Errorf("%s: from %s, %v long; want from %s, %d h", r.day, got, end.Sub(start), r.start, r.hours)
		}
		if DayOf(start, vienna) != r.day || DayOf(end.Add(-time.Nanosecond), vienna) != r.day || DayOf(end, vienna) == r.day {
			t.Errorf("%s: its instants read as %s, %s, %s", r.day, DayOf(start, vienna), DayOf(end.Add(-time.Nanosecond), vienna), DayOf(end, vienna))
		}
	}
	if !Day("").IsZero() || Day("2027-01-01").IsZero() {
		t.Error("only the empty day is none")
	}
}
