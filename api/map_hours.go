package api

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func hoursEntry(l app.LoggedEntry) HoursEntry {
	e := l.Entry
	out := HoursEntry{
		ID: e.ID, JobID: e.JobID, JobNumber: l.JobNumber, TaskID: textOrNil(e.TaskID), TaskCode: textOrNil(l.TaskCode), TaskName: textOrNil(l.TaskName),
		Person: Named{ID: e.PersonID, Name: l.Person}, Kind: EntryKind(e.Kind), StartedAt: e.StartedAt.UTC(), FinishedAt: instantOrNil(e.FinishedAt),
		Minutes: e.Minutes(), HoursToGo: hoursOrNil(e.HoursToGo), Done: e.Done, Note: e.Note, Corrects: textOrNil(e.CorrectsID),
		Corrected: e.CorrectedBy != "", Void: e.Void, Reason: textOrNil(e.Reason), LoggedAt: e.LoggedAt.UTC(),
	}
	if e.WaitingCode != "" {
		code := WaitingCode(e.WaitingCode)
		out.WaitingCode = &code
	}
	return out
}

func targetFrom(task, job *ID, waiting *WaitingCode) app.Target {
	return app.Target{TaskID: orZero(task), JobID: orZero(job), Waiting: domain.WaitingCode(orZero(waiting))}
}

// stopFrom reads a stop that stands at a pointer of the request: "" for the
// stop itself, "/stop" inside a switch.
func stopFrom(b ClockStop, at string) (app.Stop, error) {
	var r reading
	s := app.Stop{HoursToGo: r.optionalDecimal(at+"/hours_to_go", b.HoursToGo), Done: b.Done, Note: orZero(b.Note), At: instantOrNil(b.At)}
	return s, r.err()
}

// switchFrom reads a switch. It happens at one instant, which may stand on
// either side.
func switchFrom(b ClockSwitch) (app.Stop, app.Target, error) {
	on := targetFrom(b.Start.TaskID, b.Start.JobID, b.Start.Waiting)
	stop, err := stopFrom(b.Stop, "/stop")
	if err != nil {
		return stop, on, err
	}
	start := instantOrNil(b.Start.At)
	switch {
	case stop.At == nil:
		stop.At = start
	case start != nil && !start.Equal(*stop.At):
		return stop, on, fault.InvalidField("switch-at-two-instants", "/start/at", "A switch happens at one instant; give the same to both, or to one.")
	}
	return stop, on, nil
}

func logFrom(b HoursLog) (app.Log, error) {
	var r reading
	l := app.Log{On: targetFrom(b.TaskID, b.JobID, b.Waiting), StartedAt: b.StartedAt.UTC(), FinishedAt: b.FinishedAt.UTC(),
		HoursToGo: r.optionalDecimal("/hours_to_go", b.HoursToGo), Done: b.Done, Note: orZero(b.Note)}
	return l, r.err()
}

func correctionFrom(b HoursCorrection) (app.Correction, error) {
	var r reading
	c := app.Correction{Void: b.Void, TaskID: orZero(b.TaskID), StartedAt: instantOrNil(b.StartedAt), FinishedAt: instantOrNil(b.FinishedAt),
		HoursToGo: r.optionalDecimal("/hours_to_go", b.HoursToGo), Done: b.Done, Reason: b.Reason}
	return c, r.err()
}

func taskCard(c app.Card) TaskCard {
	t := c.Task
	card := TaskCard{
		TaskID: t.ID, JobID: c.Job.ID, PhaseID: t.PhaseID, JobNumber: c.Job.Number, Vehicle: c.Job.Vehicle.Label(), Phase: c.Phase, Code: t.Code, Name: t.Name, Note: t.Note,
		Kind: TaskKind(t.Kind), Zone: t.Zone, Skill: t.Skill, Station: c.Station, Cautions: cautionViews(c.Job, t.Cautions),
		HoldPoint: t.HoldPoint, Released: t.ReleasedAt != nil, State: TaskState(c.Stand.State),
		SoldHours: hoursText(c.Stand.Sold), WorkedHours: hoursText(c.Stand.Worked), ToGoHours: hoursText(c.Stand.ToGo),
		Start: c.Start.UTC(), Finish: c.Finish.UTC(), Driving: c.Driving, Why: c.Why,
		Blocks: each(c.Blocks, func(b app.Block) Block { return Block{Code: b.Code, Detail: b.Detail} }),
	}
	if c.OrderNumber > 0 {
		card.OrderNumber = &c.OrderNumber
	}
	if p := c.Plan; p != nil {
		card.Plan = &CardPlan{Start: p.Start.UTC(), Finish: p.Finish.UTC(), Mine: p.Mine, With: p.With, Ready: c.Ready, Late: p.Late, Why: p.Why}
	}
	return card
}

func todayView(t app.Today) Today {
	out := Today{
		Roster: rosterView(t.Roster),
		Day:    Day(t.Day), MinutesToday: t.Minutes, Next: each(t.Next, taskCard), Entries: each(t.Entries, hoursEntry),
		Jobs: each(t.Jobs, func(j domain.Job) BenchJob {
			return BenchJob{ID: j.ID, Number: j.Number, Vehicle: j.Vehicle.Label(), Title: j.Title}
		}),
	}
	if p := t.Plan; p != nil {
		out.Plan = &BenchPlan{Revision: p.Revision, DecidedAt: p.DecidedAt, DecidedBy: p.DecidedBy, Others: each(t.Others, taskCard)}
	}
	if t.Unplanned != "" {
		out.PlanNote = &t.Unplanned
	}
	if t.Clock != nil {
		clock := hoursEntry(*t.Clock)
		out.Clock = &clock
	}
	if t.Card != nil {
		card := taskCard(*t.Card)
		out.ClockTask = &card
	}
	return out
}
