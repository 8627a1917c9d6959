package app

import (
	"context"
	"slices"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// Floor is what the shop's people see of all jobs together.
type Floor struct {
	Shop domain.Shop
	Now  time.Time
	// Plan is the one that holds; nil before the first. Proposed waits for a decision.
	Plan, Proposed *FloorPlan
	// Current: nothing that the plan was made from has changed since, and it is not Overtaken.
	Current bool
	// Overtaken: work that it put before the present working day has not been logged.
	Overtaken bool
	Run       *domain.FloorRun
	People    []domain.Person
	Skills    []string        // what people can do and what the work on the floor asks for
	Opening   []calendar.Span // when the shop is open, over the weeks that the plan covers
}

// FloorPlan is a plan with what it says, as it said when it was made.
type FloorPlan struct {
	domain.ShopPlan
	Said FloorSaid
}

// FloorSaid is what a plan says of jobs, tasks and what cannot be done. It is
// stored with the plan, so that a plan reads the same whatever changes later.
type FloorSaid struct {
	Jobs     []FloorJob      `json:"jobs"` // promises at risk first
	Bars     []FloorBar      `json:"bars"` // by start
	Unplaced []FloorUnplaced `json:"unplaced"`
	// Result is what the engine said, for the plan that comes next and for checking it.
	Result levelling.Result `json:"result"`
}

// FloorJob is what a plan means for one car.
type FloorJob struct {
	JobID    domain.ID  `json:"job_id"`
	Number   int        `json:"number"`
	Car      string     `json:"car"`
	Promise  domain.Day `json:"promise,omitempty"`
	Finish   time.Time  `json:"finish"`
	Day      domain.Day `json:"day"` // of Finish, in the shop's zone
	Earliest time.Time  `json:"earliest"`
	LateDays int        `json:"late_days"` // working days, a part counting as one
	AtRisk   bool       `json:"at_risk"`   // late, or with less than two working days to spare
	// Unsure: part of it cannot be planned, so that Finish is only that of the rest.
	Unsure bool         `json:"unsure"`
	Words  string       `json:"words"`
	Chain  []domain.ID  `json:"chain"`
	Lost   []FloorQueue `json:"lost"`
	// Before and Moved compare with another plan: working days later, negative
	// when earlier. Before is zero where there is nothing to compare with.
	Before time.Time `json:"before"`
	Moved  int       `json:"moved"`
}

// FloorQueue is working time that a job lost to waiting for a station or a skill.
type FloorQueue struct {
	Station string           `json:"station,omitempty"`
	Skill   string           `json:"skill,omitempty"`
	Name    string           `json:"name"`
	Minutes calendar.Minutes `json:"minutes"`
	Days    string           `json:"days"` // in words
}

// FloorBar is one task on the floor.
type FloorBar struct {
	TaskID   domain.ID        `json:"task_id"`
	JobID    domain.ID        `json:"job_id"`
	Code     string           `json:"code"`
	Name     string           `json:"name"`
	Kind     domain.TaskKind  `json:"kind"`
	Start    time.Time        `json:"start"`
	Finish   time.Time        `json:"finish"`
	Pieces   []calendar.Span  `json:"pieces,omitempty"`
	People   []domain.ID      `json:"people"`
	Stations []string         `json:"stations"`
	Progress string           `json:"progress"` // not_started, in_progress, finished
	Pinned   bool             `json:"pinned"`
	Driving  bool             `json:"driving"` // its job's finish hangs on it
	Cause    string           `json:"cause"`
	Why      string           `json:"why"`
	Ready    *time.Time       `json:"ready,omitempty"`
	Waited   calendar.Minutes `json:"waited"`
}

// FloorUnplaced is a task that no plan can hold.
type FloorUnplaced struct {
	TaskID domain.ID `json:"task_id"`
	JobID  domain.ID `json:"job_id"`
	Name   string    `json:"name"`
	Code   string    `json:"code"`
	Words  string    `json:"words"`
}

// Floor returns the plan of all jobs and what is being done about it.
func (a *App) Floor(ctx context.Context, actor domain.Actor) (Floor, error) {
	var f Floor
	err := a.view(ctx, actor, "getFloor", func(r Reader) (err error) {
		f, err = a.floorOf(r)
		return err
	})
	return f, err
}

func (a *App) floorOf(r Reader) (Floor, error) {
	b, err := a.floorBaseOf(r, "")
	if err != nil {
		return Floor{}, err
	}
	f := Floor{Shop: b.shop, Now: b.now, People: b.people, Skills: b.skills()}
	if holds, err := a.agreedPlan(r); err != nil {
		return f, err
	} else if holds != nil {
		f.Plan = &holds.FloorPlan
	}
	if waits, ok, err := r.ProposedPlan(); err != nil {
		return f, err
	} else if ok {
		if f.Proposed, err = planRead(waits, nil); err != nil {
			return f, err
		}
	}
	if run, ok, err := r.Run(); err != nil {
		return f, err
	} else if ok {
		f.Run = &run
	}
	if f.Proposed != nil && f.Plan != nil {
		compare(f.Proposed.Said.Jobs, f.Plan.Said.Jobs, b)
	}
	f.Overtaken = f.Plan != nil && b.overtaken(f.Plan.MadeAt, f.Plan.Said.Result.Tasks)
	f.Current = f.Plan != nil && !f.Overtaken && f.Plan.Facts == b.facts()
	f.Opening = b.cal.OpenIntervals(b.now.AddDate(0, 0, -14), b.now.AddDate(0, 0, 7*weeksShown))
	return f, nil
}

// skills lists what people can do and what the work asks for, in order.
func (b *floorBase) skills() []string {
	var out []string
	for _, p := range b.people {
		out = append(out, p.Skills...)
	}
	for _, t := range b.tasks {
		for _, n := range t.Needs {
			if n.Skill != "" {
				out = append(out, n.Skill)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// weeksShown is how far ahead the opening hours are listed.
const weeksShown = 26

// compare notes when each job finished in another plan, and how much later it does in
// this one where it has a finish in both.
func compare(jobs, with []FloorJob, b *floorBase) {
	before := map[domain.ID]time.Time{}
	for _, j := range with {
		if !j.Unsure {
			before[j.JobID] = j.Finish
		}
	}
	for i := range jobs {
		j := &jobs[i]
		was, ok := before[j.JobID]
		if !ok {
			continue
		}
		if j.Before = was; !j.Unsure && domain.DayOf(was, b.zone) != j.Day { // hours within a day move no date
			j.Moved = b.workingDays(was, j.Finish)
		}
	}
}

func (b *floorBase) workingDays(from, to time.Time) int {
	return workingDaysBetween(b.cal, b.day, from, to)
}

// workingDaysBetween counts from one instant to another, any part of a day counting as
// one; negative when the second is earlier, zero within a minute.
func workingDaysBetween(cal *calendar.Calendar, day calendar.Minutes, from, to time.Time) int {
	m := cal.Between(from, to)
	switch {
	case m > 0:
		return int((m + day - 1) / day)
	case m < 0:
		return -int((day - 1 - m) / day)
	}
	return 0
}
