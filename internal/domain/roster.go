package domain

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
)

// Roster is when somebody works or a station can be used, laid over the shop's
// hours: never while the shop is closed. Who shall work on a day when the shop
// is closed needs an extra opening of the shop on that day.
type Roster struct {
	// Week is the own weekly hours; nil: the shop's. A day without a key is off.
	Week     map[string][]calendar.Interval `json:"week,omitempty"`
	Absences []Absence                      `json:"absences,omitempty"`
	// Extra is further hours on single days, in place of the week's.
	Extra []calendar.Opening `json:"extra,omitempty"`
}

// AbsenceReason says why somebody or a station is not there.
type AbsenceReason string

// The reasons. Upkeep is a station's; ill and training are a person's.
const (
	AwayHoliday  AbsenceReason = "holiday"
	AwayIll      AbsenceReason = "ill"
	AwayTraining AbsenceReason = "training"
	AwayUpkeep   AbsenceReason = "upkeep"
	AwayOther    AbsenceReason = "other"
)

// Absence is from day to day, both included; with hours it is those of one day.
type Absence struct {
	From   Day                `json:"from"`
	To     Day                `json:"to"`
	Hours  *calendar.Interval `json:"hours,omitempty"`
	Reason AbsenceReason      `json:"reason"`
	Note   string             `json:"note,omitempty"`
}

func (a Absence) meets(o Absence) bool {
	if a.To < o.From || o.To < a.From {
		return false
	}
	return a.Hours == nil || o.Hours == nil || a.Hours.From < o.Hours.To && o.Hours.From < a.Hours.To
}

// Bounds of a roster.
const (
	maxAbsences = 200
	maxExtra    = 200
)

// roundTheClock is the week of whom the shop's hours hold for: laid over them,
// it takes nothing away.
func roundTheClock() map[string][]calendar.Interval {
	out := map[string][]calendar.Interval{}
	for _, d := range []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"} {
		out[d] = []calendar.Interval{{From: "00:00", To: "24:00"}}
	}
	return out
}

// Empty reports whether the shop's hours hold as they are.
func (r *Roster) Empty() bool {
	return r == nil || r.Week == nil && len(r.Absences) == 0 && len(r.Extra) == 0
}

// Spec states the roster as a calendar in the shop's time zone, to be laid over
// the shop's with calendar.Lay. An absence beats extra hours.
func (r *Roster) Spec(timeZone string) calendar.Spec {
	spec := calendar.Spec{TimeZone: timeZone, Week: roundTheClock()}
	if r == nil {
		return spec
	}
	if r.Week != nil {
		spec.Week = r.Week
	}
	single := map[Day][]calendar.Interval{} // days with hours of their own
	for _, x := range r.Extra {
		single[Day(x.Day)] = x.Intervals
	}
	for _, a := range r.Absences {
		if a.Hours == nil {
			spec.Closures = append(spec.Closures, calendar.Closure{From: string(a.From), To: string(a.To), Reason: string(a.Reason)})
			continue
		}
		list, extra := single[a.From]
		if !extra {
			list = spec.Week[weekdayOf(a.From)]
		}
		single[a.From] = without(list, *a.Hours)
	}
	for _, day := range slices.Sorted(maps.Keys(single)) {
		switch {
		case r.awayAll(day):
		case len(single[day]) == 0:
			spec.Closures = append(spec.Closures, calendar.Closure{From: string(day), To: string(day), Reason: "away"})
		default:
			spec.Openings = append(spec.Openings, calendar.Opening{Day: string(day), Intervals: single[day]})
		}
	}
	return spec
}

// Without is the roster with the days from one to another taken off as a whole; r
// stays as it is. Days that were off stay off for their own reason, and hours off
// on one of these days are part of it now.
func (r *Roster) Without(from, to Day, note string) *Roster {
	out := &Roster{}
	if r != nil {
		*out = *r
	}
	out.Absences = slices.DeleteFunc(slices.Clone(out.Absences), func(a Absence) bool {
		return a.Hours != nil && from <= a.From && a.From <= to
	})
	for day := from; day <= to; day = day.AddDays(1) {
		if out.awayAll(day) {
			continue
		}
		last := len(out.Absences) - 1
		if last >= 0 && out.Absences[last].Note == note && out.Absences[last].To.AddDays(1) == day && out.Absences[last].From >= from {
			out.Absences[last].To = day
			continue
		}
		out.Absences = append(out.Absences, Absence{From: day, To: day, Reason: AwayOther, Note: note})
	}
	return out
}

func (r *Roster) awayAll(day Day) bool {
	return slices.ContainsFunc(r.Absences, func(a Absence) bool { return a.Hours == nil && a.From <= day && day <= a.To })
}

// without takes the hours out of the intervals of a day.
func without(list []calendar.Interval, out calendar.Interval) []calendar.Interval {
	left := []calendar.Interval{}
	for _, iv := range list {
		if iv.From < out.From {
			left = append(left, calendar.Interval{From: iv.From, To: min(iv.To, out.From)})
		}
		if iv.To > out.To {
			left = append(left, calendar.Interval{From: max(iv.From, out.To), To: iv.To})
		}
	}
	return left
}

func weekdayOf(day Day) string { return strings.ToLower(day.Start(time.UTC).Weekday().String()) }

// wallTimes reports whether an interval is two times of one day, in order.
func wallTimes(iv calendar.Interval) bool {
	_, err := time.Parse("15:04", iv.From)
	_, errTo := time.Parse("15:04", iv.To)
	return err == nil && (errTo == nil || iv.To == "24:00") && len(iv.From) == 5 && len(iv.To) == 5 && iv.From < iv.To
}

// Over returns the calendar of whom the roster is for: open only where the
// shop's and the roster's both are.
func (r *Roster) Over(shop *calendar.Calendar) (*calendar.Calendar, error) {
	if r.Empty() {
		return shop, nil
	}
	own, err := calendar.New(r.Spec(shop.Location().String()))
	if err != nil {
		return nil, err
	}
	return calendar.Lay(own, shop)
}

// faults names what is wrong with a roster at a pointer, whose absences may have
// the reasons given.
func (r *Roster) faults(c *fault.Collector, at string, shop Shop, reasons []AbsenceReason) {
	if r.Empty() {
		return
	}
	if len(r.Absences) > maxAbsences || len(r.Extra) > maxExtra {
		c.Add(at, "There are at most %d absences and %d days of extra hours.", maxAbsences, maxExtra)
		return
	}
	sound := r.absenceFaults(c, at, reasons)
	// The week and the extra hours are read by the calendar, which names every
	// fault of theirs; of the absences only what they leave is asked of it.
	if _, err := calendar.NewAt(at, calendar.Spec{TimeZone: shop.Settings.TimeZone, Week: r.Spec("").Week, Openings: r.Extra}); err != nil {
		for _, f := range fault.As(err).Fields {
			c.Add(renamed(f.Pointer, at), "%s", f.Detail)
		}
		return
	}
	if !sound {
		return
	}
	base, err := calendar.New(shop.Calendar)
	if err == nil {
		_, err = r.Over(base)
	}
	if err != nil {
		c.Add(at, "With these hours and absences there would be no working time for more than a year; look at the week and at how long the absences are.")
	}
}

// renamed turns the calendar's pointer into a roster's.
func renamed(pointer, at string) string {
	const theirs = "/openings"
	if rest, ok := strings.CutPrefix(pointer, at+theirs); ok {
		return at + "/extra" + rest
	}
	return pointer
}

func (r *Roster) absenceFaults(c *fault.Collector, at string, reasons []AbsenceReason) bool {
	sound := true
	add := func(pointer, detail string, args ...any) {
		sound = false
		c.Add(pointer, detail, args...)
	}
	for i, a := range r.Absences {
		here := fmt.Sprintf("%s/absences/%d", at, i)
		_, errFrom := ParseDay(string(a.From))
		_, errTo := ParseDay(string(a.To))
		switch {
		case errFrom != nil:
			add(here+"/from", "%s", fault.As(errFrom).Detail)
		case errTo != nil:
			add(here+"/to", "%s", fault.As(errTo).Detail)
		case a.To < a.From:
			add(here+"/to", "The last day is before the first.")
		case a.Hours != nil && a.From != a.To:
			add(here+"/hours", "Hours are of one day; for several days leave them out.")
		}
		if a.Hours != nil && !wallTimes(*a.Hours) {
			add(here+"/hours", "Give the hours as two times of the day, the first before the second.")
		}
		if !slices.Contains(reasons, a.Reason) {
			add(here+"/reason", "Say why: one of %v.", reasons)
		}
		for j, o := range r.Absences[:i] {
			if a.meets(o) {
				add(here, "This overlaps the absence from %s to %s in row %d.", o.From, o.To, j+1)
				break
			}
		}
	}
	return sound
}

// PersonReasons and StationReasons are why a person and a station are not there.
func PersonReasons() []AbsenceReason {
	return []AbsenceReason{AwayHoliday, AwayIll, AwayTraining, AwayOther}
}

// StationReasons are why a station cannot be used.
func StationReasons() []AbsenceReason {
	return []AbsenceReason{AwayUpkeep, AwayHoliday, AwayOther}
}
