package calendar

import (
	"maps"
	"slices"
	"time"

	"github.com/rickar/cal/v2"
)

// The library reckons its days in one package-wide location, by default the
// machine's. On a machine whose zone skips a midnight that can yield the day
// before; on UTC, which skips none, the days are right everywhere.
func init() { cal.DefaultLoc = time.UTC }

// Regions returns the codes that Spec.Holidays may hold, sorted: ISO 3166-1 for
// a country, ISO 3166-2 where the days differ within it.
func Regions() []string { return slices.Sorted(maps.Keys(regions)) }

// holidayDays returns the closed days of the years from first to last and their
// names. A holiday that is observed on another day closes both days.
func (c *Calendar) holidayDays(first, last int) map[civilDay]string {
	list := regions[c.region]
	if len(list) == 0 {
		return nil
	}
	days := make(map[civilDay]string, (last-first+3)*(len(list)+2))
	// New Year's Day may be observed in the year before, hence a year more on
	// each side.
	for year := first - 1; year <= last+1; year++ {
		for _, h := range list {
			actual, observed := h.Calc(year)
			if actual.IsZero() || h.Type == cal.ObservanceOther {
				continue // not held that year, or not a public holiday
			}
			name(days, actual, h.Name)
			if !observed.Equal(actual) {
				name(days, observed, h.Name+" (observed)")
			}
		}
	}
	return days
}

// name notes a day's holiday; of two on one day the first in the list stays.
func name(days map[civilDay]string, t time.Time, holiday string) {
	d := dayOf(t.Date())
	if days[d] == "" {
		days[d] = holiday
	}
}

// Holidays returns the public holidays of the region on the days from the one
// that holds from to the one that holds to, both included, in order; none when
// no region is set.
func (c *Calendar) Holidays(from, to time.Time) []Holiday {
	first, end := c.days(from, to)
	names := c.holidayDays(first.date().Year(), end.date().Year())
	var list []Holiday
	for _, d := range slices.Sorted(maps.Keys(names)) {
		if first <= d && d <= end {
			list = append(list, Holiday{d.String(), names[d]})
		}
	}
	return list
}

// ClosedDays returns the days from the one that holds from to the one that
// holds to, both included, on which the week has shifts but a closure or a
// holiday closes the shop, and why. O(days × closures).
func (c *Calendar) ClosedDays(from, to time.Time) []ClosedDay {
	if len(c.laid) == 2 {
		return bothClosed(c.laid[0].ClosedDays(from, to), c.laid[1].ClosedDays(from, to))
	}
	first, end := c.days(from, to)
	days := &dayReader{c, c.holidayDays(first.date().Year(), end.date().Year())}
	var list []ClosedDay
	for d := first; d <= end; d++ {
		if reason := days.reasonFor(d); reason != "" {
			list = append(list, ClosedDay{d.String(), reason})
		}
	}
	return list
}

// days returns the shop's days that hold from and to, moved into Limits.
func (c *Calendar) days(from, to time.Time) (first, end civilDay) {
	at := func(t time.Time) civilDay { return localDay(fromTicks(ticks(t), time.UTC), c.loc) }
	return at(from), at(to)
}
