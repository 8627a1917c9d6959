package calendar

// clockSpan is an interval in minutes since midnight on the wall clock.
type clockSpan struct{ from, to int64 }

// dayRange is a run of civil days, both ends included.
type dayRange struct{ from, to civilDay }

// layout lays out the open stretches between the minutes lo and hi.
// O(days + stretches).
func (c *Calendar) layout(lo, hi int64) *index {
	if len(c.laid) == 2 {
		return layoutBoth(c.laid[0], c.laid[1], lo, hi)
	}
	x := &index{lo: lo, hi: hi}
	days := c.dayReader(lo, hi)
	for at := lo; at < hi; {
		_, offset := instant(at).In(c.loc).Zone()
		next := hi
		if _, to := instant(at).In(c.loc).ZoneBounds(); !to.IsZero() {
			// A change inside a minute (before 1972) is taken at the next whole
			// minute, so that the walk always advances.
			next = min(hi, max(-floorDiv(-to.Unix(), 60), at+1))
		}
		layoutSegment(x, at, next, int64(offset), days)
		at = next
	}
	x.sum()
	return x
}

// layoutSegment lays out [from, to), in which the offset from UTC, in seconds,
// does not change.
func layoutSegment(x *index, from, to, offset int64, days *dayReader) {
	// Whole minutes all round; offsets in seconds are rounded down.
	shift := floorDiv(offset, 60)
	first, end := from+shift, to+shift // the wall clock at both ends
	for d := floorDiv(first, minutesPerDay); d*minutesPerDay < end; d++ {
		for _, iv := range days.open(civilDay(d)) {
			a := max(d*minutesPerDay+iv.from, first)
			b := min(d*minutesPerDay+iv.to, end)
			x.add(a-shift, b-shift)
		}
	}
}

// dayReader answers which intervals a civil day has, for days asked about in
// any order; it remembers the holidays of the range it was made for.
type dayReader struct {
	c        *Calendar
	holidays map[civilDay]string
}

func (c *Calendar) dayReader(lo, hi int64) *dayReader {
	// The wall clock may be a day off UTC on either side.
	first, end := instant(lo).AddDate(0, 0, -2), instant(hi).AddDate(0, 0, 2)
	return &dayReader{c, c.holidayDays(first.Year(), end.Year())}
}

func (r *dayReader) open(d civilDay) []clockSpan {
	if iv, ok := r.c.openings[d]; ok {
		return iv
	}
	week := r.c.week[d.weekday()]
	if len(week) == 0 || r.c.closed(d) || r.holidays[d] != "" {
		return nil
	}
	return week
}

// closed reports whether a closure covers d. O(log closures).
func (c *Calendar) closed(d civilDay) bool {
	lo, hi := 0, len(c.closedRuns)
	for lo < hi {
		mid := (lo + hi) / 2
		if c.closedRuns[mid].from <= d {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo > 0 && d <= c.closedRuns[lo-1].to
}

// longestGap returns the longest stretch inside the index without open time.
func (x *index) longestGap() (from, to int64) {
	at := x.lo
	for i := 0; i <= len(x.start); i++ {
		next := x.hi
		if i < len(x.start) {
			next = x.start[i]
		}
		if next-at > to-from {
			from, to = at, next
		}
		if i < len(x.start) {
			at = x.end[i]
		}
	}
	return from, to
}

// reasonFor says why a day with shifts in the week is closed, or "".
func (r *dayReader) reasonFor(d civilDay) string {
	if _, ok := r.c.openings[d]; ok || len(r.c.week[d.weekday()]) == 0 {
		return ""
	}
	for _, cl := range r.c.closures {
		if cl.from <= d && d <= cl.to {
			if cl.reason == "" {
				return "closed"
			}
			return cl.reason
		}
	}
	return r.holidays[d]
}
