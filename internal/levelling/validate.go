package levelling

import (
	"fmt"
	"strings"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

const (
	maxLinks     = 100_000
	maxEach      = 50 // skills of a person, crews and places of a task, people of a crew
	maxCapacity  = 1000
	maxWeight    = 100
	maxSchedules = 10_000_000
	maxWorkers   = 64
	maxIDBytes   = 200
	maxNameBytes = 500
	maxFaults    = 100 // named in one answer
)

// checker gathers what is wrong with an input, up to maxFaults, and the places
// of what has an ID.
type checker struct {
	faults                        fault.Collector
	count                         int
	now                           time.Time
	people, stations, jobs, tasks map[string]int32
}

func (c *checker) add(at, detail string, args ...any) {
	if c.count++; c.count <= maxFaults {
		c.faults.Add(at, detail, args...)
	}
}

// validate checks in and returns where everything with an ID stands. It names
// every fault that it finds by JSON pointer, up to a hundred.
func validate(in *Input) (*checker, error) {
	c := &checker{now: in.Now}
	for _, bound := range []struct {
		at      string
		n, most int
	}{{"/people", len(in.People), MaxPeople}, {"/stations", len(in.Stations), MaxStations}, {"/jobs", len(in.Jobs), MaxJobs},
		{"/tasks", len(in.Tasks), MaxTasks}, {"/links", len(in.Links), maxLinks}, {"/previous", len(in.Previous), MaxTasks}} {
		if bound.n > bound.most {
			c.add(bound.at, "there may be at most %d, not %d", bound.most, bound.n)
		}
	}
	if c.count > 0 {
		return nil, c.faults.Err("levelling-invalid")
	}
	c.date("/now", &in.Now)
	c.calendar("/calendar", in.Calendar)
	c.resources(in)
	c.work(in)
	return c, c.faults.Err("levelling-invalid")
}

func (c *checker) resources(in *Input) {
	c.people = make(map[string]int32, len(in.People))
	for i, p := range in.People {
		at := fmt.Sprintf("/people/%d", i)
		c.named(c.people, at, p.ID, p.Name, i)
		c.most(at+"/skills", len(p.Skills))
		for k, s := range p.Skills {
			c.label(fmt.Sprintf("%s/skills/%d", at, k), s, "a skill")
		}
		c.calendar(at+"/calendar", p.Calendar)
	}
	c.stations = make(map[string]int32, len(in.Stations))
	for i, s := range in.Stations {
		at := fmt.Sprintf("/stations/%d", i)
		c.named(c.stations, at, s.ID, s.Name, i)
		c.between(at+"/capacity", int64(s.Capacity), 1, maxCapacity)
		c.calendar(at+"/calendar", s.Calendar)
	}
	c.jobs = make(map[string]int32, len(in.Jobs))
	for i, j := range in.Jobs {
		at := fmt.Sprintf("/jobs/%d", i)
		c.named(c.jobs, at, j.ID, j.Name, i)
		c.date(at+"/promise", j.Promise)
		c.between(at+"/weight", int64(j.Weight), 0, maxWeight)
	}
}

func (c *checker) work(in *Input) {
	c.tasks = make(map[string]int32, len(in.Tasks))
	for i := range in.Tasks {
		c.task(fmt.Sprintf("/tasks/%d", i), &in.Tasks[i], i)
	}
	for i := range in.Links {
		c.link(fmt.Sprintf("/links/%d", i), &in.Links[i])
	}
	for i, p := range in.Previous {
		at := fmt.Sprintf("/previous/%d", i)
		c.date(at+"/start", &p.Start)
		c.most(at+"/people", len(p.People))
	}
}

func (c *checker) task(at string, t *Task, i int) {
	c.named(c.tasks, at, t.ID, t.Name, i)
	if _, ok := c.jobs[t.Job]; !ok {
		c.add(at+"/job", "there is no job %q", clip(t.Job))
	}
	c.minutes(at+"/minutes", int64(t.Duration))
	c.kind(at+"/kind", t.Kind)
	if t.Kind == calendar.Elapsed && len(t.Crew) > 0 {
		c.add(at+"/crew", "an elapsed task runs by itself, day and night, and has no crew; give the work a task of its own")
	}
	c.most(at+"/crew", len(t.Crew))
	for k, w := range t.Crew {
		c.label(fmt.Sprintf("%s/crew/%d/skill", at, k), w.Skill, "a skill")
		c.between(fmt.Sprintf("%s/crew/%d/count", at, k), int64(w.Count), 1, maxEach)
	}
	c.most(at+"/places", len(t.Places))
	for k, p := range t.Places {
		c.label(fmt.Sprintf("%s/places/%d/station", at, k), p.Station, "a station")
		c.between(fmt.Sprintf("%s/places/%d/units", at, k), int64(p.Units), 0, maxCapacity)
		for _, q := range t.Places[:k] {
			if q.Station == p.Station {
				c.add(fmt.Sprintf("%s/places/%d/station", at, k), "station %q is named twice; give its units once", clip(p.Station))
			}
		}
	}
	if t.LongestBreak != nil {
		c.minutes(at+"/longest_break_minutes", int64(*t.LongestBreak))
	}
	if t.Remaining != nil {
		c.minutes(at+"/remaining_minutes", int64(*t.Remaining))
	}
	c.date(at+"/not_before", t.NotBefore)
	c.date(at+"/finish_by", t.FinishBy)
	c.date(at+"/pin", t.Pin)
	c.once(at+"/pin_people", t.PinPeople)
	c.once(at+"/on", t.On)
	c.actuals(at, t)
}

func (c *checker) actuals(at string, t *Task) {
	c.past(at+"/actual_start", t.ActualStart)
	c.past(at+"/actual_finish", t.ActualFinish)
	switch {
	case t.ActualFinish == nil:
	case t.ActualStart == nil:
		c.add(at+"/actual_start", "a finished task needs its actual start too")
	case t.ActualFinish.Before(*t.ActualStart):
		c.add(at+"/actual_finish", "a task cannot finish before it started")
	}
}

func (c *checker) past(at string, t *time.Time) {
	c.date(at, t)
	if t != nil && t.After(c.now) {
		c.add(at, "what happened cannot lie after now")
	}
}

func (c *checker) link(at string, l *network.Link) {
	from, okFrom := c.tasks[l.From]
	if !okFrom {
		c.add(at+"/from", "there is no task %q", clip(l.From))
	}
	to, okTo := c.tasks[l.To]
	if !okTo {
		c.add(at+"/to", "there is no task %q", clip(l.To))
	} else if okFrom && from == to {
		c.add(at+"/to", "task %q cannot wait for itself", clip(l.To))
	}
	switch l.Type {
	case network.FS, network.SS, network.FF, network.SF, "":
	default:
		c.add(at+"/type", "a link is FS, SS, FF or SF")
	}
	c.between(at+"/lag_minutes", int64(l.Lag), -network.MaxMinutes, network.MaxMinutes)
	c.kind(at+"/lag_kind", l.LagKind)
	if l.MaxLag != nil {
		c.between(at+"/max_lag_minutes", int64(*l.MaxLag), -network.MaxMinutes, network.MaxMinutes)
		if *l.MaxLag < l.Lag {
			c.add(at+"/max_lag_minutes", "the most time between two ends cannot be less than the least, %d minutes", l.Lag)
		}
	}
	if len(l.ID) > maxIDBytes {
		c.add(at+"/id", "an id may have at most %d bytes", maxIDBytes)
	}
}

func (c *checker) named(places map[string]int32, at, id, name string, i int) {
	c.label(at+"/id", id, "an id")
	if first, twice := places[id]; twice {
		c.add(at+"/id", "id %q is already that of number %d", clip(id), first+1)
	} else {
		places[id] = int32(i)
	}
	if len(name) > maxNameBytes {
		c.add(at+"/name", "a name may have at most %d bytes", maxNameBytes)
	}
}

func (c *checker) label(at, s, what string) {
	if s == "" || len(s) > maxIDBytes {
		c.add(at, "%s has 1 to %d bytes", what, maxIDBytes)
	}
}

func (c *checker) once(at string, ids []string) {
	c.most(at, len(ids))
	seen := map[string]bool{}
	for i, id := range ids {
		if seen[id] {
			c.add(fmt.Sprintf("%s/%d", at, i), "%q is named twice", clip(id))
		}
		seen[id] = true
	}
}

func (c *checker) most(at string, n int) {
	if n > maxEach {
		c.add(at, "there may be at most %d, not %d", maxEach, n)
	}
}

func (c *checker) minutes(at string, m int64) { c.between(at, m, 0, network.MaxMinutes) }

func (c *checker) between(at string, v, lo, hi int64) {
	if v < lo || v > hi {
		c.add(at, "it lies between %d and %d, not %d", lo, hi, v)
	}
}

func (c *checker) kind(at string, k calendar.Kind) {
	if k != "" && k != calendar.Working && k != calendar.Elapsed {
		c.add(at, "a kind of time is working or elapsed")
	}
}

func (c *checker) date(at string, t *time.Time) {
	if t == nil {
		return
	}
	if y := t.UTC().Year(); y < network.MinYear || y > network.MaxYear-maxYears {
		c.add(at, "a date lies between the years %d and %d", network.MinYear, network.MaxYear-maxYears)
	}
}

func (c *checker) calendar(at string, spec *calendar.Spec) {
	if spec == nil {
		return
	}
	if _, err := calendar.NewAt(at, *spec); err != nil {
		if e := fault.As(err); e != nil && len(e.Fields) > 0 {
			for _, f := range e.Fields {
				c.add(f.Pointer, "%s", f.Detail)
			}
			return
		}
		c.add(at, "%s", err.Error())
	}
}

// clip shortens what an answer repeats of its question.
func clip(s string) string {
	if len(s) > maxIDBytes {
		return strings.ToValidUTF8(s[:maxIDBytes], "") + "…"
	}
	return s
}

// checkEffort refuses an effort outside its bounds.
func checkEffort(e Effort) error {
	c := &checker{}
	c.between("/effort/schedules", int64(e.Schedules), 1, maxSchedules)
	c.between("/effort/workers", int64(e.Workers), 0, maxWorkers)
	return c.faults.Err("levelling-invalid")
}
