package app

import (
	"cmp"
	"context"
	"slices"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/policy"
)

// floorBase is what a plan of all the shop's jobs is made from, read from one
// snapshot, so many jobs at once.
type floorBase struct {
	shop     domain.Shop
	cal      *calendar.Calendar
	day      calendar.Minutes
	zone     *time.Location
	now      time.Time
	jobs     []domain.Job // sold and not finished, by number
	work     map[domain.ID]domain.Estimate
	progress map[domain.ID]map[domain.ID]domain.TaskProgress // by job and task
	on       map[domain.ID][]domain.ID                       // who is on a task
	people   []domain.Person                                 // who works, by name
	pins     map[domain.ID]domain.FloorPin
	expected map[domain.ID]domain.Day // by task: when what it waits for is delivered
	tasks    floorTasks
	jobOf    map[domain.ID]jobName // by task
	actuals  map[domain.ID]actual
}

// jobName is what is kept of a task's job: a floor has many tasks, and a job is large.
type jobName struct {
	ID     domain.ID
	Number int
}

// floorNow reads the floor and the plan that holds, nil when there is none, from one
// snapshot.
func (a *App) floorNow(ctx context.Context, actor domain.Actor, action policy.Action) (b *floorBase, holds *heldPlan, err error) {
	err = a.view(ctx, actor, action, func(r Reader) (err error) {
		if b, err = a.floorBaseOf(r, ""); err != nil {
			return err
		}
		holds, err = a.agreedPlan(r)
		return err
	})
	return b, holds, err
}

// floorBaseOf reads the floor; quoted is a job that is laid on top of what is
// sold, or empty.
func (a *App) floorBaseOf(r Reader, quoted domain.ID) (*floorBase, error) {
	b := &floorBase{now: a.now().UTC().Truncate(time.Minute), work: map[domain.ID]domain.Estimate{}, progress: map[domain.ID]map[domain.ID]domain.TaskProgress{},
		on: map[domain.ID][]domain.ID{}, pins: map[domain.ID]domain.FloorPin{}, expected: map[domain.ID]domain.Day{},
		tasks: floorTasks{}, jobOf: map[domain.ID]jobName{}, actuals: map[domain.ID]actual{}}
	var err error
	if b.shop, err = r.Shop(); err != nil {
		return nil, err
	}
	if b.cal, err = a.calendarOf(b.shop); err != nil {
		return nil, err
	}
	b.day, b.zone = standardDay(b.shop.Calendar), b.shop.Zone()
	if b.jobs, err = allJobs(r, []domain.JobState{domain.Accepted, domain.InWork}, ""); err != nil {
		return nil, err
	}
	if quoted != "" && !slices.ContainsFunc(b.jobs, func(j domain.Job) bool { return j.ID == quoted }) {
		job, err := r.Job(quoted)
		if err != nil {
			return nil, err
		}
		b.jobs = append(b.jobs, job)
	}
	slices.SortFunc(b.jobs, func(x, y domain.Job) int { return cmp.Compare(x.Number, y.Number) })
	if err := b.readPeople(r); err != nil {
		return nil, err
	}
	return b, b.readWork(a, r)
}

// readPeople takes whoever works: technicians, and owners who have a skill.
func (b *floorBase) readPeople(r Reader) error {
	for _, role := range []domain.Role{domain.Technician, domain.Owner} {
		page := Page{Limit: 200}
		for {
			people, next, err := r.People(role, page)
			if err != nil {
				return err
			}
			for _, p := range people {
				if p.Active && (role == domain.Technician || len(p.Skills) > 0) {
					b.people = append(b.people, p)
				}
			}
			if page.After = next; next == "" {
				break
			}
		}
	}
	pins, err := r.Pins()
	for _, p := range pins {
		b.pins[p.TaskID] = p
	}
	return err
}

func (b *floorBase) readWork(a *App, r Reader) error {
	last := map[domain.ID]domain.Entry{} // by person
	for jobs := range slices.Chunk(b.jobs, jobsAtOnce) {
		if err := b.readJobs(a, r, jobs, last); err != nil {
			return err
		}
	}
	b.placeOn(last)
	return nil
}

// jobsAtOnce is how many jobs are read at once, where there may be hundreds: rows
// and estimates of one job of 75 tasks take some 400 KB until they are collected.
const jobsAtOnce = 8

// readJobs reads work and hours of some jobs; last is the last entry of each person.
// The work of a floor that has more jobs than are kept for their pages passes by them.
func (b *floorBase) readJobs(a *App, r Reader, jobs []domain.Job, last map[domain.ID]domain.Entry) error {
	ids := make([]domain.ID, len(jobs))
	for i, j := range jobs {
		ids[i] = j.ID
	}
	passing := len(b.jobs) > mostEstimates
	estimates, err := a.estimatesRead(r, jobs, !passing)
	if err != nil {
		return err
	}
	entries, err := r.Entries(ids)
	if err != nil {
		return err
	}
	supplies, err := r.SuppliesOf(ids)
	if err != nil {
		return err
	}
	latest := domain.LatestSupplies(supplies)
	kept := newLean()
	for _, j := range jobs {
		e := agreedWork(estimates[j.ID].inForce, placeholders())
		b.progress[j.ID] = domain.ProgressOf(entries[j.ID])
		if passing {
			b.put(j, kept.estimate(e))
		} else {
			b.put(j, e)
		}
		b.trackJob(j)
		for _, l := range e.Lines {
			if s := latest[l.ID]; s.State == domain.SupplyOrdered && l.TaskID != "" && s.ExpectedOn > b.expected[l.TaskID] {
				b.expected[l.TaskID] = s.ExpectedOn
			}
		}
		for _, x := range entries[j.ID] {
			if x.Counts() && x.Kind == domain.Worked && (last[x.PersonID].ID == "" || x.StartedAt.After(last[x.PersonID].StartedAt)) {
				last[x.PersonID] = x
			}
		}
	}
	return nil
}

// placeOn says who is on a task under way: those whose last entry is on it and
// did not say that it is done. So nobody is on two.
func (b *floorBase) placeOn(last map[domain.ID]domain.Entry) {
	for _, p := range b.people {
		x, ok := last[p.ID]
		a := b.actuals[x.TaskID]
		if !ok || x.Done || a.start == nil || a.finish != nil {
			continue
		}
		if t := b.tasks.of(x.TaskID); len(b.on[t.ID]) < t.People && b.fits(p, t) {
			b.on[t.ID] = append(b.on[t.ID], p.ID)
		}
	}
}

func (b *floorBase) fits(p domain.Person, t floorTask) bool {
	return slices.ContainsFunc(t.Needs, func(n domain.Helper) bool { return able(p, n.Skill) })
}
