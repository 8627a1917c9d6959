package app

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/levelling"
)

// A trial is the floor planned with something changed. Moving a task is a trial
// too: what it does to every promise is seen before it is kept.

const (
	trialSchedules = 100
	reliefPlans    = 20
	// trialTime bounds what a person waits for; a trial that needs longer answers
	// with the best that it has.
	trialTime   = 2 * time.Second
	trialsStay  = 24 * time.Hour
	mostSaved   = 50
	mostWeight  = 9
	greatWeight = 9
)

// WhatIf is what would be.
type WhatIf struct {
	domain.FloorTrial
	Changes []levelling.Change
	Words   []string
	// Real: it only moves tasks and weighs jobs, so keeping it makes it so.
	Real    bool
	Current bool // the floor is still as it was when this was tried
	Said    FloorSaid
	Before  int64 // weighted late minutes of the plan that holds
}

type trialBody struct {
	Said   FloorSaid `json:"said"`
	Before int64     `json:"before"`
}

// TryFloor plans the floor with changes made and sets every promise beside the plan that
// holds. It refuses, as fault.Invalid "change-invalid", what names something that is not
// there; with a pin that contradicts, or a day that nothing can be done on, the task
// stands among the unplaced with its reason.
func (a *App) TryFloor(ctx context.Context, actor domain.Actor, changes []levelling.Change) (WhatIf, error) {
	var b *floorBase
	var holds *FloorPlan
	err := a.view(ctx, actor, "tryFloor", func(r Reader) (err error) {
		if b, err = a.floorBaseOf(r, ""); err != nil {
			return err
		}
		holds, err = planRead(r.AgreedPlan())
		return err
	})
	if err != nil {
		return WhatIf{}, err
	}
	if holds == nil {
		return WhatIf{}, fault.New(fault.Conflict, "no-plan", "There is no plan to set this beside; plan the floor first.")
	}
	in := b.input(holds.Said.Result.Tasks)
	if err := b.checkChanges(changes); err != nil {
		return WhatIf{}, err
	}
	changed, err := levelling.Apply(in, changes)
	if err != nil {
		return WhatIf{}, err
	}
	soon, stop := context.WithTimeout(ctx, trialTime)
	defer stop()
	r, err := levelling.Solve(soon, changed, a.effort(trialSchedules), nil)
	if err != nil {
		return WhatIf{}, err
	}
	said := b.said(changed, r)
	compare(said.Jobs, holds.Said.Jobs, b)
	return a.keepTrying(ctx, actor, b, holds, changes, said)
}

// checkChanges refuses what the engine would take and the shop cannot.
func (b *floorBase) checkChanges(changes []levelling.Change) error {
	var c fault.Collector
	for i, change := range changes {
		at := fmt.Sprintf("/changes/%d", i)
		switch change.Kind {
		case levelling.WeighJob:
			if change.By > mostWeight {
				c.Add(at+"/by", "A job weighs 1 to %d.", mostWeight)
			}
		case levelling.CloseStation, levelling.PersonAway:
			if change.From == "" || change.To < change.From {
				c.Add(at+"/to", "Give the first and the last day, in this order.")
			}
		case levelling.PinTask, levelling.TaskNotBefore:
			if t, ok := b.tasks[change.Task]; ok && b.actuals[change.Task].start != nil {
				c.Add(at+"/task", "%s has begun; what has begun stays where it is.", t.Name)
			}
			if change.Kind == levelling.PinTask && change.At != nil && change.At.Before(b.now) {
				c.Add(at+"/at", "A start lies in the future.")
			}
		case levelling.AddCapacity:
			if change.By < 1 {
				c.Add(at+"/by", "Say how many more, at least one.")
			}
		}
	}
	return c.Err("change-invalid")
}

func (a *App) keepTrying(ctx context.Context, actor domain.Actor, b *floorBase, holds *FloorPlan, changes []levelling.Change, said FloorSaid) (WhatIf, error) {
	t := WhatIf{Changes: changes, Said: said, Before: holds.Said.Result.Cost.Late, Current: true}
	var err error
	if t.FloorTrial.Changes, err = json.Marshal(changes); err != nil {
		return t, err
	}
	if t.Body, err = json.Marshal(trialBody{said, t.Before}); err != nil {
		return t, err
	}
	err = a.change(ctx, actor, "tryFloor", func(w *work) error {
		if err := w.RemoveTrialsBefore(w.now.Add(-trialsStay)); err != nil {
			return err
		}
		t.ID, t.PlanID, t.Facts, t.MadeAt, t.MadeBy = a.newID(), holds.ID, b.facts(), w.now, w.actor.Name
		return w.AddTrial(t.FloorTrial)
	})
	t.Words, t.Real = b.changeWords(changes)
	return t, err
}

// changeWords says each change in a sentence, and whether all of them can be made
// real from the floor.
func (b *floorBase) changeWords(changes []levelling.Change) (words []string, real bool) {
	real = true
	person := func(id domain.ID) string {
		for _, p := range b.people {
			if p.ID == id {
				return p.Name
			}
		}
		return "somebody"
	}
	for _, c := range changes {
		switch c.Kind {
		case levelling.AddPerson:
			words = append(words, fmt.Sprintf("One more who can do: %s. Make it so among the people.", c.Skill))
		case levelling.AddCapacity:
			words = append(words, fmt.Sprintf("%s: room for %d more. Make it so in the settings.", b.queueName(c.Station, ""), c.By))
		case levelling.CloseStation:
			words = append(words, fmt.Sprintf("%s closed from %s to %s. Make it so in the settings.", b.queueName(c.Station, ""), domain.Day(c.From).Long(), domain.Day(c.To).Long()))
		case levelling.PersonAway:
			words = append(words, fmt.Sprintf("%s away from %s to %s. Make it so among the people.", person(c.Person), domain.Day(c.From).Long(), domain.Day(c.To).Long()))
		case levelling.WeighJob:
			words = append(words, fmt.Sprintf("Job %d weighs %d.", b.jobWith(c.Job).Number, c.By))
		case levelling.JobFirst:
			words = append(words, fmt.Sprintf("Job %d first.", b.jobWith(c.Job).Number))
		case levelling.TaskNotBefore:
			words = append(words, fmt.Sprintf("%s not before %s. Make it so where it was ordered, or on the task.", b.taskName(c.Task), b.clock(timeOr(c.At))))
		case levelling.PinTask:
			words = append(words, fmt.Sprintf("%s starts %s.", b.taskName(c.Task), b.clock(timeOr(c.At))))
		}
		real = real && slices.Contains([]levelling.ChangeKind{levelling.WeighJob, levelling.JobFirst, levelling.PinTask}, c.Kind)
	}
	return words, real
}

func timeOr(t *time.Time) time.Time {
	if t == nil {
		return time.Time{}
	}
	return *t
}

// WhatIfs lists what was saved, newest first.
func (a *App) WhatIfs(ctx context.Context, actor domain.Actor) (out []WhatIf, err error) {
	err = a.view(ctx, actor, "listTrials", func(r Reader) error {
		b, err := a.floorBaseOf(r, "")
		if err != nil {
			return err
		}
		saved, err := r.SavedTrials()
		for _, s := range saved {
			t, err := b.trialRead(s)
			if err != nil {
				return err
			}
			out = append(out, t)
		}
		return err
	})
	return out, err
}

func (b *floorBase) trialRead(s domain.FloorTrial) (WhatIf, error) {
	t := WhatIf{FloorTrial: s, Current: s.Facts == b.facts()}
	if err := json.Unmarshal(s.Changes, &t.Changes); err != nil {
		return t, err
	}
	var body trialBody
	if err := json.Unmarshal(s.Body, &body); err != nil {
		return t, err
	}
	t.Said, t.Before = body.Said, body.Before
	t.Words, t.Real = b.changeWords(t.Changes)
	return t, nil
}

// KeepTrial makes moves and weights real, with the plan that they gave; anything else
// is saved under a name. What was tried on another floor than the present one is not
// made real: fault.Conflict "floor-moved".
func (a *App) KeepTrial(ctx context.Context, actor domain.Actor, id domain.ID, name string) (Floor, error) {
	return a.onFloor(ctx, actor, "keepTrial", func(w *work) error {
		stored, err := w.Trial(id)
		if err != nil {
			return err
		}
		b, err := a.floorBaseOf(w, "")
		if err != nil {
			return err
		}
		t, err := b.trialRead(stored)
		if err != nil {
			return err
		}
		if !t.Real {
			saved, err := w.SavedTrials()
			if err != nil {
				return err
			}
			if len(saved) >= mostSaved {
				return fault.New(fault.Conflict, "too-many-trials", "At most %d are saved; drop one first.", mostSaved)
			}
			return w.NameTrial(id, strings.TrimSpace(name))
		}
		if !t.Current {
			return fault.New(fault.Conflict, "floor-moved", "The floor has changed since this was tried; try it again.")
		}
		return w.makeReal(b, t)
	})
}

// makeReal keeps pins and weights, and the plan that was tried with them.
func (w *work) makeReal(b *floorBase, t WhatIf) error {
	for _, c := range t.Changes {
		switch c.Kind {
		case levelling.PinTask:
			if err := w.pin(b, c); err != nil {
				return err
			}
			t.Said.pinned(c.Task, w.actor.Name)
		case levelling.WeighJob:
			if err := w.weigh(c.Job, c.By); err != nil {
				return err
			}
		case levelling.JobFirst:
			if err := w.weigh(c.Job, greatWeight); err != nil {
				return err
			}
		}
	}
	var err error
	if err := w.setAside("A move that was kept"); err != nil {
		return err
	}
	if b, err = w.app.floorBaseOf(w, ""); err != nil { // with the pins and weights
		return err
	}
	plan, err := w.storedPlan(strings.Join(t.Words, " "), w.actor.Name, b.facts(), t.Said, t.Said.Result)
	if err != nil {
		return err
	}
	plan.State, plan.DecidedAt, plan.DecidedBy = domain.PlanAgreed, &w.now, w.actor.Name
	if err := w.AddShopPlan(plan); err != nil {
		return err
	}
	if err := w.RemoveTrial(t.ID); err != nil {
		return err
	}
	return w.trail("floor plan "+plan.ID, "", nil, map[string]any{"revision": plan.Revision, "kept": t.Words})
}

// pinned notes who decided on a start; while it was only tried, nobody had.
func (s *FloorSaid) pinned(task domain.ID, by string) {
	for i := range s.Bars {
		if b := &s.Bars[i]; b.TaskID == task {
			b.Pinned = true
			if b.Cause == string(levelling.ByPin) {
				b.Why = by + " decided on this start."
			}
		}
	}
}

func (w *work) pin(b *floorBase, c levelling.Change) error {
	task := b.tasks[c.Task]
	return w.SavePin(domain.FloorPin{TaskID: task.ID, JobID: b.jobOf[task.ID].ID, Start: timeOr(c.At), People: c.People, ByName: w.actor.Name, At: w.now})
}

func (w *work) weigh(id domain.ID, weight int) error {
	job, err := w.Job(id)
	if err != nil {
		return err
	}
	before := map[string]int{"weight": job.Weight}
	job.Weight = weight
	job.Version++
	if err := w.SaveJob(job); err != nil {
		return err
	}
	w.tell(job, "job")
	return w.trail("job "+job.ID, job.ID, before, map[string]int{"weight": weight})
}

// DropTrial forgets what was tried.
func (a *App) DropTrial(ctx context.Context, actor domain.Actor, id domain.ID) error {
	return a.change(ctx, actor, "dropTrial", func(w *work) error {
		if _, err := w.Trial(id); err != nil {
			return err
		}
		return w.RemoveTrial(id)
	})
}

// UnpinTask lets the plan decide again when a task starts, and asks for a new one.
func (a *App) UnpinTask(ctx context.Context, actor domain.Actor, taskID domain.ID) (Floor, error) {
	return a.onFloor(ctx, actor, "unpinTask", func(w *work) error {
		b, err := a.floorBaseOf(w, "")
		if err != nil {
			return err
		}
		task, ok := b.tasks[taskID]
		if !ok {
			return fault.New(fault.NotFound, "task-not-found", "There is no such task on the floor.")
		}
		pins, err := w.Pins()
		if err != nil {
			return err
		}
		i := slices.IndexFunc(pins, func(p domain.FloorPin) bool { return p.TaskID == task.ID })
		if i < 0 {
			return nil
		}
		if err := w.RemovePin(task.ID); err != nil {
			return err
		}
		if err := w.askForPlan("A start that was decided on was taken back.", w.actor.PersonID, w.actor.Name); err != nil {
			return err
		}
		return w.trail("task "+task.ID, b.jobOf[task.ID].ID, map[string]any{"pinned_to": pins[i].Start}, nil)
	})
}

// Relieved is what one more of a station or a skill would save.
type Relieved struct {
	Station, Skill, Name string
	Minutes              calendar.Minutes // elapsed, over all jobs
	Days                 string           // the same in days
	Words                string
	Jobs                 []RelievedJob
}

// RelievedJob is by how many elapsed days a job finishes earlier; negative when later.
type RelievedJob struct {
	JobID  domain.ID
	Number int
	Days   string
}

// Relief says for each station and skill what one more would save, most first.
func (a *App) Relief(ctx context.Context, actor domain.Actor) ([]Relieved, error) {
	var b *floorBase
	var holds *FloorPlan
	err := a.view(ctx, actor, "getRelief", func(r Reader) (err error) {
		if b, err = a.floorBaseOf(r, ""); err != nil {
			return err
		}
		holds, err = planRead(r.AgreedPlan())
		return err
	})
	if err != nil {
		return nil, err
	}
	var previous []levelling.Placement
	if holds != nil {
		previous = holds.Said.Result.Tasks
	}
	in := b.input(previous)
	soon, stop := context.WithTimeout(ctx, 2*trialTime)
	defer stop()
	now, err := levelling.Solve(soon, in, a.effort(trialSchedules), nil)
	if err != nil {
		return nil, err
	}
	gains, err := levelling.Relief(soon, in, now, a.effort(reliefPlans))
	if err != nil {
		return nil, err
	}
	out := make([]Relieved, 0, len(gains))
	for _, g := range gains {
		out = append(out, b.relieved(g, now))
	}
	slices.SortStableFunc(out, func(x, y Relieved) int { return cmp.Compare(y.Minutes, x.Minutes) })
	return out, nil
}

func (b *floorBase) relieved(g levelling.Gain, now levelling.Result) Relieved {
	out := Relieved{Station: g.Station, Skill: g.Skill, Name: b.queueName(g.Station, g.Skill), Jobs: []RelievedJob{}}
	for i, m := range g.Jobs {
		if days := elapsedDays(m); days != "0.0" {
			out.Jobs = append(out.Jobs, RelievedJob{now.Jobs[i].Job, b.jobWith(now.Jobs[i].Job).Number, days})
		}
		out.Minutes += m
	}
	out.Days, out.Words = elapsedDays(out.Minutes), "It would save nothing."
	if out.Minutes > 0 && out.Days != "0.0" {
		out.Words = fmt.Sprintf("It would save %s days over all jobs.", out.Days)
	}
	return out
}

// elapsedDays writes minutes as days with one place.
func elapsedDays(m calendar.Minutes) string {
	sign := ""
	if m < 0 {
		sign, m = "-", -m
	}
	const day = 24 * 60
	tenths := (10*m + day/2) / day
	if tenths == 0 {
		sign = ""
	}
	return fmt.Sprintf("%s%d.%d", sign, tenths/10, tenths%10)
}
