package calendar

import "slices"

// index holds the open stretches of a range of time, in order, never touching,
// in minutes since 1970-01-01T00:00Z. It is immutable once built.
//
// Positions and amounts of work are given in ticks, u to the minute: the axis
// asks in minutes (u = 1), the calendar in nanoseconds. The searches themselves
// compare whole minutes, because stretches begin and end on whole minutes.
type index struct {
	lo, hi     int64   // what it covers
	start, end []int64 // of each stretch
	cum        []int64 // working minutes in [lo, start of stretch i); one more for the total

	starts, sums ascending // start and cum, for searching
}

// add appends an open stretch that begins no earlier than the last one ended.
func (x *index) add(start, end int64) {
	start, end = max(start, x.lo), min(end, x.hi)
	if start >= end {
		return
	}
	if n := len(x.end); n > 0 && start <= x.end[n-1] {
		x.end[n-1] = max(x.end[n-1], end)
		return
	}
	x.start, x.end = append(x.start, start), append(x.end, end)
}

// sum fills what is reckoned from the stretches, once all stretches are in.
func (x *index) sum() {
	x.cum = make([]int64, len(x.start)+1)
	for i := range x.start {
		x.cum[i+1] = x.cum[i] + x.end[i] - x.start[i]
	}
	x.start, x.end = slices.Clip(x.start), slices.Clip(x.end)
	x.starts = newAscending(x.start, x.lo, x.hi)
	x.sums = newAscending(x.cum, 0, x.cum[len(x.start)])
}

// worked returns the working ticks in [lo, p).
func (x *index) worked(p, u int64) int64 {
	i := x.starts.last(floorDiv(p, u))
	if i < 0 {
		return 0
	}
	return x.cum[i]*u + min(p, x.end[i]*u) - x.start[i]*u
}

// earliest returns the first position by which w > 0 ticks are worked since lo,
// and false when there is less than that in the range.
func (x *index) earliest(w, u int64) (int64, bool) {
	// The stretch in which the sum reaches w: the greatest i with cum[i] < w.
	i := x.sums.last(-floorDiv(-w, u) - 1)
	if i < 0 || i >= len(x.start) {
		return 0, false
	}
	return x.start[i]*u + w - x.cum[i]*u, true
}

// latest returns the last position by which no more than w ticks are worked
// since lo, and false when that position lies outside the stretches known.
func (x *index) latest(w, u int64) (int64, bool) {
	if w < 0 {
		return 0, false
	}
	i := x.sums.last(floorDiv(w, u))
	if i >= len(x.start) {
		return 0, false
	}
	return x.start[i]*u + w - x.cum[i]*u, true
}

// nextOpen returns the first position at or after p that is open.
func (x *index) nextOpen(p, u int64) (int64, bool) {
	i := x.starts.last(floorDiv(p, u))
	if i >= 0 && p < x.end[i]*u {
		return p, true
	}
	if i+1 < len(x.start) {
		return x.start[i+1] * u, true
	}
	return 0, false
}

// prevOpen returns the last position at or before p that has open time right
// before it.
func (x *index) prevOpen(p, u int64) (int64, bool) {
	i := x.starts.last(-floorDiv(-p, u) - 1) // the greatest i that starts before p
	if i < 0 {
		return 0, false
	}
	return min(p, x.end[i]*u), true
}
