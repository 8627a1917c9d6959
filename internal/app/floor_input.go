package app

import (
	"slices"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
	"bareframe/internal/network"
)

// anybody stands for the skill of a task that asks for none.
const anybody = "*"

// skillsOf lists what a person can do; who has no skill listed does anything.
func (b *floorBase) skillsOf(p domain.Person) []string {
	if len(p.Skills) > 0 {
		return append(slices.Clone(p.Skills), anybody)
	}
	all := map[string]bool{anybody: true}
	for _, t := range b.tasks {
		for _, n := range t.Needs {
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
	links := 0
	for _, e := range b.work {
		links += len(e.Links)
	}
	in.Tasks, in.Links = make([]levelling.Task, 0, len(b.tasks)), make([]network.Link, 0, links)
	for _, j := range b.jobs {
		in.Jobs = append(in.Jobs, b.job(j))
		e := b.work[j.ID]
		for _, t := range e.Tasks {
			in.Tasks = append(in.Tasks, b.task(j, t))
		}
		for _, l := range e.Links {
			n := networkLink(l)
			n.ID = j.ID + "/" + l.ID
			in.Links = append(in.Links, n)
		}
	}
	for _, p := range previous {
		if b.tasks[p.Task] != nil {
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
