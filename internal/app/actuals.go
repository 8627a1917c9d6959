package app

import (
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/network"
)

// actual is what happened to a task so far.
type actual struct {
	start, finish *time.Time
	left          *calendar.Minutes // of a task under way, in its own kind of time
}

// tracker works out what happened from hours, releases and the clock. Hours
// say when work began and ended; a release ends a hold and brings sublet work
// back; a cure begins when what it follows has ended and runs by itself.
type tracker struct {
	cal      *calendar.Calendar
	day      calendar.Minutes // a standard working day
	estimate domain.Estimate
	progress map[domain.ID]domain.TaskProgress
	now      time.Time
	found    map[domain.ID]actual
	into     map[domain.ID][]domain.Link // finish-start links by successor
	outOf    map[domain.ID][]domain.Link // by predecessor
}

func track(cal *calendar.Calendar, day calendar.Minutes, e domain.Estimate, progress map[domain.ID]domain.TaskProgress, now time.Time) map[domain.ID]actual {
	t := &tracker{cal: cal, day: day, estimate: e, progress: progress, now: now, found: map[domain.ID]actual{},
		into: map[domain.ID][]domain.Link{}, outOf: map[domain.ID][]domain.Link{}}
	for _, l := range e.Links {
		if l.Type == network.FS {
			t.into[l.ToID] = append(t.into[l.ToID], l)
			t.outOf[l.FromID] = append(t.outOf[l.FromID], l)
		}
	}
	for _, task := range e.Tasks {
		t.fromHours(task)
	}
	for range e.Tasks { // a chain of cures settles one a pass
		if !t.settleWaiting() {
			break
		}
	}
	for _, task := range e.Tasks {
		t.startReturned(task)
	}
	return t.found
}

// startReturned puts the start of sublet work that came back where what it
// follows ended: the release only says when it was over.
func (t *tracker) startReturned(task domain.Task) {
	a, known := t.found[task.ID]
	if task.Kind != domain.Sublet || !known || a.finish == nil || task.ReleasedAt == nil {
		return
	}
	if left, ok := t.begun(task.ID); ok && left.Before(*a.finish) {
		a.start = &left
		t.found[task.ID] = a
	}
}

func (t *tracker) upToNow(at time.Time) *time.Time {
	if at.After(t.now) {
		at = t.now
	}
	return &at
}

// fromHours reads what people logged and released.
func (t *tracker) fromHours(task domain.Task) {
	p := t.progress[task.ID]
	var a actual
	if p.Started != nil {
		a.start = t.upToNow(*p.Started)
	}
	switch {
	case task.Kind == domain.Work && p.Finished != nil:
		a.finish = t.upToNow(*p.Finished)
	case (task.Kind == domain.Hold || task.Kind == domain.Sublet) && task.ReleasedAt != nil:
		a.finish = t.upToNow(*task.ReleasedAt)
	}
	if a.finish != nil && (a.start == nil || a.start.After(*a.finish)) {
		a.start = a.finish
	}
	if a.start != nil && a.finish == nil {
		left := crewMinutes(hoursLeft(task, p), task.People())
		a.left = &left
	}
	if a.start != nil {
		t.found[task.ID] = a
	}
}

// settleWaiting starts and ends cures, starts sublet work and ends what needs no
// work; it reports whether anything became known.
func (t *tracker) settleWaiting() bool {
	news := false
	for _, task := range t.estimate.Tasks {
		if _, known := t.found[task.ID]; known || task.Kind != domain.Cure && task.Kind != domain.Sublet && !nothingToDo(task) {
			continue
		}
		start, ok := t.begun(task.ID)
		if !ok {
			continue
		}
		if nothingToDo(task) {
			t.found[task.ID] = actual{start: &start, finish: &start}
		} else {
			t.found[task.ID] = t.waitingSince(task, start)
		}
		news = true
	}
	return news
}

// nothingToDo reports whether work came out of the takeoff with no hours: the steel
// asks for none of it, so nobody has to say that it is done.
func nothingToDo(t domain.Task) bool {
	return t.Kind == domain.Work && t.Follows && !t.Hours.High.IsPositive()
}

// begun returns when everything that the task follows had ended, lags included.
func (t *tracker) begun(id domain.ID) (time.Time, bool) {
	var start time.Time
	for _, l := range t.into[id] {
		before, ok := t.found[l.FromID]
		if !ok || before.finish == nil {
			return start, false
		}
		at := t.after(*before.finish, l)
		if at.After(start) {
			start = at
		}
	}
	return start, len(t.into[id]) > 0 && !start.After(t.now)
}

func (t *tracker) after(finish time.Time, l domain.Link) time.Time {
	lag := minutesOf(l.LagHours)
	if l.LagKind == calendar.Elapsed {
		return finish.Add(time.Duration(lag) * time.Minute)
	}
	return t.cal.Add(finish, lag)
}

func (t *tracker) waitingSince(task domain.Task, start time.Time) actual {
	var due time.Time
	if task.Kind == domain.Cure {
		due = start.Add(time.Duration(minutesOf(task.ElapsedHours)) * time.Minute)
	} else {
		due = t.cal.Add(start, calendar.Minutes(task.LeadDays)*t.day)
	}
	a := actual{start: &start}
	if next, ok := t.firstAfter(task.ID); ok {
		due = minTime(due, maxTime(next, start))
		a.finish = &due
		return a
	}
	if task.Kind == domain.Cure && !due.After(t.now) {
		a.finish = &due
		return a
	}
	left := calendar.Minutes(0)
	if due.After(t.now) {
		if task.Kind == domain.Cure {
			left = calendar.Minutes(due.Sub(t.now) / time.Minute)
		} else {
			left = t.cal.Between(t.now, due)
		}
	}
	a.left = &left
	return a
}

// firstAfter returns when the first task that follows was begun: then the
// waiting was over.
func (t *tracker) firstAfter(id domain.ID) (time.Time, bool) {
	var first time.Time
	found := false
	for _, l := range t.outOf[id] {
		if next, ok := t.found[l.ToID]; ok && (!found || next.start.Before(first)) {
			first, found = *next.start, true
		}
	}
	return first, found
}

func minTime(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func maxTime(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

var sixty = decimal.NewFromInt(60)

// minutesOf turns hours into whole minutes, half away from zero.
func minutesOf(hours decimal.Decimal) calendar.Minutes {
	return calendar.Minutes(hours.Mul(sixty).Round(0).IntPart())
}

// crewMinutes is how long so many people, a crew with its helpers, take over crew-hours, rounded up.
func crewMinutes(hours decimal.Decimal, crew int) calendar.Minutes {
	if crew < 1 {
		crew = 1
	}
	return calendar.Minutes(hours.Mul(sixty).Div(decimal.NewFromInt(int64(crew))).Ceil().IntPart())
}

// hoursLeft is the crew-hours to go: what somebody said last, else what the
// estimate leaves after the hours worked.
func hoursLeft(task domain.Task, p domain.TaskProgress) decimal.Decimal {
	switch {
	case p.Finished != nil:
		return decimal.Zero
	case p.ToGo != nil:
		return *p.ToGo
	}
	left := task.Hours.Mean().Sub(hoursOf(p.WorkedMinutes))
	if left.IsNegative() {
		return decimal.Zero
	}
	return left
}

// hoursOf turns whole minutes into hours, to a hundredth, half away from zero.
func hoursOf(minutes int) decimal.Decimal {
	return decimal.NewFromInt(int64(minutes)).DivRound(sixty, 2)
}
