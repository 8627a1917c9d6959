package api

import (
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

// floorView is nil where a task asks nothing of the floor.
func floorView(f domain.Floor) *Floor {
	if f.Same(domain.Floor{}) {
		return nil
	}
	out := &Floor{Interruptible: trueOrNil(f.Interruptible)}
	if f.LongestBreakHours != nil {
		out.LongestBreakHours = pointer(hoursText(*f.LongestBreakHours))
	}
	if len(f.Helpers) > 0 {
		out.Helpers = pointer(each(f.Helpers, func(h domain.Helper) Helper { return Helper{Skill: h.Skill, Count: h.Count} }))
	}
	return out
}

// floor reads what a task asks of the floor; left out, it asks nothing.
func (r *reading) floor(at string, b *Floor) domain.Floor {
	if b == nil {
		return domain.Floor{}
	}
	out := domain.Floor{Interruptible: orZero(b.Interruptible), LongestBreakHours: r.optionalDecimal(at+"/longest_break_hours", b.LongestBreakHours)}
	for _, h := range orZero(b.Helpers) {
		out.Helpers = append(out.Helpers, domain.Helper{Skill: h.Skill, Count: h.Count})
	}
	return out
}

func rosterView(r *domain.Roster) *Roster {
	if r == nil {
		return nil
	}
	out := &Roster{}
	if r.Week != nil {
		out.Week = pointer(weekView(r.Week))
	}
	if len(r.Absences) > 0 {
		out.Absences = pointer(each(r.Absences, absenceView))
	}
	if len(r.Extra) > 0 {
		out.Extra = pointer(each(r.Extra, openingView))
	}
	return out
}

func absenceView(a domain.Absence) Absence {
	out := Absence{From: Day(a.From), To: Day(a.To), Reason: AbsenceReason(a.Reason), Note: textOrNil(a.Note)}
	if a.Hours != nil {
		out.Hours = &Shift{From: a.Hours.From, To: a.Hours.To}
	}
	return out
}

func openingView(o calendar.Opening) Opening {
	return Opening{Day: o.Day, Intervals: shiftsView(o.Intervals), Reason: o.Reason}
}

// rosterFrom reads a roster. Left out, the one that stands stays; an empty one
// takes it away.
func rosterFrom(b *Roster) *domain.Roster {
	if b == nil {
		return nil
	}
	out := &domain.Roster{}
	if b.Week != nil {
		out.Week = weekFrom(*b.Week)
	}
	for _, a := range orZero(b.Absences) {
		row := domain.Absence{From: domain.Day(a.From), To: domain.Day(a.To), Reason: domain.AbsenceReason(a.Reason), Note: orZero(a.Note)}
		if a.Hours != nil {
			row.Hours = &calendar.Interval{From: a.Hours.From, To: a.Hours.To}
		}
		out.Absences = append(out.Absences, row)
	}
	for _, o := range orZero(b.Extra) {
		out.Extra = append(out.Extra, calendar.Opening{Day: o.Day, Intervals: intervalsFrom(o.Intervals), Reason: o.Reason})
	}
	return out
}

func stationView(s domain.Station) Station {
	return Station{Key: s.Key, Name: s.Name, Capacity: s.Capacity, Roster: rosterView(s.Roster)}
}

func stationFrom(s Station) domain.Station {
	return domain.Station{Key: s.Key, Name: s.Name, Capacity: s.Capacity, Roster: rosterFrom(s.Roster)}
}

func floorRulesView(f domain.FloorRules) *FloorRules {
	return &FloorRules{ReplanToleranceDays: f.ReplanToleranceDays, PlanSeconds: f.PlanSeconds}
}
