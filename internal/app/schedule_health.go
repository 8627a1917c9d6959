package app

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/health"
	"bareframe/internal/network"
)

// What a schedule is looked over with. All three are common practice and not from a
// standard: a status once a working week, floats of up to two months.
const (
	staleDays     = 5  // working days without an entry on a task under way
	muchFloatDays = 44 // working days of float
)

// ScheduleHealth is what makes a job's dates unreliable, and how far they moved.
type ScheduleHealth struct {
	Page JobPage
	health.Result
	Limits        health.Limits
	MuchFloatDays int
	StaleDays     int
	Clash         *Clash // the plan is without its limits, because they clash
	Moved         *Moved // nil while nothing was quoted
}

// ScheduleFinding is something that makes dates unreliable.
type ScheduleFinding = health.Finding

// Clash is limits that cannot all hold.
type Clash struct {
	Detail string
	Lags   []network.LagClaim // round once; empty where too many limits pull on each other
}

// ScheduleHealth looks a job's schedule over, for the owner.
func (a *App) ScheduleHealth(ctx context.Context, actor domain.Actor, jobID domain.ID) (out ScheduleHealth, err error) {
	err = a.view(ctx, actor, "getScheduleHealth", func(r Reader) error {
		page, entries, people, err := a.readPage(r, jobID)
		if err != nil {
			return err
		}
		out, err = a.lookedOver(page, entries, people)
		return err
	})
	return out, err
}

func (a *App) lookedOver(page JobPage, entries []domain.Entry, people []domain.Person) (ScheduleHealth, error) {
	cal, err := a.calendarOf(page.Shop)
	if err != nil {
		return ScheduleHealth{}, err
	}
	day := standardDay(page.Shop.Calendar)
	out := ScheduleHealth{Page: page, MuchFloatDays: muchFloatDays, StaleDays: staleDays, Limits: health.StartingLimits()}
	out.Limits.MuchFloat = muchFloatDays * day
	in := health.Input{Network: page.Plan.input, Baseline: page.Job.Sold(), Limits: out.Limits, Unstaffed: page.unstaffed(people)}
	if page.Job.Sold() {
		in.Network.Tasks = asEntered(in.Network.Tasks, page.Estimate, domain.ProgressOf(entries), page.AsOf)
		in.Stale = page.stale(cal, staleDays*day, entries)
	}
	out.Result = health.Look(in, page.Plan.Result)
	if f := page.Plan.clash; f != nil {
		ring, _ := f.Evidence.(network.Contradiction)
		out.Clash = &Clash{Detail: f.Detail, Lags: ring.Lags}
	}
	out.Moved = page.moved(cal, day)
	return out, nil
}

// unstaffed are tasks that are still to do and need more people of a skill than the
// shop has. A shop in which nobody works yet is not told so of every task.
func (p *JobPage) unstaffed(people []domain.Person) []domain.ID {
	var out []domain.ID
	for _, t := range p.Estimate.Tasks {
		short := slices.ContainsFunc(t.Needs(), func(n domain.Helper) bool { return n.Count > withSkill(people, n.Skill) })
		if len(people) > 0 && short && p.Tasks[t.ID].State != TaskFinished {
			out = append(out, t.ID)
		}
	}
	return out
}

// asEntered gives tasks the beginnings and ends that were entered, where these lie
// after now; the plan reckons as if they were now.
func asEntered(tasks []network.Task, e domain.Estimate, progress map[domain.ID]domain.TaskProgress, now time.Time) []network.Task {
	tasks = slices.Clone(tasks)
	for i, t := range e.Tasks {
		if p := progress[t.ID]; p.Started != nil && p.Started.After(now) {
			tasks[i].ActualStart = p.Started
		}
		for _, end := range []*time.Time{progress[t.ID].Finished, t.ReleasedAt} {
			if end != nil && end.After(now) {
				tasks[i].ActualFinish = end
			}
		}
	}
	return tasks
}

// stale are tasks of people's work under way on which the last entry ended more than
// so many working minutes ago.
func (p *JobPage) stale(cal *calendar.Calendar, after calendar.Minutes, entries []domain.Entry) []domain.ID {
	last := map[domain.ID]time.Time{}
	for _, e := range entries {
		switch {
		case !e.Counts():
		case e.FinishedAt == nil:
			last[e.TaskID] = p.AsOf
		default:
			last[e.TaskID] = maxTime(last[e.TaskID], *e.FinishedAt)
		}
	}
	var out []domain.ID
	for _, t := range p.Estimate.Tasks {
		at, worked := last[t.ID]
		start, finish := p.Plan.Actual(t.ID)
		if worked && start != nil && finish == nil && cal.Between(at, p.AsOf) > after {
			out = append(out, t.ID)
		}
	}
	return out
}

// Moved is how far tasks are from the schedule that they are held against.
type Moved struct {
	Agreed bool   // the accepted baseline; else the last quote, which nobody accepted
	Quote  string // its number
	Tasks  []MovedTask
	Same   int         // tasks that end when they were to
	Added  []domain.ID // tasks that it does not have
	Gone   int         // tasks that it has and the estimate does not
}

// MovedTask is a task that ends at another time than it was to.
type MovedTask struct {
	network.TaskResult // what holds it now, and when
	WasStart           time.Time
	WasFinish          time.Time
	Minutes            calendar.Minutes // of working time by which it ends later; negative is earlier
	Days               decimal.Decimal  // the same in standard working days, to a tenth
}

// moved compares the plan with the accepted baseline, or with the newest quote while
// none is accepted. Furthest first; what comes to the same keeps the estimate's order.
func (p *JobPage) moved(cal *calendar.Calendar, day calendar.Minutes) *Moved {
	was := p.Baseline
	out := &Moved{Tasks: []MovedTask{}, Added: []domain.ID{}}
	switch q, agreed := p.Accepted(); {
	case agreed:
		out.Agreed, out.Quote = true, q.Number
	case len(p.Quotes) == 0:
		return nil
	default:
		out.Quote, was = p.Quotes[0].Number, map[domain.ID]domain.Baseline{}
		for _, s := range p.Quotes[0].Plan {
			was[s.TaskID] = domain.Baseline{TaskID: s.TaskID, Start: s.Start, Finish: s.Finish}
		}
	}
	known := 0
	for _, t := range p.Estimate.Tasks {
		b, ok := was[t.ID]
		if !ok {
			out.Added = append(out.Added, t.ID)
			continue
		}
		known++
		now := p.Plan.Of(t.ID)
		minutes := cal.Between(b.Finish, now.EarlyFinish)
		if minutes == 0 {
			out.Same++
			continue
		}
		days := decimal.NewFromInt(int64(minutes)).DivRound(decimal.NewFromInt(int64(day)), 1)
		out.Tasks = append(out.Tasks, MovedTask{TaskResult: now, WasStart: b.Start, WasFinish: b.Finish, Minutes: minutes, Days: days})
	}
	out.Gone = len(was) - known
	slices.SortStableFunc(out.Tasks, func(a, b MovedTask) int {
		return cmp.Compare(max(b.Minutes, -b.Minutes), max(a.Minutes, -a.Minutes))
	})
	return out
}

// HoursOf turns whole minutes into hours, to a hundredth, half away from zero.
func HoursOf(m calendar.Minutes) decimal.Decimal { return hoursOf(int(m)) }
