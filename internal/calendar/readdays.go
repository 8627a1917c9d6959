package calendar

import (
	"cmp"
	"fmt"
	"slices"

	"bareframe/internal/fault"
)

func (c *Calendar) readClosures(faults *fault.Collector, at string, list []Closure) {
	if len(list) > maxDays {
		faults.Add(at, "a calendar has at most %d closures", maxDays)
		return
	}
	for i, cl := range list {
		pointer := fmt.Sprintf("%s/%d", at, i)
		from, okFrom := readDay(faults, pointer+"/from", cl.From)
		to, okTo := readDay(faults, pointer+"/to", cl.To)
		checkReason(faults, pointer, cl.Reason)
		if !okFrom || !okTo {
			continue
		}
		if to < from {
			faults.Add(pointer+"/to", "the last day of a closure may not be before its first")
			continue
		}
		c.closures = append(c.closures, closure{dayRange{from, to}, cl.Reason})
	}
	c.closedRuns = mergeRuns(c.closures)
}

// mergeRuns returns the days that any closure covers, as runs in order that do
// not overlap.
func mergeRuns(list []closure) []dayRange {
	var sorted []dayRange
	for _, cl := range list {
		sorted = append(sorted, cl.dayRange)
	}
	slices.SortFunc(sorted, func(a, b dayRange) int { return cmp.Compare(a.from, b.from) })
	var runs []dayRange
	for _, r := range sorted {
		if n := len(runs); n > 0 && r.from <= runs[n-1].to+1 {
			runs[n-1].to = max(runs[n-1].to, r.to)
		} else {
			runs = append(runs, r)
		}
	}
	return runs
}

func (c *Calendar) readOpenings(faults *fault.Collector, at string, list []Opening) {
	if len(list) > maxDays {
		faults.Add(at, "a calendar has at most %d extra openings", maxDays)
		return
	}
	c.openings = make(map[civilDay][]clockSpan, len(list))
	for i, o := range list {
		pointer := fmt.Sprintf("%s/%d", at, i)
		day, ok := readDay(faults, pointer+"/day", o.Day)
		checkReason(faults, pointer, o.Reason)
		if len(o.Intervals) == 0 {
			faults.Add(pointer+"/intervals", "an extra opening needs at least one interval; to shut a day, add a closure")
		}
		spans := readIntervals(faults, pointer+"/intervals", o.Intervals)
		if !ok {
			continue
		}
		if _, twice := c.openings[day]; twice {
			faults.Add(pointer+"/day", "%s has an extra opening already; put all its intervals there", o.Day)
			continue
		}
		c.openings[day] = spans
	}
}

func readDay(faults *fault.Collector, at, s string) (civilDay, bool) {
	d, err := parseDay(s)
	if err != nil {
		faults.Add(at, err.Error())
	}
	return d, err == nil
}

func checkReason(faults *fault.Collector, at, reason string) {
	if len(reason) > maxReason {
		faults.Add(at+"/reason", "a reason has at most %d bytes", maxReason)
	}
}
