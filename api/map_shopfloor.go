package api

import (
	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

func shopFloorView(f app.Floor) ShopFloor {
	out := ShopFloor{Now: f.Now, Current: f.Current, Overtaken: f.Overtaken, Opening: each(f.Opening, spanView), Plan: floorPlanOrNil(f.Plan), Proposed: floorPlanOrNil(f.Proposed),
		People: each(f.People, func(p domain.Person) FloorPerson { return FloorPerson{ID: p.ID, Name: p.Name, Skills: texts(p.Skills)} }),
		Skills: texts(f.Skills),
		Stations: each(f.Shop.Settings.Stations, func(s domain.Station) FloorStation {
			return FloorStation{Key: s.Key, Name: s.Name, Capacity: s.Capacity}
		})}
	if r := f.Run; r != nil {
		out.Run = &FloorRun{State: RunState(r.State), Cause: r.Cause, ByName: r.ByName, AskedAt: r.AskedAt, EndedAt: instantOrNil(r.EndedAt),
			Schedules: r.Schedules, OfSchedules: r.OfSchedules, Note: r.Note}
	}
	return out
}

func spanView(s calendar.Span) FloorOpening {
	return FloorOpening{From: s.From.UTC(), To: s.To.UTC()}
}

func floorPlanOrNil(p *app.FloorPlan) *FloorPlan {
	if p == nil {
		return nil
	}
	return &FloorPlan{ID: p.ID, Revision: p.Revision, MadeAt: p.MadeAt, MadeBy: p.MadeBy, Cause: p.Cause, State: PlanState(p.State), Status: p.Status,
		Schedules: p.Schedules, LateWeightedMinutes: int(p.Late), BoundWeightedMinutes: int(p.Bound), DecidedAt: instantOrNil(p.DecidedAt), DecidedBy: textOrNil(p.DecidedBy),
		Jobs: each(p.Said.Jobs, floorJobView), Bars: each(p.Said.Bars, floorBarView), Unplaced: each(p.Said.Unplaced, floorUnplacedView)}
}

func floorJobView(j app.FloorJob) FloorJob {
	out := FloorJob{JobID: j.JobID, Number: j.Number, Car: j.Car, Promise: dayOrNil(j.Promise), Finish: j.Finish.UTC(), FinishDay: Day(j.Day), EarliestFinish: j.Earliest.UTC(),
		LateDays: j.LateDays, AtRisk: j.AtRisk, Unsure: j.Unsure, Words: j.Words, Chain: texts(j.Chain), Lost: each(j.Lost, func(q app.FloorQueue) FloorQueue {
			return FloorQueue{Station: textOrNil(q.Station), Skill: textOrNil(q.Skill), Name: q.Name, Minutes: int(q.Minutes), Days: q.Days}
		})}
	if !j.Before.IsZero() {
		out.Before = instantOrNil(&j.Before)
		if !j.Unsure {
			out.MovedDays = &j.Moved
		}
	}
	return out
}

func floorBarView(b app.FloorBar) FloorBar {
	out := FloorBar{TaskID: b.TaskID, JobID: b.JobID, Code: b.Code, Name: b.Name, Kind: TaskKind(b.Kind), Start: b.Start.UTC(), Finish: b.Finish.UTC(),
		People: texts(b.People), Stations: texts(b.Stations), Progress: BarProgress(b.Progress), Pinned: b.Pinned, Driving: b.Driving, Cause: b.Cause, Why: b.Why,
		Ready: instantOrNil(b.Ready), WaitedMinutes: int(b.Waited)}
	if len(b.Pieces) > 0 {
		pieces := each(b.Pieces, spanView)
		out.Pieces = &pieces
	}
	return out
}

func floorUnplacedView(u app.FloorUnplaced) FloorUnplaced {
	return FloorUnplaced{TaskID: u.TaskID, JobID: u.JobID, Name: u.Name, Code: u.Code, Words: u.Words}
}

func floorChangeIn(c FloorChange) levelling.Change {
	out := levelling.Change{Kind: levelling.ChangeKind(c.Kind), Skill: orZero(c.Skill), Person: orZero(c.Person), Station: orZero(c.Station), Job: orZero(c.Job),
		Task: orZero(c.Task), By: orZero(c.By), At: instantOrNil(c.At), From: orZero(c.From), To: orZero(c.To)}
	if c.People != nil {
		out.People = *c.People
	}
	return out
}

func floorChangeView(c levelling.Change) FloorChange {
	out := FloorChange{Kind: FloorChangeKind(c.Kind), Skill: textOrNil(c.Skill), Person: textOrNil(c.Person), Station: textOrNil(c.Station), Job: textOrNil(c.Job),
		Task: textOrNil(c.Task), At: instantOrNil(c.At), From: textOrNil(c.From), To: textOrNil(c.To)}
	if c.By != 0 {
		out.By = &c.By
	}
	if len(c.People) > 0 {
		out.People = &c.People
	}
	return out
}

func trialView(t app.WhatIf) Trial {
	return Trial{ID: t.ID, Name: t.Name, MadeAt: t.MadeAt, MadeBy: t.MadeBy, Changes: each(t.Changes, floorChangeView), Words: texts(t.Words), Real: t.Real, Current: t.Current,
		Jobs: each(t.Said.Jobs, floorJobView), Unplaced: each(t.Said.Unplaced, floorUnplacedView), LateBefore: int(t.Before), LateAfter: int(t.Said.Result.Cost.Late)}
}

func reliefView(g app.Relieved) Relief {
	return Relief{Station: textOrNil(g.Station), Skill: textOrNil(g.Skill), Name: g.Name, DaysSaved: g.Days, Places: g.Places, Words: g.Words,
		Jobs: each(g.Jobs, func(j app.RelievedJob) ReliefJob {
			return ReliefJob{JobID: j.JobID, Number: j.Number, Days: j.Days}
		})}
}
