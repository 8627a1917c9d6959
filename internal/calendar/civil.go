package calendar

import (
	"fmt"
	"time"
)

const (
	minutesPerDay = 24 * 60
	firstYear     = 1970
	lastYear      = 2199
)

// The range the package covers, in minutes since 1970-01-01T00:00Z.
var (
	limitLo int64 = 0
	limitHi       = yearMinute(lastYear + 1)
)

// Limits returns the first instant the package covers and the first one after
// those it covers.
func Limits() (from, to time.Time) { return instant(limitLo), instant(limitHi) }

// civilDay is a day of a civil calendar: days since 1970-01-01.
type civilDay int64

func dayOf(year int, month time.Month, day int) civilDay {
	return civilDay(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / (24 * 3600))
}

// localDay returns the day that the wall clock shows at t in loc.
func localDay(t time.Time, loc *time.Location) civilDay {
	return dayOf(t.In(loc).Date())
}

func (d civilDay) date() time.Time { return time.Unix(int64(d)*24*3600, 0).UTC() }

func (d civilDay) String() string { return d.date().Format(time.DateOnly) }

func (d civilDay) weekday() time.Weekday {
	// 1970-01-01 was a Thursday.
	return time.Weekday(floorMod(int64(d)+int64(time.Thursday), 7))
}

// parseDay reads YYYY-MM-DD within the years the package covers.
func parseDay(s string) (civilDay, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil || len(s) != len(time.DateOnly) {
		return 0, fmt.Errorf("write the day as YYYY-MM-DD, and one that exists")
	}
	if t.Year() < firstYear || t.Year() > lastYear {
		return 0, fmt.Errorf("the year must lie between %d and %d", firstYear, lastYear)
	}
	return dayOf(t.Date()), nil
}

// parseClock reads HH:MM as minutes since midnight; 24:00 is 1440.
func parseClock(s string) (int64, bool) {
	if len(s) != 5 || s[2] != ':' {
		return 0, false
	}
	for _, i := range [...]int{0, 1, 3, 4} {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
	}
	h, m := int64(s[0]-'0')*10+int64(s[1]-'0'), int64(s[3]-'0')*10+int64(s[4]-'0')
	if m > 59 || h > 24 || (h == 24 && m != 0) {
		return 0, false
	}
	return h*60 + m, true
}

func clock(m int64) string { return fmt.Sprintf("%02d:%02d", m/60, m%60) }

func yearMinute(year int) int64 {
	return time.Date(year, time.January, 1, 0, 0, 0, 0, time.UTC).Unix() / 60
}

func instant(minute int64) time.Time { return time.Unix(minute*60, 0).UTC() }

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func floorMod(a, b int64) int64 { return a - floorDiv(a, b)*b }
