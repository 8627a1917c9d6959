package calendar

import (
	"sync"
	"sync/atomic"
	"time"
)

// ticksPerMinute: instants are reckoned in nanoseconds since 1970, of which a
// minute has so many. Those up to 2200 fit an int64.
const ticksPerMinute = int64(time.Minute)

// Calendar answers when the shop is open. It is made by New or Lay, never changes, and
// is safe for concurrent use.
type Calendar struct {
	loc        *time.Location
	week       [7][]clockSpan // by time.Weekday
	openings   map[civilDay][]clockSpan
	closures   []closure  // as given, for their reasons
	closedRuns []dayRange // the same merged, in order
	region     string
	laid       []*Calendar // two, where one is laid over another; the rest is then empty

	grow  sync.Mutex
	known atomic.Pointer[index]
}

type closure struct {
	dayRange
	reason string
}

// RoundTheClock returns a calendar that is always open, on UTC.
func RoundTheClock() *Calendar {
	c := &Calendar{loc: time.UTC}
	for d := range c.week {
		c.week[d] = []clockSpan{{0, minutesPerDay}}
	}
	return c
}

// Location returns the shop's time zone.
func (c *Calendar) Location() *time.Location { return c.loc }

// Add returns the instant at which d working minutes after t are done: the
// earliest such instant, so the end of an interval rather than the start of the
// next. For d < 0 it returns the latest instant from which -d working minutes
// fit before t. Add(t, 0) is t. The result is in t's location; it stops at
// Limits. O(log n) in the number of intervals laid out.
func (c *Calendar) Add(t time.Time, d Minutes) time.Time {
	if d == 0 {
		return t
	}
	return fromTicks(c.add(ticks(t), int64(d), ticksPerMinute), t.Location())
}

// Between returns the working minutes from a to b, rounded toward zero, and
// negative when b is before a. O(log n).
func (c *Calendar) Between(a, b time.Time) Minutes {
	p, q := ticks(a), ticks(b)
	x := c.cover(min(p, q)/ticksPerMinute, max(p, q)/ticksPerMinute)
	return Minutes((x.worked(q, ticksPerMinute) - x.worked(p, ticksPerMinute)) / ticksPerMinute)
}

// NextOpen returns t when the shop is open at t, else the start of the next
// interval. An interval is open at its start and not at its end. O(log n).
func (c *Calendar) NextOpen(t time.Time) time.Time {
	return fromTicks(c.nextOpen(ticks(t), ticksPerMinute), t.Location())
}

// PrevOpen returns the latest instant at or before t at which work may finish:
// t when the shop is open right before t, else the end of the interval before.
// O(log n).
func (c *Calendar) PrevOpen(t time.Time) time.Time {
	return fromTicks(c.prevOpen(ticks(t), ticksPerMinute), t.Location())
}

// OpenIntervals returns the stretches between from and to during which the shop
// is open, in order, on the shop's clock. Intervals that touch are one stretch,
// also across midnight. O(log n + stretches).
func (c *Calendar) OpenIntervals(from, to time.Time) []Span {
	p, q := ticks(from), ticks(to)
	if p >= q {
		return nil
	}
	x := c.cover(p/ticksPerMinute, q/ticksPerMinute)
	var spans []Span
	for i := max(0, x.starts.last(p/ticksPerMinute)); i < len(x.start); i++ {
		a, b := max(p, x.start[i]*ticksPerMinute), min(q, x.end[i]*ticksPerMinute)
		if x.start[i]*ticksPerMinute >= q {
			break
		}
		if a < b {
			spans = append(spans, Span{fromTicks(a, c.loc), fromTicks(b, c.loc)})
		}
	}
	return spans
}

// ticks returns t's position, moved into Limits.
func ticks(t time.Time) int64 {
	lo, hi := Limits()
	switch {
	case t.Before(lo):
		return limitLo * ticksPerMinute
	case t.After(hi):
		return limitHi * ticksPerMinute
	}
	return t.UnixNano()
}

func fromTicks(p int64, loc *time.Location) time.Time { return time.Unix(0, p).In(loc) }
