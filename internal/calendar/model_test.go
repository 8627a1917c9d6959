package calendar

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

var dayShifts = map[string][]Interval{
	"monday": shifts, "tuesday": shifts, "wednesday": shifts, "thursday": shifts, "friday": shifts,
}

var shifts = []Interval{{"08:00", "12:00"}, {"12:30", "16:30"}}

func day(s string) time.Time {
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return d.Add(12 * time.Hour)
}

func mustNew(t interface {
	Helper()
	Fatalf(string, ...any)
}, s Spec) *Calendar {
	t.Helper()
	c, err := New(s)
	if err != nil {
		t.Fatalf("%v: %+v", err, s)
	}
	return c
}

// model is the calendar as anybody would explain it: look at the wall clock
// every minute. It shares nothing with the package but the list of holidays.
type model struct {
	spec     Spec
	loc      *time.Location
	holidays map[string]bool
}

func newModel(t *rapid.T, c *Calendar, spec Spec, around time.Time) *model {
	loc, err := time.LoadLocation(spec.TimeZone)
	if err != nil {
		t.Fatal(err)
	}
	m := &model{spec: spec, loc: loc, holidays: map[string]bool{}}
	for _, h := range c.Holidays(around.AddDate(-1, 0, 0), around.AddDate(1, 0, 0)) {
		m.holidays[h.Day] = true
	}
	return m
}

func (m *model) open(t time.Time) bool {
	wall := t.In(m.loc)
	today, now := wall.Format("2006-01-02"), wall.Format("15:04")
	for _, o := range m.spec.Openings {
		if o.Day == today {
			return within(o.Intervals, now)
		}
	}
	for _, c := range m.spec.Closures {
		if c.From <= today && today <= c.To {
			return false
		}
	}
	names := map[time.Weekday]string{1: "monday", 2: "tuesday", 3: "wednesday", 4: "thursday", 5: "friday", 6: "saturday", 0: "sunday"}
	return !m.holidays[today] && within(m.spec.Week[names[wall.Weekday()]], now)
}

func within(list []Interval, now string) bool {
	for _, iv := range list {
		if iv.From <= now && now < iv.To {
			return true
		}
	}
	return false
}

// add walks a minute at a time until d minutes were open.
func (m *model) add(t time.Time, d int) time.Time {
	for ; d > 0; t = t.Add(time.Minute) {
		if m.open(t) {
			d--
		}
	}
	for ; d < 0; t = t.Add(-time.Minute) {
		if m.open(t.Add(-time.Minute)) {
			d++
		}
	}
	return t
}

// The zones have: changes in both hemispheres, one of half an hour (Lord Howe),
// a skipped day (Apia, 2011-12-30), changes at midnight (Santiago), an offset of
// 45 minutes, and none at all.
var zones = []string{"Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Pacific/Apia", "America/Santiago", "Asia/Kathmandu", "UTC"}

// Days near which something happens to the clock of one of the zones.
var eventful = []string{"2026-03-29", "2026-10-25", "2026-03-08", "2026-11-01", "2026-04-05", "2026-10-04",
	"2011-12-30", "2012-04-01", "2026-09-06", "2026-12-31", "2031-07-04", "2150-03-29", "1971-01-05"}

func drawIntervals(t *rapid.T, label string, least int) []Interval {
	n := rapid.IntRange(least, 3).Draw(t, label+" count")
	cuts := rapid.SliceOfNDistinct(rapid.IntRange(0, 96), 2*n, 2*n, rapid.ID[int]).Draw(t, label)
	for i := range cuts { // ascending
		for j := range cuts[:i] {
			if cuts[j] > cuts[i] {
				cuts[i], cuts[j] = cuts[j], cuts[i]
			}
		}
	}
	var list []Interval
	for i := 0; i < n; i++ {
		list = append(list, Interval{clock(int64(cuts[2*i]) * 15), clock(int64(cuts[2*i+1]) * 15)})
	}
	return list
}

// drawSpec draws a calendar and a moment close to whatever is special in it.
func drawSpec(t *rapid.T) (Spec, time.Time) {
	centre := day(rapid.SampledFrom(eventful).Draw(t, "event"))
	near := func(label string) time.Time {
		return centre.AddDate(0, 0, rapid.IntRange(-5, 5).Draw(t, label))
	}
	s := Spec{
		TimeZone: rapid.SampledFrom(zones).Draw(t, "zone"),
		Week:     map[string][]Interval{},
		Holidays: rapid.SampledFrom([]string{"", "DE", "US"}).Draw(t, "region"),
	}
	for d, name := range weekdays {
		s.Week[name] = drawIntervals(t, name, min(1, d%3)) // some days are never closed
	}
	for range rapid.IntRange(0, 2).Draw(t, "closures") {
		from := near("closed from")
		to := from.AddDate(0, 0, rapid.IntRange(0, 6).Draw(t, "closed days"))
		s.Closures = append(s.Closures, Closure{from.Format(time.DateOnly), to.Format(time.DateOnly), ""})
	}
	if rapid.Bool().Draw(t, "opens") {
		s.Openings = []Opening{{near("opens on").Format(time.DateOnly), drawIntervals(t, "opening", 1), ""}}
	}
	start := centre.Add(time.Duration(rapid.IntRange(-4*minutesPerDay, 4*minutesPerDay).Draw(t, "start")) * time.Minute)
	if rapid.Bool().Draw(t, "on the quarter") { // where intervals begin and end
		start = start.Truncate(15 * time.Minute)
	}
	return s, start
}

func TestAgreesWithLookingAtTheClockEveryMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, start := drawSpec(t)
		c := mustNew(t, spec)
		m := newModel(t, c, spec, start)
		d := rapid.IntRange(-900, 900).Draw(t, "minutes")
		want := m.add(start, d)
		if got := c.Add(start, Minutes(d)); !got.Equal(want) {
			t.Fatalf("Add(%v, %d) = %v, want %v", start, d, got.In(m.loc), want.In(m.loc))
		}
		end := start.Add(time.Duration(rapid.IntRange(0, 3*minutesPerDay).Draw(t, "stretch")) * time.Minute)
		open := 0
		for at := start; at.Before(end); at = at.Add(time.Minute) {
			if m.open(at) {
				open++
			}
		}
		if got := c.Between(start, end); got != Minutes(open) {
			t.Fatalf("Between(%v, %v) = %d, want %d", start, end, got, open)
		}
		if got := c.Between(end, start); got != Minutes(-open) {
			t.Fatalf("Between(%v, %v) = %d, want %d", end, start, got, -open)
		}
		checkOpenings(t, c, m, start, end)
	})
}

// checkOpenings compares what is drawn and the next and previous opening.
func checkOpenings(t *rapid.T, c *Calendar, m *model, start, end time.Time) {
	spans, at := c.OpenIntervals(start, end), start
	for _, s := range append(spans, Span{end, end}) {
		for ; at.Before(s.From); at = at.Add(time.Minute) {
			if m.open(at) {
				t.Fatalf("%v is open and in none of %v", at.In(m.loc), spans)
			}
		}
		for ; at.Before(s.To); at = at.Add(time.Minute) {
			if !m.open(at) {
				t.Fatalf("%v is shut and in %v", at.In(m.loc), s)
			}
		}
	}
	next, prev := start, start
	for !m.open(next) {
		next = next.Add(time.Minute)
	}
	for !m.open(prev.Add(-time.Minute)) {
		prev = prev.Add(-time.Minute)
	}
	if got := c.NextOpen(start); !got.Equal(next) {
		t.Fatalf("NextOpen(%v) = %v, want %v", start, got, next)
	}
	if got := c.PrevOpen(start); !got.Equal(prev) {
		t.Fatalf("PrevOpen(%v) = %v, want %v", start, got, prev)
	}
}
