package calendar

import (
	"cmp"
	"slices"

	"bareframe/internal/fault"
)

// Lay lays one calendar over another, a person's or a station's over the
// shop's: the result is open exactly when both are, each on its own wall clock.
// It shows the time zone and the holidays of the one below. It returns
// fault.Invalid when the two together stay shut for more than a year.
func Lay(over, below *Calendar) (*Calendar, error) {
	c := &Calendar{loc: below.loc, region: below.region, laid: []*Calendar{over, below}}
	lo, hi := c.special()
	const year = 366 * minutesPerDay
	from, to := c.layout(clampMinute(lo-2*year), clampMinute(hi+2*year)).longestGap()
	if to-from > year {
		return nil, fault.New(fault.Invalid, "calendar-never-open", "the two calendars are never open together from %s to %s: that may not last for more than a year",
			localDay(instant(from), c.loc), localDay(instant(to), c.loc))
	}
	return c, nil
}

// special returns the minutes between which days of a calendar are unlike those
// of its week; outside them every year is like another.
func (c *Calendar) special() (lo, hi int64) {
	lo, hi = yearMinute(2025), yearMinute(2027)
	reach := func(from, to civilDay) {
		lo, hi = min(lo, int64(from)*minutesPerDay), max(hi, int64(to)*minutesPerDay)
	}
	for _, part := range c.laid {
		from, to := part.special()
		lo, hi = min(lo, from), max(hi, to)
	}
	for _, r := range c.closedRuns {
		reach(r.from, r.to)
	}
	for d := range c.openings {
		reach(d, d)
	}
	return lo, hi
}

// layoutBoth lays out what is open in both of two calendars. O(stretches of both).
func layoutBoth(a, b *Calendar, lo, hi int64) *index {
	x, y, out := a.layout(lo, hi), b.layout(lo, hi), &index{lo: lo, hi: hi}
	for i, j := 0, 0; i < len(x.start) && j < len(y.start); {
		out.add(max(x.start[i], y.start[j]), min(x.end[i], y.end[j]))
		if x.end[i] < y.end[j] {
			i++
		} else {
			j++
		}
	}
	out.sum()
	return out
}

// bothClosed joins the closed days of two calendars; of two reasons for a day the
// first one's stays.
func bothClosed(a, b []ClosedDay) []ClosedDay {
	list := append(slices.Clip(a), b...)
	slices.SortStableFunc(list, func(x, y ClosedDay) int { return cmp.Compare(x.Day, y.Day) })
	return slices.CompactFunc(list, func(x, y ClosedDay) bool { return x.Day == y.Day })
}
