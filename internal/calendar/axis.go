package calendar

import (
	"math"
	"time"

	"bareframe/internal/fault"
)

// Axis is a calendar as a line of whole minutes from an origin, for engines that
// do a great deal of arithmetic. Positions may be negative. It gives the
// answers of its Calendar, grows when asked past its horizon, stops at Limits,
// and is safe for concurrent use.
type Axis struct {
	c      *Calendar
	origin int64 // minutes since 1970
}

// Axis returns the axis whose minute 0 is origin, rounded down to a whole
// minute, laid out as far as horizon. It returns fault.Invalid when an argument
// lies outside Limits or the horizon is before the origin.
func (c *Calendar) Axis(origin, horizon time.Time) (*Axis, error) {
	var faults fault.Collector
	checkInstant(&faults, "/origin", origin)
	checkInstant(&faults, "/horizon", horizon)
	if horizon.Before(origin) {
		faults.Add("/horizon", "the horizon lies before the origin")
	}
	if err := faults.Err("axis-invalid"); err != nil {
		return nil, err
	}
	a := &Axis{c: c, origin: floorDiv(origin.Unix(), 60)}
	c.cover(a.origin, floorDiv(horizon.Unix(), 60))
	return a, nil
}

func checkInstant(faults *fault.Collector, at string, t time.Time) {
	if lo, hi := Limits(); t.Before(lo) || !t.Before(hi) {
		faults.Add(at, "the time must lie between the years %d and %d", firstYear, lastYear)
	}
}

// position moves m, minutes since the origin, into Limits as minutes since 1970.
func (a *Axis) position(m int64) int64 {
	if m > math.MaxInt64-a.origin {
		return limitHi
	}
	return clampMinute(m + a.origin)
}

// Minute returns the elapsed minutes from the origin to t, rounded down.
func (a *Axis) Minute(t time.Time) int64 {
	return floorDiv(ticks(t), ticksPerMinute) - a.origin
}

// Time returns the instant of minute m, in UTC.
func (a *Axis) Time(m int64) time.Time { return instant(a.position(m)) }

// Worked returns the working minutes from the origin to m: negative before the
// origin, never falling as m grows. O(log n).
func (a *Axis) Worked(m int64) int64 {
	p := a.position(m)
	x := a.c.cover(min(p, a.origin), max(p, a.origin))
	return x.worked(p, 1) - x.worked(a.origin, 1)
}

// AddWorking returns the minute at which d working minutes after m are done,
// or, for d < 0, from which -d working minutes fit before m, by the conventions
// of Calendar.Add; m itself for d = 0. O(log n).
func (a *Axis) AddWorking(m, d int64) int64 {
	if d == 0 {
		return m
	}
	return a.c.add(a.position(m), d, 1) - a.origin
}

// NextOpen returns m when the shop is open in the minute that begins at m, else
// the minute of the next opening. O(log n).
func (a *Axis) NextOpen(m int64) int64 { return a.c.nextOpen(a.position(m), 1) - a.origin }

// PrevOpen returns the latest minute at or before m at which work may finish.
// O(log n).
func (a *Axis) PrevOpen(m int64) int64 { return a.c.prevOpen(a.position(m), 1) - a.origin }
