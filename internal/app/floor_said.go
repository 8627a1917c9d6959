package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// mostFinishedShown is how long a finished task stays in the picture.
const mostFinishedShown = 14 * 24 * time.Hour

// said puts what the engine answered into the shop's words.
func (b *floorBase) said(in levelling.Input, r levelling.Result) FloorSaid {
	why := map[string]levelling.Why{}
	for _, w := range levelling.Explain(in, r) {
		why[w.Task] = w
	}
	out := FloorSaid{Result: r, Jobs: []FloorJob{}, Bars: []FloorBar{}, Unplaced: []FloorUnplaced{}}
	driving, gone := map[string]bool{}, b.gone(in, r, why)
	for _, j := range r.Jobs {
		out.Jobs = append(out.Jobs, b.saidJob(j, gone))
		for _, t := range j.Chain {
			driving[t] = true
		}
	}
	for _, p := range r.Tasks {
		if a := b.actuals[p.Task]; a.finish != nil && b.now.Sub(*a.finish) > mostFinishedShown || p.Start.Equal(p.Finish) {
			continue
		}
		out.Bars = append(out.Bars, b.bar(p, why[p.Task], gone[p.Task].name, driving[p.Task]))
	}
	slices.SortStableFunc(out.Bars, func(x, y FloorBar) int { return cmp.Or(x.Start.Compare(y.Start), cmp.Compare(x.TaskID, y.TaskID)) })
	for _, u := range r.Unplaced {
		b.cannot(out.Jobs, u)
		out.Unplaced = append(out.Unplaced, FloorUnplaced{TaskID: u.Task, JobID: b.jobOf[u.Task].ID, Name: b.taskName(u.Task), Code: u.Code, Words: b.cannotWords(u)})
	}
	slices.SortStableFunc(out.Jobs, byRisk)
	return out
}

// cannot says of a job that part of it cannot be planned; the first task that
// waits for none that cannot is the reason.
func (b *floorBase) cannot(jobs []FloorJob, u levelling.Unplaced) {
	for i := range jobs {
		j := &jobs[i]
		if j.JobID != b.jobOf[u.Task].ID {
			continue
		}
		if !j.Unsure {
			j.Unsure, j.AtRisk, j.LateDays = true, true, 0
			j.Words = "No finish can be said, because part of it cannot be planned. " + b.cannotWords(u)
		}
	}
}

// cannotWords says why a task cannot be planned. The engine knows no word for whoever
// is free.
func (b *floorBase) cannotWords(u levelling.Unplaced) string {
	if len(b.people) == 0 && (u.Code == "nobody-has-skill" || u.Code == "too-few-people") {
		return fmt.Sprintf("%s needs somebody, and nobody is listed who works. Add who works among the people.", b.tasks.of(u.Task).Name)
	}
	return sentence(strings.ReplaceAll(u.Detail, "× "+anybody, "× anybody"))
}

// byRisk puts what is late first, the latest on top, then what is at risk.
func byRisk(x, y FloorJob) int {
	rank := func(j FloorJob) int {
		switch {
		case j.LateDays > 0, j.Unsure:
			return 0
		case j.AtRisk:
			return 1
		}
		return 2
	}
	return cmp.Or(cmp.Compare(rank(x), rank(y)), cmp.Compare(y.LateDays, x.LateDays), x.Finish.Compare(y.Finish), cmp.Compare(x.Number, y.Number))
}

// leastSpare is how many working days have to lie between finish and promise for
// a promise not to be at risk.
const leastSpare = 2

func (b *floorBase) saidJob(r levelling.JobResult, gone map[string]absence) FloorJob {
	job := b.jobWith(r.Job)
	j := FloorJob{JobID: r.Job, Number: job.Number, Car: job.Vehicle.Label(), Promise: job.Promise, Finish: r.Finish, Day: domain.DayOf(r.Finish, b.zone),
		Earliest: r.EarliestFinish, Chain: r.Chain, Lost: []FloorQueue{}}
	for _, q := range r.Lost {
		if q.Minutes > 0 {
			j.Lost = append(j.Lost, FloorQueue{q.Station, q.Skill, b.queueName(q.Station, q.Skill), q.Minutes, b.days(q.Minutes)})
		}
	}
	j.Words = b.jobWords(&j, gone)
	return j
}

func (b *floorBase) jobWords(j *FloorJob, gone map[string]absence) string {
	lost, longest := "", calendar.Minutes(0)
	if len(j.Lost) > 0 {
		lost, longest = fmt.Sprintf(" It waits %s for its turn: %s.", j.Lost[0].Days, j.Lost[0].Name), j.Lost[0].Minutes
	}
	for _, t := range j.Chain {
		if a := gone[t]; a.waited > longest {
			lost, longest = fmt.Sprintf(" It waits %s until %s is there.", b.days(a.waited), a.name), a.waited
		}
	}
	if j.Promise.IsZero() {
		return "Nothing is promised." + lost
	}
	end := j.Promise.End(b.zone)
	spare := b.workingDays(j.Finish, end)
	if j.Finish.After(end) {
		j.LateDays, j.AtRisk = max(1, b.workingDays(end, j.Finish)), true
		return fmt.Sprintf("%s later than promised.%s", upper(plural(j.LateDays, "working day")), lost)
	}
	j.AtRisk = spare < leastSpare
	if spare == 0 {
		return "On the day that was promised, with nothing to spare." + lost
	}
	return fmt.Sprintf("%s to spare.%s", upper(plural(spare, "working day")), lost)
}

func (b *floorBase) bar(p levelling.Placement, w levelling.Why, gone string, driving bool) FloorBar {
	t := b.tasks.of(p.Task)
	a := b.actuals[p.Task]
	out := FloorBar{TaskID: p.Task, JobID: b.jobOf[p.Task].ID, Code: t.Code, Name: t.Name, Kind: t.Kind, Start: p.Start, Finish: p.Finish, Pieces: p.Pieces,
		People: append([]domain.ID{}, p.People...), Stations: []string{}, Progress: "not_started", Driving: driving, Cause: string(w.Cause), Why: b.whyWords(w, p, gone)}
	if t.Station != "" && t.Kind != domain.Sublet {
		out.Stations = append(out.Stations, t.Station)
	}
	switch {
	case a.finish != nil:
		out.Progress = "finished"
	case a.start != nil:
		out.Progress = "in_progress"
	default:
		ready := w.Ready
		out.Ready, out.Waited = &ready, w.Waited
		_, out.Pinned = b.pins[p.Task]
	}
	return out
}

// whyWords says in a sentence what a task waited for.
func (b *floorBase) whyWords(w levelling.Why, p levelling.Placement, gone string) string {
	since := fmt.Sprintf("It could have started %s.", b.clock(w.Ready))
	switch w.Cause {
	case levelling.ByActual:
		return "It has begun."
	case levelling.ByPin:
		return fmt.Sprintf("%s decided on this start.", cmp.Or(b.pins[w.Task].ByName, "Somebody"))
	case levelling.ByQueue:
		return fmt.Sprintf("%s until %s: %s. %s", upper(b.queueName(w.Station, w.Skill)+" is taken"), b.clock(p.Start), b.taskList(w.By), since)
	case levelling.ByCalendar:
		if gone != "" {
			return fmt.Sprintf("%s is not there for as long as it needs before %s. %s", gone, b.clock(p.Start), since)
		}
		return fmt.Sprintf("Who and what it needs is there from %s on. %s", b.clock(p.Start), since)
	case levelling.ByLink:
		return fmt.Sprintf("It follows %s.", b.taskName(w.From))
	case levelling.ByDate:
		return fmt.Sprintf("It is not to start before %s.", b.clock(p.Start))
	case levelling.ByUnbroken:
		return "It waits so that what must follow it within a set time can. " + since
	}
	return "It is next."
}

func (b *floorBase) taskList(ids []string) string {
	const most = 3
	names := make([]string, 0, len(ids))
	for _, id := range ids {
		if len(names) == most {
			names = append(names, fmt.Sprintf("and %d more", len(ids)-most))
			break
		}
		names = append(names, b.taskName(id))
	}
	if len(names) == 0 {
		return "other work"
	}
	return strings.Join(names, ", ")
}

// taskName names a task with its job.
func (b *floorBase) taskName(id string) string {
	t, ok := b.tasks[id]
	if !ok {
		return "another task"
	}
	return fmt.Sprintf("%s %s (job %d)", t.Code, t.Name, b.jobOf[id].Number)
}

func (b *floorBase) jobWith(id domain.ID) domain.Job {
	for _, j := range b.jobs {
		if j.ID == id {
			return j
		}
	}
	return domain.Job{}
}

func (b *floorBase) queueName(station, skill string) string {
	if station != "" {
		for _, s := range b.shop.Settings.Stations {
			if s.Key == station {
				return s.Name
			}
		}
		return station
	}
	if skill == anybody || skill == "" {
		return "somebody free"
	}
	return strings.ReplaceAll(skill, "_", " ")
}

func (b *floorBase) days(m calendar.Minutes) string {
	if m < b.day {
		return plural(int((m+59)/60), "hour")
	}
	return plural(int((m+b.day/2)/b.day), "working day")
}

func (b *floorBase) clock(t time.Time) string {
	t = t.In(b.zone)
	if t.Year() != b.now.In(b.zone).Year() {
		return t.Format("Mon 2 Jan 2006 15:04")
	}
	return t.Format("Mon 2 Jan 15:04")
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// sentence makes one of an engine's words.
func sentence(s string) string {
	s = upper(s)
	if s != "" && !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}
