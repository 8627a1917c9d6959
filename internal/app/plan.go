package app

import (
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

// Plan is a job's schedule with what happened so far.
type Plan struct {
	network.Result
	DataDate time.Time
	byTask   map[domain.ID]network.TaskResult
	actuals  map[domain.ID]actual
	limits   map[domain.ID]limit
	input    network.Input // what was calculated; its calendar is the shop's
	clash    *fault.Error  // the limits that cannot all hold; the plan is then without them
}

// Of returns the times of a task.
func (p Plan) Of(taskID domain.ID) network.TaskResult { return p.byTask[taskID] }

// Actual returns when a task really started and finished; nil where it has not.
func (p Plan) Actual(taskID domain.ID) (start, finish *time.Time) {
	a := p.actuals[taskID]
	return a.start, a.finish
}

// planOf schedules a job on the shop's calendar. Before acceptance it starts at
// the earliest start or now, whichever is later; afterwards progress counts and
// nothing that is left can lie before now.
func (a *App) planOf(shop domain.Shop, job domain.Job, e domain.Estimate, progress map[domain.ID]domain.TaskProgress, now time.Time) (Plan, error) {
	cal, err := a.calendarOf(shop)
	if err != nil {
		return Plan{}, err
	}
	now = now.UTC().Truncate(time.Minute)
	zone, day := shop.Zone(), standardDay(shop.Calendar)
	plan := Plan{DataDate: now, actuals: map[domain.ID]actual{}}
	in := network.Input{Start: now}
	if !job.NotBefore.IsZero() {
		in.Start = maxTime(now, job.NotBefore.Start(zone).UTC())
	}
	if job.Sold() {
		in.DataDate = &now
		plan.actuals = track(cal, day, e, progress, now)
	}
	if !job.Promise.IsZero() {
		end := job.Promise.End(zone).UTC()
		in.Promise = &end
	}
	for _, t := range e.Tasks {
		in.Tasks = append(in.Tasks, networkTask(t, plan.actuals[t.ID], day, zone))
	}
	for _, l := range e.Links {
		in.Links = append(in.Links, networkLink(l))
	}
	if plan.Result, err = network.CalculateOn(cal, in); err != nil {
		return Plan{}, inTasks(err, e)
	}
	plan.input = in
	plan.limits = limitsOf(cal, e, plan.actuals)
	plan.byTask = make(map[domain.ID]network.TaskResult, len(plan.Tasks))
	for _, t := range plan.Tasks {
		plan.byTask[t.ID] = t
	}
	return plan, nil
}

func networkTask(t domain.Task, a actual, day calendar.Minutes, zone *time.Location) network.Task {
	n := network.Task{ID: t.ID, Name: t.Name, Kind: calendar.Working, ActualStart: a.start, ActualFinish: a.finish, Remaining: a.left}
	switch t.Kind {
	case domain.Cure:
		n.Kind, n.Duration = calendar.Elapsed, minutesOf(t.ElapsedHours)
	case domain.Sublet:
		n.Duration = calendar.Minutes(t.LeadDays) * day
	default:
		n.Duration = crewMinutes(t.Hours.Mean(), t.People())
	}
	if from := max(t.NotBefore, t.Arrives); !from.IsZero() {
		at := from.Start(zone).UTC()
		n.NotBefore = &at
	}
	if !t.FinishBy.IsZero() {
		at := t.FinishBy.End(zone).UTC()
		n.FinishBy = &at
	}
	return n
}

func networkLink(l domain.Link) network.Link {
	return network.Link{ID: l.ID, From: l.FromID, To: l.ToID, Type: l.Type, Lag: minutesOf(l.LagHours), LagKind: l.LagKind, MaxLag: maxLagOf(l)}
}

func maxLagOf(l domain.Link) *calendar.Minutes {
	if l.MaxLagHours == nil {
		return nil
	}
	most := minutesOf(*l.MaxLagHours)
	return &most
}

// lateDays is by how many working days the forecast passes the promise, any
// part of a day counting as one.
func (p Plan) lateDays(day calendar.Minutes) int {
	for _, s := range p.Shortfalls {
		if s.Limit == network.LimitPromise {
			return max(1, int((s.WorkingMinutes+day-1)/day))
		}
	}
	return 0
}

// lastYear is the last year that days and instants are written in.
const lastYear = 2189

// withinReach refuses an estimate whose schedule leaves the years that can be
// written down: such a job could be stored but not shown. Nor may its limits clash.
func (p JobPage) withinReach() error {
	if p.Plan.clash != nil {
		return p.Plan.clash
	}
	last := p.Plan.Finish
	for _, t := range p.Plan.Tasks {
		last = maxTime(last, maxTime(t.EarlyFinish, t.LateFinish))
	}
	if last.UTC().Year() <= lastYear {
		return nil
	}
	return fault.New(fault.Invalid, "schedule-too-far", "The schedule would reach past the year %d; look at earliest starts, dates, lead times and lags.", lastYear)
}
