package app

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// floorEnds is when what is on the floor finishes: jobs by ID, the tasks of the
// order's job by code, because an order's tasks have another ID at each computation.
type floorEnds struct {
	jobs   map[domain.ID]time.Time
	tasks  map[string]time.Time
	chain  []string             // codes of what drives the finish of the order's job
	unsure map[domain.ID]string // jobs of which part cannot be planned, and the reason
	failed bool
}

// settleTime sets the clock of the floor back to the last thing that happened, at
// most to the beginning of the day: while nothing happens, nothing moves in it.
func (b *floorBase) settleTime() {
	at := domain.DayOf(b.now, b.zone).Start(b.zone).UTC()
	last := func(t *time.Time) {
		if t != nil && t.After(at) && !t.After(b.now) {
			at = *t
		}
	}
	for _, j := range b.jobs {
		for _, p := range b.progress[j.ID] {
			last(p.Started)
			last(p.Finished)
		}
		for _, t := range b.work[j.ID].Tasks {
			last(t.ReleasedAt)
		}
	}
	if at = at.Add(time.Minute - 1).Truncate(time.Minute); at.After(b.now) {
		at = b.now
	}
	b.now = at
	b.actuals = map[domain.ID]actual{}
	for _, j := range b.jobs {
		b.trackJob(j)
	}
}

// trackJob notes what has happened on a job.
func (b *floorBase) trackJob(j domain.Job) {
	if !j.Sold() {
		return
	}
	maps.Copy(b.actuals, track(b.cal, b.day, b.work[j.ID], b.progress[j.ID], b.now))
}

// with is the floor with other work on one job.
func (b *floorBase) with(j domain.Job, e domain.Estimate) *floorBase {
	out := *b
	out.work, out.tasks, out.jobOf, out.actuals = maps.Clone(b.work), maps.Clone(b.tasks), maps.Clone(b.jobOf), maps.Clone(b.actuals)
	for _, t := range b.work[j.ID].Tasks {
		delete(out.tasks, t.ID)
		delete(out.jobOf, t.ID)
		delete(out.actuals, t.ID)
	}
	out.put(j, e)
	out.trackJob(j)
	return &out
}

// ends reads off an answer of the engine what one job needs of it.
func (b *floorBase) ends(job domain.ID, r levelling.Result) floorEnds {
	out := floorEnds{jobs: map[domain.ID]time.Time{}, tasks: map[string]time.Time{}, unsure: map[domain.ID]string{}}
	for _, j := range r.Jobs {
		out.jobs[j.Job] = j.Finish
		if j.Job == job {
			for _, id := range j.Chain {
				out.chain = append(out.chain, b.tasks.of(id).Code)
			}
		}
	}
	for _, p := range r.Tasks {
		if b.jobOf[p.Task].ID == job {
			out.tasks[b.tasks.of(p.Task).Code] = p.Finish
		}
	}
	for _, u := range r.Unplaced {
		out.unsure[b.jobOf[u.Task].ID] += u.Code + " "
	}
	return out
}

// carMoves lists the other cars that finish on another day, the most delayed first.
func (b *floorBase) carMoves(except domain.ID, was, is floorEnds) []domain.CarMove {
	out := []domain.CarMove{}
	for _, j := range b.jobs {
		if j.ID == except || is.unsure[j.ID] != "" {
			continue
		}
		m := domain.CarMove{JobID: j.ID, Number: j.Number, Car: j.Vehicle.Label(), Promise: j.Promise,
			Before: domain.DayOf(was.jobs[j.ID], b.zone), After: domain.DayOf(is.jobs[j.ID], b.zone), Days: b.workingDays(was.jobs[j.ID], is.jobs[j.ID])}
		if m.Before == m.After {
			continue
		}
		m.Late = !j.Promise.IsZero() && m.After > j.Promise
		m.Breaks = m.Late && m.Before <= j.Promise
		out = append(out, m)
	}
	slices.SortStableFunc(out, func(x, y domain.CarMove) int {
		return cmp.Or(cmp.Compare(y.Days, x.Days), cmp.Compare(x.Number, y.Number))
	})
	return out
}
