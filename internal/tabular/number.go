package tabular

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// significant is the number of digits that a person can type into or see in a
// spreadsheet cell, and that any decimal keeps on its way through a double.
const significant = 15

// shortest reads a stored number and writes it as a plain decimal: the shortest
// that reads back as the same double, and where that needs more than 15 digits
// the nearest with 15. So 0.29999999999999999 is 0.3, and 0.30000000000000004,
// which a sum of tenths leaves behind, as well.
func shortest(text string) (stored float64, plain string, ok bool) {
	if strings.Trim(text, "0123456789.+-eE") != "" { // no Inf, NaN, hexadecimals, underscores
		return 0, "", false
	}
	stored, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(stored, 0) {
		return 0, "", false
	}
	rounded := stored
	if digits := strconv.FormatFloat(math.Abs(stored), 'e', -1, 64); strings.IndexByte(digits, 'e') > significant+1 {
		rounded, _ = strconv.ParseFloat(strconv.FormatFloat(stored, 'e', significant-1, 64), 64) // a number just written
	}
	if rounded == 0 {
		return stored, "0", true // never -0
	}
	return stored, strconv.FormatFloat(rounded, 'f', -1, 64), true
}

// The days from which serials count, ECMA-376 18.17.4.1. The 1900 system holds
// a 29 February 1900 that never was, so from day 61 on it counts from a day earlier.
var (
	before1900 = time.Date(1899, 12, 31, 0, 0, 0, 0, time.UTC)
	first1904  = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
)

// lastSerial is 31 December 9999 in the 1900 system.
const lastSerial = 2_958_465

// moment turns a serial into a day, a day with a time, or a time alone. The day
// that never was comes out as 1900-02-29, which no calendar accepts.
func moment(serial float64, years1904 bool) (string, bool) {
	if serial < 0 || serial >= lastSerial+1 {
		return "", false
	}
	days := int(serial)
	seconds := int(math.Round((serial - float64(days)) * 86_400))
	if seconds == 86_400 {
		days, seconds = days+1, 0
	}
	clock := ""
	if seconds > 0 {
		clock = "T" + time.Unix(int64(seconds), 0).UTC().Format(time.TimeOnly)
	}
	switch {
	case years1904:
		day := first1904.AddDate(0, 0, days)
		return day.Format(time.DateOnly) + clock, day.Year() <= 9999
	case days == 0:
		return clock, clock != ""
	case days == 60:
		return "1900-02-29" + clock, true
	case days > 60:
		days--
	}
	return before1900.AddDate(0, 0, days).Format(time.DateOnly) + clock, true
}

// serialOf returns the serial of a day in the 1900 system; false for days before
// March 1900, on which programs do not agree, and after the year 9999.
func serialOf(day string) (int, bool) {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil || t.Year() > 9999 {
		return 0, false
	}
	serial := int((t.Unix()-before1900.Unix())/86_400) + 1 // a Duration holds only 292 years
	return serial, serial > 60
}
