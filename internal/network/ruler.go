package network

import (
	"time"

	"bareframe/internal/calendar"
)

// ruler measures working and elapsed time between whole clock minutes.
//
// A working minute count belongs to two instants wherever the shop closes: the
// closing minute and the next opening. earliest gives the first, latest the
// second; finishes are read by the first and starts by the second.
type ruler struct {
	axis  *calendar.Axis // nil: round the clock, minutes since 1970
	table *table         // nil: read the axis
	// lo and hi bound the years that instants may lie in. A reading outside is
	// pinned to the bound and noted.
	lo, hi       int64
	under, above bool
}

// newRuler lays cal out around origin for a network of so many tasks and links;
// a nil cal is round the clock.
func newRuler(cal *calendar.Calendar, origin time.Time, size int) (*ruler, error) {
	r := &ruler{}
	if cal != nil {
		var err error
		if r.axis, err = cal.Axis(origin, origin); err != nil {
			return nil, err
		}
		if size >= tableSize {
			r.table = newTable(cal, r.axis, origin)
		}
	}
	from, to := calendar.Limits()
	r.lo, r.hi = r.minute(from), r.minute(to)
	return r, nil
}

// minute gives the whole minute at or before t, a date of the input.
func (r *ruler) minute(t time.Time) int64 {
	if r.axis != nil {
		return r.axis.Minute(t)
	}
	s := t.Unix()
	if s < 0 {
		s -= 59
	}
	return s / 60
}

// minuteFrom gives the whole minute at or after t.
func (r *ruler) minuteFrom(t time.Time) int64 {
	m := r.minute(t)
	if t.Second() != 0 || t.Nanosecond() != 0 {
		m++
	}
	return m
}

func (r *ruler) time(m int64) time.Time {
	if r.axis == nil {
		return time.Unix(m*60, 0).UTC()
	}
	return r.axis.Time(m)
}

// within pins m to the years that are known, and notes when it had to.
func (r *ruler) within(m int64) int64 {
	switch {
	case m < r.lo:
		r.under = true
		return r.lo
	case m >= r.hi:
		r.above = true
		return r.hi
	default:
		return m
	}
}

// read is within for an answer of the axis, which stops at the bounds by
// itself.
func (r *ruler) read(m int64) int64 {
	if m <= r.lo {
		m = r.lo - 1
	}
	return r.within(m)
}

// worked gives the working minutes from the ruler's origin to m.
func (r *ruler) worked(m int64) int64 {
	if r.axis == nil {
		return m
	}
	if k, ok := r.table.at(m); ok {
		return r.table.worked[k] + min(m, r.table.shut[k]) - r.table.open[k]
	}
	return r.axis.Worked(m)
}

// earliest gives the first instant by which w working minutes have passed.
func (r *ruler) earliest(w int64) int64 {
	if r.axis == nil {
		return r.within(w)
	}
	if m, ok := r.table.earliest(w); ok {
		return m
	}
	m := r.axis.AddWorking(0, w)
	if w <= 0 {
		m = r.axis.PrevOpen(m)
	}
	return r.read(m)
}

// latest gives the last instant by which no more than w working minutes have
// passed: the beginning of the next minute worked.
func (r *ruler) latest(w int64) int64 {
	if r.axis == nil {
		return r.within(w)
	}
	if m, ok := r.table.earliest(w + 1); ok {
		return m - 1
	}
	if w < 0 {
		return r.read(r.axis.AddWorking(0, w))
	}
	m := r.axis.AddWorking(0, w+1)
	if m >= r.hi { // there is no such minute: it lies beyond the years
		return r.within(m)
	}
	return r.read(m - 1)
}

// firstEnd gives the least working minutes done by a piece of work that
// finishes no earlier than m: it works the minute before m or a later one.
func (r *ruler) firstEnd(m int64) int64 { return r.worked(m-1) + 1 }

// lastStart gives the most working minutes done before a piece of work that
// starts no later than m: it works the minute from m on or an earlier one.
func (r *ruler) lastStart(m int64) int64 { return r.worked(m+1) - 1 }

// spot is an instant with the working minutes up to it, kept together because
// reading the one from the other is the dear part of the passes.
type spot struct{ at, worked int64 }

// pair is the start and the finish of a task, or a bound on each. What bounds
// one end comes in clock minutes from some links and in working minutes from
// others; the strictest of both is kept, and the one is read from the other
// only once a task. arcCode.end says which of the two an arc is about.
type pair [2]spot

// spot reads the working minutes at m.
func (r *ruler) spot(m int64) spot { return spot{m, r.worked(m)} }

// after gives the earliest instant that lies n or more of the given kind of
// time after p.
func (r *ruler) after(p spot, n int64, elapsed bool) int64 {
	if elapsed {
		return r.within(p.at + n)
	}
	return r.earliest(p.worked + n)
}

// between gives the time of one kind from a to b, negative when b is earlier.
func between(a, b spot, elapsed bool) calendar.Minutes {
	if elapsed {
		return calendar.Minutes(b.at - a.at)
	}
	return calendar.Minutes(b.worked - a.worked)
}
