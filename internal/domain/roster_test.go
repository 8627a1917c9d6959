package domain

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
)

var eightToFour = []calendar.Interval{{From: "08:00", To: "12:00"}, {From: "12:30", To: "16:30"}}

func floorShop() Shop {
	week := map[string][]calendar.Interval{"monday": eightToFour, "tuesday": eightToFour, "wednesday": eightToFour, "thursday": eightToFour, "friday": eightToFour}
	return Shop{Settings: ShopSettings{TimeZone: "Europe/Berlin"},
		Calendar:  calendar.Spec{TimeZone: "Europe/Berlin", Week: week, Openings: []calendar.Opening{{Day: "2031-03-08", Intervals: []calendar.Interval{{From: "09:00", To: "12:00"}}}}},
		PriceBook: floorBook()}
}

func floorBook() PriceBook {
	book := PriceBook{}
	for _, skill := range []string{"welder", "fitter"} {
		book.Labour = append(book.Labour, LabourRate{Skill: skill, Name: skill})
	}
	return book
}

func awayOn(from, to Day, hours ...string) Absence {
	a := Absence{From: from, To: to, Reason: AwayOther}
	if len(hours) == 2 {
		a.Hours = &calendar.Interval{From: hours[0], To: hours[1]}
	}
	return a
}

// Worked by hand: Monday 2031-03-03 to Sunday 2031-03-09, the shop open 8 hours a
// weekday and three hours on that Saturday.
func TestARosterTakesAwayFromTheShopsHours(t *testing.T) {
	mornings := map[string][]calendar.Interval{"monday": {{From: "08:00", To: "12:00"}}, "wednesday": {{From: "08:00", To: "12:00"}}}
	for _, row := range []struct {
		name string
		r    *Roster
		want calendar.Minutes
	}{
		{"none", nil, 43 * 60},
		{"an empty one", &Roster{}, 43 * 60},
		{"two mornings", &Roster{Week: mornings}, 8 * 60},
		{"away for two days", &Roster{Absences: []Absence{awayOn("2031-03-04", "2031-03-05")}}, 27 * 60},
		{"an hour off, half of it the break", &Roster{Absences: []Absence{awayOn("2031-03-04", "2031-03-04", "11:30", "12:30")}}, 43*60 - 30},
		{"two hours off in one day", &Roster{Absences: []Absence{awayOn("2031-03-04", "2031-03-04", "09:00", "10:00"), awayOn("2031-03-04", "2031-03-04", "13:00", "14:00")}}, 41 * 60},
		{"an extra Tuesday", &Roster{Week: mornings, Extra: []calendar.Opening{{Day: "2031-03-04", Intervals: []calendar.Interval{{From: "10:00", To: "12:00"}}}}}, 10 * 60},
		{"an extra Sunday, when the shop is closed", &Roster{Week: mornings, Extra: []calendar.Opening{{Day: "2031-03-09", Intervals: eightToFour}}}, 8 * 60},
		{"an extra Saturday, on which the shop opens", &Roster{Week: mornings, Extra: []calendar.Opening{{Day: "2031-03-08", Intervals: eightToFour}}}, 11 * 60},
		{"ill on the extra day", &Roster{Week: mornings, Extra: []calendar.Opening{{Day: "2031-03-04", Intervals: eightToFour}}, Absences: []Absence{awayOn("2031-03-04", "2031-03-04")}}, 8 * 60},
		{"away for the whole of a day by hours", &Roster{Absences: []Absence{awayOn("2031-03-04", "2031-03-04", "00:00", "24:00")}}, 35 * 60},
	} {
		base, err := calendar.New(floorShop().Calendar)
		if err != nil {
			t.Fatal(err)
		}
		c, err := row.r.Over(base)
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		from := Day("2031-03-03").Start(base.Location())
		if got := c.Between(from, from.AddDate(0, 0, 7)); got != row.want {
			t.Errorf("%s: %d minutes, want %d", row.name, got, row.want)
		}
	}
}

// Hours off, against looking at every minute of the day.
func TestHoursOffLeaveEveryOtherMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hour := func(label string, least int) int { return rapid.IntRange(least, 23).Draw(t, label) }
		clock := func(h int) string { return time.Date(2031, 1, 1, h, 0, 0, 0, time.UTC).Format("15:04") }
		r := &Roster{Week: map[string][]calendar.Interval{"tuesday": eightToFour}}
		a, b := hour("a", 0), hour("b", 1)
		if a >= b {
			a, b = b-1, a+1
		}
		if b > 23 {
			b = 23
		}
		r.Absences = []Absence{awayOn("2031-03-04", "2031-03-04", clock(a), clock(b))}
		want := 0
		for m := range 24 * 60 {
			at := time.Date(2031, 3, 4, 0, m, 0, 0, time.UTC).Format("15:04")
			in := slices.ContainsFunc(eightToFour, func(iv calendar.Interval) bool { return iv.From <= at && at < iv.To })
			if in && (at < clock(a) || at >= clock(b)) {
				want++
			}
		}
		c, err := calendar.New(r.Spec("UTC"))
		if err != nil {
			t.Fatal(err)
		}
		from := Day("2031-03-04").Start(time.UTC)
		if got := c.Between(from, from.AddDate(0, 0, 1)); got != calendar.Minutes(want) {
			t.Fatalf("away from %s to %s: %d minutes, want %d", clock(a), clock(b), got, want)
		}
	})
}

func TestARosterIsRefusedByRowAndReason(t *testing.T) {
	night := map[string][]calendar.Interval{"monday": {{From: "20:00", To: "23:00"}}}
	for _, row := range []struct {
		name, pointer, says string
		r                   Roster
	}{
		{"overlapping days", "/roster/absences/1", "row 1", Roster{Absences: []Absence{awayOn("2031-03-03", "2031-03-05"), awayOn("2031-03-05", "2031-03-06")}}},
		{"overlapping hours", "/roster/absences/1", "overlaps", Roster{Absences: []Absence{awayOn("2031-03-03", "2031-03-03", "08:00", "10:00"), awayOn("2031-03-03", "2031-03-03", "09:00", "11:00")}}},
		{"the last day first", "/roster/absences/0/to", "before the first", Roster{Absences: []Absence{awayOn("2031-03-05", "2031-03-03")}}},
		{"no such day", "/roster/absences/0/from", "2031-02-30", Roster{Absences: []Absence{awayOn("2031-02-30", "2031-03-03")}}},
		{"hours over two days", "/roster/absences/0/hours", "one day", Roster{Absences: []Absence{awayOn("2031-03-03", "2031-03-04", "08:00", "10:00")}}},
		{"hours backward", "/roster/absences/0/hours", "before the second", Roster{Absences: []Absence{awayOn("2031-03-03", "2031-03-03", "10:00", "08:00")}}},
		{"a person is not under repair", "/roster/absences/0/reason", "holiday", Roster{Absences: []Absence{{From: "2031-03-03", To: "2031-03-03", Reason: AwayUpkeep}}}},
		{"only when the shop is closed", "/roster", "more than a year", Roster{Week: night}},
		{"no day at all", "/roster/week", "never open", Roster{Week: map[string][]calendar.Interval{}}},
		{"away for two years", "/roster", "more than a year", Roster{Absences: []Absence{awayOn("2031-01-01", "2032-12-31")}}},
		{"an extra day without hours", "/roster/extra/0/intervals", "interval", Roster{Extra: []calendar.Opening{{Day: "2031-03-08"}}}},
	} {
		err := Person{Role: Technician, Roster: &row.r}.ValidateRoster(floorShop())
		e := fault.As(err)
		if e == nil || !slices.ContainsFunc(e.Fields, func(f fault.Field) bool { return f.Pointer == row.pointer && strings.Contains(f.Detail, row.says) }) {
			t.Errorf("%s: got %+v, want %q at %s", row.name, e, row.says, row.pointer)
		}
	}
	if err := (Person{Role: Client, Roster: &Roster{Week: night}}).ValidateRoster(floorShop()); err == nil {
		t.Error("a client has hours")
	}
}

func TestStationsAndRulesOfTheFloorAreRefusedByRow(t *testing.T) {
	shop := floorShop()
	s := shop.Settings
	s.Stations = []Station{{Key: "lift", Name: "Lift", Capacity: 1}, {Key: "booth", Name: "Booth", Roster: &Roster{Absences: []Absence{{From: "2031-03-03", To: "2031-03-03", Reason: AwayIll}}}}}
	s.Floor = &FloorRules{ReplanToleranceDays: 31, PlanSeconds: 0}
	all := append(slices.Clone(fault.As(s.Validate()).Fields), fault.As(s.ValidateStations(shop.Calendar)).Fields...)
	for _, pointer := range []string{"/stations/1/capacity", "/stations/1/roster/absences/0/reason", "/floor/replan_tolerance_days", "/floor/plan_seconds"} {
		if !slices.ContainsFunc(all, func(f fault.Field) bool { return f.Pointer == pointer }) {
			t.Errorf("nothing is said at %s; got %+v", pointer, all)
		}
	}
}

func TestTheFloorOfATask(t *testing.T) {
	break0, long := decimal.Zero, decimal.NewFromInt(241)
	hours := ThreePoint{Low: decimal.NewFromInt(1), Likely: decimal.NewFromInt(1), High: decimal.NewFromInt(1)}
	work := Task{Kind: Work, Skill: "welder", Crew: 1, Hours: hours}
	for _, row := range []struct {
		name, pointer string
		floor         Floor
	}{
		{"one opening", "", Floor{LongestBreakHours: &break0}},
		{"a break of over ten days", "/floor/longest_break_hours", Floor{LongestBreakHours: &long}},
		{"two to lift", "", Floor{Helpers: []Helper{{"fitter", 2}}}},
		{"nobody", "/floor/helpers/0/count", Floor{Helpers: []Helper{{"fitter", 0}}}},
		{"a skill that is not sold", "/floor/helpers/0/skill", Floor{Helpers: []Helper{{"painter", 1}}}},
		{"the task's own skill again", "/floor/helpers/0/skill", Floor{Helpers: []Helper{{"welder", 1}}}},
		{"a crowd", "/floor/helpers", Floor{Helpers: []Helper{{"fitter", 20}}}},
	} {
		var c fault.Collector
		task := work
		task.Floor = row.floor
		task.validateFloor(&c, floorShop())
		err := fault.As(c.Err("x"))
		if row.pointer == "" && err != nil || row.pointer != "" && (err == nil || err.Fields[0].Pointer != row.pointer) {
			t.Errorf("%s: got %+v, want %q", row.name, err, row.pointer)
		}
	}
	work.Floor.Helpers = []Helper{{"fitter", 2}}
	if work.People() != 3 || len(work.Needs()) != 2 || work.Needs()[0] != (Helper{"welder", 1}) {
		t.Errorf("one welder and two fitters are %d people: %v", work.People(), work.Needs())
	}
	cure := Task{Kind: Cure, Station: "booth"}
	if !cure.KeepsStation() || (Task{Kind: Cure}).KeepsStation() || cure.Needs() != nil {
		t.Error("a cure with a station keeps it, one without frees it, and nobody is needed")
	}
}

// On paper: 3 to 9 March off; the 5th and 6th were off already, the 8th in the
// morning. Two stretches of our own remain, and the morning is part of the second.
func TestDaysAreTakenOffARoster(t *testing.T) {
	before := &Roster{Absences: []Absence{awayOn("2031-03-05", "2031-03-06"), awayOn("2031-03-08", "2031-03-08", "08:00", "12:00"), awayOn("2031-03-10", "2031-03-10")}}
	after := before.Without("2031-03-03", "2031-03-09", "closed")
	own := func(from, to Day) Absence {
		return Absence{From: from, To: to, Reason: AwayOther, Note: "closed"}
	}
	want := []Absence{before.Absences[0], before.Absences[2], own("2031-03-03", "2031-03-04"), own("2031-03-07", "2031-03-09")}
	if !slices.Equal(after.Absences, want) {
		t.Errorf("got %+v, want %+v", after.Absences, want)
	}
	if len(before.Absences) != 3 {
		t.Errorf("the roster itself now has %d absences, want its 3", len(before.Absences))
	}
	if got := (*Roster)(nil).Without("2031-03-03", "2031-03-03", "closed"); !slices.Equal(got.Absences, []Absence{own("2031-03-03", "2031-03-03")}) {
		t.Errorf("off no roster: got %+v", got.Absences)
	}
	if got := after.Without("2031-03-03", "2031-03-09", "closed"); !slices.Equal(got.Absences, want) {
		t.Errorf("once more: got %+v, want no change", got.Absences)
	}
}
