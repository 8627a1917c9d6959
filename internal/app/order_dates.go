package app

import (
	"fmt"
	"strings"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

// daysBetween is movedDays on the shop's calendar.
func (b *orderBase) daysBetween(from, to time.Time) int { return movedDays(b.cal, b.day, from, to) }

// workingDayAfter is the n-th working day after a day; with n = 0 or less the
// day itself.
func workingDayAfter(cal *calendar.Calendar, zone *time.Location, d domain.Day, n int) domain.Day {
	for range n {
		d = domain.DayOf(cal.NextOpen(d.End(zone)), zone)
	}
	return d
}

// dates is how finish and promise move. The promise never moves forward: work
// that is left out gives the shop room and not the client an earlier promise.
func (b *orderBase) dates(before, after Plan, why *domain.Contradiction, a applied) domain.DateEffect {
	zone := b.shop.Zone()
	out := domain.DateEffect{FinishBefore: domain.DayOf(before.Finish, zone), PromiseBefore: b.job.Promise}
	if why != nil {
		out.Why = "No date can be given: " + why.Detail
		return out
	}
	out.FinishAfter, out.Days = domain.DayOf(after.Finish, zone), b.daysBetween(before.Finish, after.Finish)
	if !b.job.Promise.IsZero() {
		out.PromiseAfter = workingDayAfter(b.cal, zone, b.job.Promise, out.Days)
	}
	out.Why = b.whyDates(out.Days, after, a)
	return out
}

// whyDates says in a sentence what moves the finish, or why nothing does.
func (b *orderBase) whyDates(days int, after Plan, a applied) string {
	changed := map[domain.ID]domain.Task{}
	for _, t := range a.tasks {
		changed[t.ID] = t
	}
	for _, t := range a.changed {
		changed[t.ID] = t
	}
	var driving []string
	for _, id := range after.DrivingChain {
		if t, ok := changed[id]; ok && len(driving) < 3 {
			driving = append(driving, t.Name)
		}
	}
	switch {
	case days > 0 && len(driving) > 0:
		return fmt.Sprintf("The finish moves by %s: it now hangs on %s.", plural(days, "working day"), strings.Join(driving, ", "))
	case days > 0:
		return fmt.Sprintf("The finish moves by %s.", plural(days, "working day"))
	case days < 0:
		return fmt.Sprintf("The finish comes %s earlier.", plural(-days, "working day"))
	case len(changed) > 0 || len(a.removedTasks) > 0:
		return "The finish does not move: other work takes longer."
	}
	return "The finish does not move: no work is added."
}

// phaseMoves lists the phases whose end moves, where two lookups say when a task
// ends before and after.
func (b *orderBase) phaseMoves(was, is func(domain.Task) (time.Time, bool), e domain.Estimate) []domain.PhaseMove {
	ends := func(at func(domain.Task) (time.Time, bool), tasks []domain.Task) map[domain.ID]time.Time {
		out := map[domain.ID]time.Time{}
		for _, t := range tasks {
			if end, ok := at(t); ok {
				out[t.PhaseID] = maxTime(out[t.PhaseID], end)
			}
		}
		return out
	}
	before, after := ends(was, b.e.Tasks), ends(is, e.Tasks)
	zone := b.shop.Zone()
	out := []domain.PhaseMove{}
	for _, p := range b.e.Phases {
		from, had := before[p.ID]
		to, has := after[p.ID]
		move := domain.PhaseMove{Phase: p.Name}
		if had {
			move.Before = domain.DayOf(from, zone)
		}
		if has {
			move.After = domain.DayOf(to, zone)
		}
		if had && has {
			move.Days = b.daysBetween(from, to)
		}
		if had != has || !from.Equal(to) {
			out = append(out, move)
		}
	}
	return out
}

// endsOf looks up when a task ends in a schedule of the car alone.
func endsOf(p Plan) func(domain.Task) (time.Time, bool) {
	return func(t domain.Task) (time.Time, bool) { times, ok := p.byTask[t.ID]; return times.EarlyFinish, ok }
}

func joinArrows(names []string) string {
	if len(names) > 0 {
		names = append(names[:len(names):len(names)], names[0])
	}
	return strings.Join(names, " → ")
}

// rebased is the baseline once an order is agreed to. A task that stays moves
// with its plan by the working minutes that its start and finish moved, so that
// whatever it was late or early before still shows; what an order adds is planned
// as it is scheduled now; what it leaves out has no baseline any more.
// Source of the idea: AACE International RP 52R-06, prospective time impact
// analysis (from memory).
func (b *orderBase) rebased(old []domain.Baseline, out outcome) []domain.Baseline {
	gone := map[domain.ID]bool{}
	for _, id := range out.applied.removedTasks {
		gone[id] = true
	}
	var rows []domain.Baseline
	for _, row := range old {
		if gone[row.TaskID] {
			continue
		}
		rows = append(rows, b.moved(row, out))
	}
	for _, t := range out.applied.tasks {
		times := out.after.Of(t.ID)
		rows = append(rows, domain.Baseline{JobID: b.job.ID, TaskID: t.ID, Hours: t.Hours.Mean(), Start: times.EarlyStart.UTC(), Finish: times.EarlyFinish.UTC()})
	}
	for i := range rows {
		for _, t := range out.applied.changed {
			if t.ID == rows[i].TaskID {
				rows[i].Hours = t.Hours.Mean()
			}
		}
	}
	return rows
}

func (b *orderBase) moved(row domain.Baseline, out outcome) domain.Baseline {
	was, is := b.before.Of(row.TaskID), out.after.Of(row.TaskID)
	t, known := b.e.Task(row.TaskID)
	if !known || was.ID == "" || is.ID == "" {
		return row
	}
	length := row.Finish.Sub(row.Start)
	start, finish := b.cal.Between(was.EarlyStart, is.EarlyStart), b.cal.Between(was.EarlyFinish, is.EarlyFinish)
	if start != 0 {
		row.Start = b.cal.Add(row.Start, start)
		if t.Kind != domain.Cure { // people begin when the shop opens
			row.Start = b.cal.NextOpen(row.Start)
		}
	}
	switch {
	case t.Kind == domain.Cure:
		row.Finish = row.Start.Add(length) // a cure takes as long as it takes
	case finish != 0:
		row.Finish = b.cal.Add(row.Finish, finish)
	}
	if row.Finish.Before(row.Start) {
		row.Finish = row.Start
	}
	return row
}
