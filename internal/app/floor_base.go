package app

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// floorBase is what a plan of all the shop's jobs is made from, read from one
// snapshot in a constant number of queries.
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
	tasks    map[domain.ID]domain.Task
	jobOf    map[domain.ID]domain.Job
	actuals  map[domain.ID]actual
}

// floorBaseOf reads the floor; quoted is a job that is laid on top of what is
// sold, or empty.
func (a *App) floorBaseOf(r Reader, quoted domain.ID) (*floorBase, error) {
	b := &floorBase{now: a.now().UTC().Truncate(time.Minute), work: map[domain.ID]domain.Estimate{}, progress: map[domain.ID]map[domain.ID]domain.TaskProgress{},
		on: map[domain.ID][]domain.ID{}, pins: map[domain.ID]domain.FloorPin{}, expected: map[domain.ID]domain.Day{},
		tasks: map[domain.ID]domain.Task{}, jobOf: map[domain.ID]domain.Job{}, actuals: map[domain.ID]actual{}}
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
	ids := make([]domain.ID, len(b.jobs))
	for i, j := range b.jobs {
		ids[i] = j.ID
	}
	estimates, err := a.estimatesOf(r, b.jobs)
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
	last := map[domain.ID]domain.Entry{} // by person
	for _, j := range b.jobs {
		e := agreedWork(estimates[j.ID].inForce, placeholders())
		b.work[j.ID], b.progress[j.ID] = e, domain.ProgressOf(entries[j.ID])
		for _, t := range e.Tasks {
			b.tasks[t.ID], b.jobOf[t.ID] = t, j
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
	b.placeOn(last)
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
		if t := b.tasks[x.TaskID]; len(b.on[t.ID]) < t.People() && b.fits(p, t) {
			b.on[t.ID] = append(b.on[t.ID], p.ID)
		}
	}
}

func (b *floorBase) fits(p domain.Person, t domain.Task) bool {
	return slices.ContainsFunc(t.Needs(), func(n domain.Helper) bool { return able(p, n.Skill) })
}

// anybody stands for the skill of a task that asks for none.
const anybody = "*"

// skillsOf lists what a person can do; who has no skill listed does anything.
func (b *floorBase) skillsOf(p domain.Person) []string {
	if len(p.Skills) > 0 {
		return append(slices.Clone(p.Skills), anybody)
	}
	all := map[string]bool{anybody: true}
	for _, t := range b.tasks {
		for _, n := range t.Needs() {
			if n.Skill != "" {
				all[n.Skill] = true
			}
		}
	}
	out := make([]string, 0, len(all))
	for s := range all {
		out = append(out, s)
	}
	slices.Sort(out)
	return out
}

// input states the floor for the engine. Previous is the plan that people know.
func (b *floorBase) input(previous []levelling.Placement) levelling.Input {
	spec := b.shop.Calendar
	in := levelling.Input{Now: b.now, Calendar: &spec}
	for _, p := range b.people {
		in.People = append(in.People, levelling.Person{ID: p.ID, Name: p.Name, Skills: b.skillsOf(p), Calendar: b.rosterOf(p.Roster)})
	}
	for _, s := range b.shop.Settings.Stations {
		in.Stations = append(in.Stations, levelling.Station{ID: s.Key, Name: s.Name, Capacity: s.Capacity, Calendar: b.rosterOf(s.Roster)})
	}
	known := map[domain.ID]bool{}
	for _, j := range b.jobs {
		in.Jobs = append(in.Jobs, b.job(j))
		e := b.work[j.ID]
		for _, t := range e.Tasks {
			in.Tasks = append(in.Tasks, b.task(j, t))
			known[t.ID] = true
		}
		for _, l := range e.Links {
			n := networkLink(l)
			n.ID = j.ID + "/" + l.ID
			in.Links = append(in.Links, n)
		}
	}
	for _, p := range previous {
		if known[p.Task] {
			in.Previous = append(in.Previous, p)
		}
	}
	return in
}

func (b *floorBase) rosterOf(r *domain.Roster) *calendar.Spec {
	if r.Empty() {
		return nil
	}
	spec := r.Spec(b.shop.Settings.TimeZone)
	return &spec
}

func (b *floorBase) job(j domain.Job) levelling.Job {
	out := levelling.Job{ID: j.ID, Name: j.Vehicle.Label(), Weight: max(1, j.Weight)}
	if !j.Promise.IsZero() {
		end := j.Promise.End(b.zone).UTC()
		out.Promise = &end
	}
	return out
}

func (b *floorBase) task(j domain.Job, t domain.Task) levelling.Task {
	a := b.actuals[t.ID]
	n := networkTask(t, a, b.day, b.zone)
	out := levelling.Task{ID: t.ID, Job: j.ID, Name: t.Name, Duration: n.Duration, Kind: n.Kind, Interruptible: t.Floor.Interruptible,
		NotBefore: n.NotBefore, FinishBy: n.FinishBy, ActualStart: a.start, ActualFinish: a.finish, Remaining: a.left}
	for _, need := range t.Needs() {
		skill := need.Skill
		if skill == "" {
			skill = anybody
		}
		out.Crew = append(out.Crew, levelling.Crew{Skill: skill, Count: need.Count})
	}
	if t.Station != "" && t.Kind != domain.Sublet {
		out.Places = []levelling.Place{{Station: t.Station}}
	}
	if h := t.Floor.LongestBreakHours; h != nil {
		m := minutesOf(*h)
		out.LongestBreak = &m
	}
	if a.start != nil {
		out.On = b.on[t.ID]
		return out
	}
	for _, day := range []domain.Day{j.NotBefore, b.expected[t.ID]} {
		if !day.IsZero() {
			at := day.Start(b.zone).UTC()
			if out.NotBefore == nil || at.After(*out.NotBefore) {
				out.NotBefore = &at
			}
		}
	}
	if p, ok := b.pins[t.ID]; ok && !p.Start.Before(b.now) {
		at := p.Start
		out.Pin, out.PinPeople = &at, p.People
	}
	return out
}

// facts is a sum over what a plan is made from, leaving out the clock: as long as
// it is the same, the plan still answers the floor as it is.
func (b *floorBase) facts() string {
	type jobFacts struct {
		ID       domain.ID
		Version  int
		Progress map[domain.ID]domain.TaskProgress
	}
	type personFacts struct {
		ID     domain.ID
		Skills []string
		Roster *domain.Roster
	}
	var all struct {
		Jobs     []jobFacts
		People   []personFacts
		Stations []domain.Station
		Calendar calendar.Spec
		Pins     []domain.FloorPin
		Expected map[domain.ID]domain.Day
		On       map[domain.ID][]domain.ID
	}
	for _, j := range b.jobs {
		all.Jobs = append(all.Jobs, jobFacts{j.ID, j.Version, b.progress[j.ID]})
	}
	for _, p := range b.people {
		all.People = append(all.People, personFacts{p.ID, p.Skills, p.Roster})
	}
	for _, id := range sortedKeys(b.pins) {
		all.Pins = append(all.Pins, b.pins[id])
	}
	all.Stations, all.Calendar, all.Expected, all.On = b.shop.Settings.Stations, b.shop.Calendar, b.expected, b.on
	body, err := json.Marshal(all)
	if err != nil {
		return "" // plain values always marshal
	}
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:])
}

func sortedKeys[V any](m map[domain.ID]V) []domain.ID {
	out := make([]domain.ID, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
