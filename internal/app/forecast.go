package app

import (
	"fmt"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

// Forecast is when a job finishes as it looks today, and whose word that is. Once
// a plan of all jobs is agreed it is that plan's: it counts the other cars, and it
// moves when somebody agrees to another. Otherwise it is the job's own schedule's.
type Forecast struct {
	Finish   time.Time
	LateDays int // working days past the promise, any part of one counting whole
	// Floor is the agreed plan's word; nil where the job's own schedule speaks.
	Floor *FloorJob
	Plan  *domain.ShopPlan // without its body; nil like Floor
	bars  map[domain.ID]*FloorBar
	// cannot says why the agreed plan has no finish for the job; empty where it has one.
	cannot string
}

// forecast fills in what is said of a job's end.
func (p *JobPage) forecast(cal *calendar.Calendar) {
	p.Ahead = Forecast{Finish: p.Plan.Finish, LateDays: p.LateDays}
	if p.held == nil || !p.Job.Sold() || p.Whole.State == TaskFinished {
		return
	}
	job, ok := p.held.jobs[p.Job.ID]
	if ok && job.Unsure {
		p.Ahead.cannot = job.Words
	}
	if !ok || job.Unsure || job.Finish.Before(p.AsOf) {
		return // a plan that has passed says nothing of work that is still open
	}
	p.Ahead = Forecast{Finish: job.Finish, Floor: &job, Plan: &p.held.ShopPlan, bars: p.held.bars}
	if p.Job.Promise.IsZero() {
		return
	}
	if end := p.Job.Promise.End(p.Shop.Zone()); job.Finish.After(end) {
		p.Ahead.LateDays = max(1, workingDaysBetween(cal, standardDay(p.Shop.Calendar), end, job.Finish))
	}
}

// times of a task as the forecast has them: of the agreed plan where it names the
// task and nothing has happened yet, else of the job's own schedule, in which what
// happened counts. What the plan put before today, and is still to do, is said by the
// job's own schedule too: a day that has passed is no forecast.
func (p *JobPage) times(task domain.ID) (start, finish time.Time) {
	own := p.Plan.Of(task)
	bar, ok := p.Ahead.bars[task]
	switch {
	case !ok, p.Tasks[task].State == TaskFinished, bar.Finish.Before(p.AsOf):
		return own.EarlyStart, own.EarlyFinish
	case p.Tasks[task].State == TaskOpen && bar.Start.Before(domain.DayOf(p.AsOf, p.Shop.Zone()).Start(p.Shop.Zone())):
		return own.EarlyStart, maxTime(own.EarlyFinish, bar.Finish)
	case p.Tasks[task].State == TaskOpen:
		return bar.Start, bar.Finish
	}
	return own.EarlyStart, bar.Finish
}

// StartAhead is when a task starts as it looks today.
func (p *JobPage) StartAhead(task domain.ID) time.Time {
	start, _ := p.times(task)
	return start
}

// PhaseAhead returns from when to when a phase runs as it looks today; nil when it
// has no task.
func (p *JobPage) PhaseAhead(phase domain.ID) (start, finish *time.Time) {
	var s span
	for _, t := range p.Estimate.Tasks {
		if t.PhaseID == phase {
			s.widen(p.times(t.ID))
		}
	}
	return s.start, s.finish
}

// Counted says what the forecast counts, for whoever reads its date.
func (f Forecast) Counted(zone *time.Location) string {
	if f.Floor == nil {
		return "People and stations are free when this car needs them."
	}
	return fmt.Sprintf("The dates count all cars in the shop: their people, stations and hours, by the plan agreed on %s.", domain.DayOf(f.Plan.HoldsSince(), zone).Long())
}

// sentence says in words what the schedule means for the promise.
func (p *JobPage) sentence() string {
	if len(p.Estimate.Tasks) == 0 {
		return "There is no task yet; add the first to get a date."
	}
	finish := p.inFull(p.Ahead.Finish)
	counted, more := "if nothing is added and nobody waits", ""
	if p.Ahead.Floor != nil {
		counted = "with all cars in the shop counted, if nothing is added"
		more = fmt.Sprintf(" Alone it would be finished on %s.", p.inFull(p.Plan.Finish))
	}
	if t, ok := p.Estimate.Task(p.firstLeft()); ok {
		more += fmt.Sprintf(" The date hangs on %s.", t.Describe())
	}
	switch {
	case p.Whole.State == TaskFinished:
		return fmt.Sprintf("All work was finished on %s.", finish)
	case p.Ahead.cannot != "":
		return fmt.Sprintf("%s Alone, with people and stations free, it would be finished on %s.", p.Ahead.cannot, finish)
	case p.Job.Promise.IsZero():
		return fmt.Sprintf("Finishes on %s %s; no date is promised yet.%s", finish, counted, more)
	case p.Ahead.LateDays > 0:
		return fmt.Sprintf("%s past the promise: finishes on %s.%s", plural(p.Ahead.LateDays, "working day"), finish, more)
	}
	return fmt.Sprintf("Finishes on %s, inside the promise.%s", finish, more)
}

func (p *JobPage) inFull(at time.Time) string {
	return at.In(p.Shop.Zone()).Format("Monday 2 January 2006")
}

// firstLeft is the first task of the driving chain that is not finished.
func (p *JobPage) firstLeft() domain.ID {
	chain := p.Plan.DrivingChain
	if p.Ahead.Floor != nil {
		chain = p.Ahead.Floor.Chain
	}
	for _, id := range chain {
		if own, ok := p.Tasks[id]; ok && own.State != TaskFinished {
			return id
		}
	}
	return ""
}
