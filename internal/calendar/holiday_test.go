package calendar

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// The lists are complete for their year. They were put down from memory of what
// the named body publishes and checked by weekday and by the published date of
// Easter (5 April 2026, 28 March 2027); none is this program's output.
var publishedHolidays = []struct {
	region, year, source string
	days                 string
}{
	{"US", "2026", "federal holidays, 5 U.S.C. 6103, as the Office of Personnel Management lists them, and July 4 itself",
		"01-01 01-19 02-16 05-25 06-19 07-03 07-04 09-07 10-12 11-11 11-26 12-25"},
	{"US", "2027", "the same; January 1, 2028 is a Saturday and observed on December 31",
		"01-01 01-18 02-15 05-31 06-18 06-19 07-04 07-05 09-06 10-11 11-11 11-25 12-24 12-25 12-31"},
	{"GB", "2027", "bank holidays of England and Wales with substitute days, and December 25 and 26 themselves",
		"01-01 03-26 03-29 05-03 05-31 08-30 12-25 12-26 12-27 12-28"},
	{"DE", "2026", "days common to the laws of all Länder",
		"01-01 04-03 04-06 05-01 05-14 05-25 10-03 12-25 12-26"},
	{"DE-BY", "2026", "Bavarian Feiertagsgesetz, without Assumption, which is a matter of the parish",
		"01-01 01-06 04-03 04-06 05-01 05-14 05-25 06-04 10-03 11-01 12-25 12-26"},
	{"PL", "2026", "act of 18 January 1951 as amended in 2024, without Easter Sunday and Pentecost, which are Sundays",
		"01-01 01-06 04-06 05-01 05-03 06-04 08-15 11-01 11-11 12-24 12-25 12-26"},
	{"PL", "2024", "the same before the amendment took effect",
		"01-01 01-06 04-01 05-01 05-03 05-30 08-15 11-01 11-11 12-25 12-26"},
	{"AT", "2026", "Arbeitsruhegesetz § 7",
		"01-01 01-06 04-06 05-01 05-14 05-25 06-04 08-15 10-26 11-01 12-08 12-25 12-26"},
	{"FR", "2027", "Code du travail L3133-1, metropolitan France",
		"01-01 03-29 05-01 05-06 05-08 05-17 07-14 08-15 11-01 11-11 12-25"},
	{"SE", "2026", "Lag (1989:253) om allmänna helgdagar, without the Sundays; the eves are no public holidays",
		"01-01 01-06 04-03 04-06 05-01 05-14 06-06 06-20 10-31 12-25 12-26"},
	{"IE", "2026", "Organisation of Working Time Act 1997, schedule 2, with the day added in 2023",
		"01-01 02-02 03-17 04-06 05-04 06-01 08-03 10-26 12-25 12-26"},
}

func TestHolidaysAsPublished(t *testing.T) {
	for _, row := range publishedHolidays {
		t.Run(row.region+" "+row.year, func(t *testing.T) {
			c := mustNew(t, Spec{TimeZone: "UTC", Week: dayShifts, Holidays: row.region})
			first, _ := time.Parse(time.DateOnly, row.year+"-01-01")
			var got []string
			for _, h := range c.Holidays(first, first.AddDate(1, 0, -1)) {
				got = append(got, strings.TrimPrefix(h.Day, row.year+"-"))
				if h.Name == "" {
					t.Errorf("%s has no name", h.Day)
				}
			}
			if want := strings.Fields(row.days); !slices.Equal(got, want) {
				t.Errorf("got  %v\nwant %v\n(%s)", got, want, row.source)
			}
		})
	}
}

// A list that came empty or endless out of the library would go unnoticed in a
// region that has no row above.
func TestEveryRegionHasItsHolidays(t *testing.T) {
	if n := len(Regions()); n < 12 || !slices.IsSorted(Regions()) {
		t.Fatalf("%d regions, want a dozen at least, sorted: %v", n, Regions())
	}
	for _, region := range Regions() {
		c := mustNew(t, Spec{TimeZone: "UTC", Week: dayShifts, Holidays: region})
		for year := 2024; year < 2040; year++ {
			first := time.Date(year, 1, 1, 12, 0, 0, 0, time.UTC)
			list := c.Holidays(first, first.AddDate(1, 0, -1))
			if len(list) < 6 || len(list) > 22 || list[0].Day != first.Format(time.DateOnly) {
				t.Errorf("%s %d: %d days, the first %v; want New Year's Day and 6 to 22 days", region, year, len(list), list[0])
			}
		}
	}
}

func TestClosedDaysSayWhy(t *testing.T) {
	c := mustNew(t, Spec{TimeZone: "Europe/Berlin", Week: dayShifts, Holidays: "DE",
		Closures: []Closure{{"2026-12-23", "2026-12-25", "winter break"}, {"2026-12-29", "2026-12-29", ""}},
		Openings: []Opening{{"2026-12-24", []Interval{{"09:00", "12:00"}}, ""}}})
	got := c.ClosedDays(day("2026-12-21"), day("2027-01-03"))
	// The 24th opens; the 26th and 27th are a weekend; the 25th is in the break
	// and a holiday, and the shop's own reason comes first.
	want := []ClosedDay{{"2026-12-23", "winter break"}, {"2026-12-25", "winter break"}, {"2026-12-29", "closed"}, {"2027-01-01", "Neujahrstag"}}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
