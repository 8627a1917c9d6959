package calendar

// How many years are laid out at first, around the first question.
const (
	yearsBefore = 1
	yearsAfter  = 4
)

// cover returns an index that reaches at least a full year past both minutes,
// or to the limits. O(1) once laid out.
func (c *Calendar) cover(from, to int64) *index {
	from, to = clampMinute(from), clampMinute(to)
	if x := c.known.Load(); x != nil && x.lo <= from && to <= x.hi {
		return x
	}
	c.grow.Lock()
	defer c.grow.Unlock()
	x := c.known.Load()
	if x != nil && x.lo <= from && to <= x.hi {
		return x
	}
	lo, hi := yearMinute(instant(from).Year()-yearsBefore), yearMinute(instant(to).Year()+yearsAfter)
	if x != nil {
		// Double on the side that is too short, so that a long walk in one
		// direction lays out each year a bounded number of times.
		size := x.hi - x.lo
		if from < x.lo {
			lo = min(lo, x.lo-size)
		} else {
			lo = x.lo
		}
		if to > x.hi {
			hi = max(hi, x.hi+size)
		} else {
			hi = x.hi
		}
	}
	x = c.layout(clampMinute(lo), clampMinute(hi))
	c.known.Store(x)
	return x
}

// further returns an index that reaches further than x: forward or backward. It
// returns false when x already reaches the limit on that side.
func (c *Calendar) further(x *index, forward bool) (*index, bool) {
	if forward {
		return c.cover(x.lo, min(x.hi+1, limitHi)), x.hi < limitHi
	}
	return c.cover(max(x.lo-1, limitLo), x.hi), x.lo > limitLo
}

func clampMinute(m int64) int64 { return min(max(m, limitLo), limitHi) }

// add is Add in ticks, u to the minute. d is in minutes.
func (c *Calendar) add(p, d, u int64) int64 {
	m := floorDiv(p, u)
	// Work takes at least as long as the clock, so what cannot fit before the
	// limits is known at once; it also keeps the sums below from overflowing.
	switch {
	case d > limitHi-m:
		return limitHi * u
	case d < limitLo-m-1:
		return limitLo * u
	}
	forward := d > 0
	x := c.cover(m, m)
	for {
		var q int64
		var ok bool
		if w := x.worked(p, u) + d*u; forward {
			q, ok = x.earliest(w, u)
		} else {
			q, ok = x.latest(w, u)
		}
		if ok {
			return q
		}
		if x, ok = c.further(x, forward); !ok {
			return limit(forward) * u
		}
	}
}

func limit(forward bool) int64 {
	if forward {
		return limitHi
	}
	return limitLo
}

func (c *Calendar) nextOpen(p, u int64) int64 {
	x := c.cover(floorDiv(p, u), floorDiv(p, u))
	for {
		q, ok := x.nextOpen(p, u)
		if ok {
			return q
		}
		if x, ok = c.further(x, true); !ok {
			return limitHi * u
		}
	}
}

func (c *Calendar) prevOpen(p, u int64) int64 {
	x := c.cover(floorDiv(p, u), floorDiv(p, u))
	for {
		q, ok := x.prevOpen(p, u)
		if ok {
			return q
		}
		if x, ok = c.further(x, false); !ok {
			return limitLo * u
		}
	}
}
