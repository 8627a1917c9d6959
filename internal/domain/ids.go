package domain

import (
	"regexp"
	"time"

	"bareframe/internal/fault"
)

// ID identifies a row: a UUID in lower-case text. IDs are made by the caller
// of a use case's clock and identity source, so that tests can fix them.
type ID = string

// Day is a calendar day in the shop's zone, written YYYY-MM-DD. The zero value
// means no day.
type Day string

var dayPattern = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)

// ParseDay reads YYYY-MM-DD of a real day from 1970 to 2189.
func ParseDay(text string) (Day, error) {
	if !dayPattern.MatchString(text) {
		return "", fault.New(fault.Invalid, "day-not-readable", "%q is not a day like 2027-03-31.", text)
	}
	t, err := time.Parse(time.DateOnly, text)
	if err != nil || t.Year() < 1970 || t.Year() > 2189 {
		return "", fault.New(fault.Invalid, "day-not-readable", "%q is not a day between 1970 and 2189.", text)
	}
	return Day(text), nil
}

// DayOf returns the day of an instant in a zone.
func DayOf(t time.Time, zone *time.Location) Day { return Day(t.In(zone).Format(time.DateOnly)) }

// Start returns the first instant of the day in a zone.
func (d Day) Start(zone *time.Location) time.Time {
	t, err := time.ParseInLocation(time.DateOnly, string(d), zone)
	if err != nil {
		return time.Time{}
	}
	return t
}

// End returns the first instant after the day in a zone.
func (d Day) End(zone *time.Location) time.Time { return d.Start(zone).AddDate(0, 0, 1) }

// AddDays is the day a number of calendar days later.
func (d Day) AddDays(days int) Day { return DayOf(d.Start(time.UTC).AddDate(0, 0, days), time.UTC) }

// IsZero reports whether no day is set.
func (d Day) IsZero() bool { return d == "" }
