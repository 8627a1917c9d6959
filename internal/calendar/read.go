package calendar

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
	_ "time/tzdata" // zones for machines that have none

	"bareframe/internal/fault"
)

var weekdays = [7]string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"}

// New returns the calendar that spec states. It returns fault.Invalid, naming
// every fault at once by JSON pointer into the spec, for an unknown time zone,
// weekday or region, for times and days that do not exist, intervals that end
// before they begin or overlap, an opening without intervals or on a day that
// has one already, and for a calendar that stays shut for more than a year.
func New(spec Spec) (*Calendar, error) { return NewAt("", spec) }

// NewAt is New for a spec that sits inside a larger document at the JSON
// pointer at, such as "/calendar".
func NewAt(at string, spec Spec) (*Calendar, error) {
	var faults fault.Collector
	c := read(&faults, at, spec)
	if err := faults.Err("calendar-invalid"); err != nil {
		return nil, err
	}
	if err := c.everOpen(at); err != nil {
		return nil, err
	}
	return c, nil
}

// read makes a calendar of what is sound in spec and notes what is not.
func read(faults *fault.Collector, at string, spec Spec) *Calendar {
	c := &Calendar{loc: readZone(faults, at+"/time_zone", spec.TimeZone)}
	c.readWeek(faults, at+"/week", spec.Week)
	if _, ok := regions[spec.Holidays]; !ok && spec.Holidays != "" {
		faults.Add(at+"/holidays", "no holidays are known for this region; use one of %s, or none", strings.Join(Regions(), ", "))
	}
	c.region = spec.Holidays
	c.readClosures(faults, at+"/closures", spec.Closures)
	c.readOpenings(faults, at+"/openings", spec.Openings)
	return c
}

func readZone(faults *fault.Collector, at, name string) *time.Location {
	if name == "" || name == "Local" || len(name) > 64 || !isZoneName(name) {
		faults.Add(at, "give an IANA time zone such as Europe/Berlin")
		return time.UTC
	}
	loc, err := time.LoadLocation(name)
	if err != nil {
		faults.Add(at, "this IANA time zone is not known; write it like Europe/Berlin")
		return time.UTC
	}
	return loc
}

// isZoneName keeps names off the file system that no zone has, and with them
// the variants that some systems keep in folders beside the real ones.
func isZoneName(name string) bool {
	for _, r := range name {
		letter := 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z'
		if !letter && (r < '0' || r > '9') && !strings.ContainsRune("/_+-", r) {
			return false
		}
	}
	return !strings.HasPrefix(name, "right/") && !strings.HasPrefix(name, "posix/")
}

func (c *Calendar) readWeek(faults *fault.Collector, at string, week map[string][]Interval) {
	for _, key := range slices.Sorted(maps.Keys(week)) {
		pointer := at + "/" + escape(key)
		d := slices.Index(weekdays[:], key)
		if d < 0 {
			faults.Add(pointer, "the days of the week are monday, tuesday, wednesday, thursday, friday, saturday and sunday")
			continue
		}
		c.week[d] = readIntervals(faults, pointer, week[key])
	}
}

// escape writes a key as a token of a JSON pointer (RFC 6901, section 3).
func escape(key string) string {
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(key)
}

// readIntervals returns the intervals of one day in order.
func readIntervals(faults *fault.Collector, at string, list []Interval) []clockSpan {
	if len(list) > maxIntervals {
		faults.Add(at, "a day has at most %d intervals", maxIntervals)
		return nil
	}
	var spans []clockSpan
	for i, iv := range list {
		pointer := fmt.Sprintf("%s/%d", at, i)
		span, ok := readInterval(faults, pointer, iv)
		if !ok {
			continue
		}
		for _, o := range spans {
			if span.from < o.to && o.from < span.to {
				faults.Add(pointer, "%s to %s overlaps %s to %s", iv.From, iv.To, clock(o.from), clock(o.to))
			}
		}
		spans = append(spans, span)
	}
	slices.SortFunc(spans, func(a, b clockSpan) int { return int(a.from - b.from) })
	return spans
}

func readInterval(faults *fault.Collector, at string, iv Interval) (clockSpan, bool) {
	from, ok := parseClock(iv.From)
	if !ok || from == minutesPerDay {
		faults.Add(at+"/from", "write the time as HH:MM between 00:00 and 23:59")
		ok = false
	}
	to, okTo := parseClock(iv.To)
	if !okTo {
		faults.Add(at+"/to", "write the time as HH:MM between 00:01 and 24:00")
	}
	if ok && okTo && to <= from {
		faults.Add(at+"/to", "the end must be after the start; a shift past midnight is two intervals, one on each day")
		return clockSpan{}, false
	}
	return clockSpan{from, to}, ok && okTo
}

// everOpen refuses a calendar that stays shut for more than a year. Only the
// week and the closures can bring that about, so the years around the closures
// are looked at.
func (c *Calendar) everOpen(at string) error {
	if !slices.ContainsFunc(c.week[:], func(iv []clockSpan) bool { return len(iv) > 0 }) {
		return fault.InvalidField("calendar-never-open", at+"/week",
			"the shop is never open: the week needs a day with at least one interval")
	}
	if len(c.closedRuns) == 0 {
		return nil
	}
	const day, year = minutesPerDay, 366 * minutesPerDay
	lo := clampMinute(int64(c.closedRuns[0].from)*day - year)
	hi := clampMinute(int64(c.closedRuns[len(c.closedRuns)-1].to)*day + year)
	if from, to := c.layout(lo, hi).longestGap(); to-from > year {
		return fault.InvalidField("calendar-never-open", at+"/closures",
			"the shop is never open from %s to %s: closures may not leave it shut for more than a year",
			localDay(instant(from), c.loc), localDay(instant(to), c.loc))
	}
	return nil
}
