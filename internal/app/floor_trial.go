package app

import (
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
	mostTried   = 50 // that are not saved: of thirty cars one takes most of a megabyte
	mostSaved   = 50
	mostWeight  = 9
	greatWeight = 9
)

// WhatIf is what would be.
type WhatIf struct {
	domain.FloorTrial
	Changes []levelling.Change
	Words   []string
	// Real: all of it is the owner's to decide here and now. Nobody is hired by it, and
	// a delivery comes when it comes.
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
	b, holds, err := a.floorNow(ctx, actor, "tryFloor")
	if err != nil {
		return WhatIf{}, err
	}
	if holds == nil {
		return WhatIf{}, fault.New(fault.Conflict, "no-plan", "There is no plan to set this beside; plan the floor first.")
	}
	in := b.input(holds.placements())
	if err := b.checkChanges(changes); err != nil {
		return WhatIf{}, err
	}
	changed, err := levelling.Apply(in, asTheShop(changes))
	if err != nil {
		return WhatIf{}, err
	}
	if err := thereAgain(changed, changes); err != nil {
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
	return a.keepTrying(ctx, actor, b, holds, changes, said, lateBefore(holds, in, changed))
}

// lateBefore is how late the plan that holds is by the weights of a trial, so that a
// heavier job is not later by its weight alone.
func lateBefore(holds *heldPlan, in, changed levelling.Input) int64 {
	more := map[string]int64{}
	for i, j := range changed.Jobs {
		more[j.ID] = int64(j.Weight - in.Jobs[i].Weight)
	}
	late := holds.Said.Result.Cost.Late
	for _, j := range holds.Said.Result.Jobs {
		late += more[j.Job] * int64(j.LateMinutes)
	}
	return late
}

// thereAgain refuses what leaves a station or somebody without any hours for more than
// a year, at the last change that did.
func thereAgain(changed levelling.Input, changes []levelling.Change) error {
	shut := map[string]bool{}
	note := func(id string, spec *calendar.Spec) {
		if spec != nil {
			_, err := calendar.New(*spec)
			shut[id] = err != nil
		}
	}
	for _, p := range changed.People {
		note(p.ID, p.Calendar)
	}
	for _, s := range changed.Stations {
		note(s.ID, s.Calendar)
	}
	for i, c := range slices.Backward(changes) {
		if (c.Kind == levelling.CloseStation || c.Kind == levelling.PersonAway) && shut[c.Station+c.Person] {
			return fault.InvalidField("change-invalid", fmt.Sprintf("/changes/%d/to", i),
				"With this there would be no working time for more than a year; give an earlier last day.")
		}
	}
	return nil
}

// asTheShop tries what could be made real: first means the greatest weight that a
// shop gives, and not the engine's.
func asTheShop(changes []levelling.Change) []levelling.Change {
	out := slices.Clone(changes)
	for i, c := range out {
		if c.Kind == levelling.JobFirst {
			out[i] = levelling.Change{Kind: levelling.WeighJob, Job: c.Job, By: greatWeight}
		}
	}
	return out
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
			b.checkDays(change, at, &c)
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

// mostClosed bounds how long somebody is away or a station closed in a what-if.
const mostClosed = 366 // days

func (b *floorBase) checkDays(change levelling.Change, at string, c *fault.Collector) {
	from, errFrom := domain.ParseDay(change.From)
	to, errTo := domain.ParseDay(change.To)
	switch {
	case errFrom != nil:
		c.Add(at+"/from", "Give the first day.")
	case errTo != nil || to < from:
		c.Add(at+"/to", "Give the first and the last day, in this order.")
	case from.AddDays(mostClosed) < to:
		c.Add(at+"/to", "A what-if closes at most %d days.", mostClosed)
	}
}

func (a *App) keepTrying(ctx context.Context, actor domain.Actor, b *floorBase, holds *heldPlan, changes []levelling.Change, said FloorSaid, before int64) (WhatIf, error) {
	t := WhatIf{Changes: changes, Said: said, Before: before, Current: true}
	var err error
	if t.FloorTrial.Changes, err = json.Marshal(changes); err != nil {
		return t, err
	}
	if t.Body, err = json.Marshal(trialBody{said, t.Before}); err != nil {
		return t, err
	}
	err = a.change(ctx, actor, "tryFloor", func(w *work) error {
		if err := w.ForgetTrials(w.now.Add(-trialsStay), mostTried-1); err != nil {
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
			words = append(words, fmt.Sprintf("One more who can do: %s. Make it so among the people.", strings.ReplaceAll(c.Skill, "_", " ")))
		case levelling.AddCapacity:
			words = append(words, fmt.Sprintf("%s: room for %d more.", b.queueName(c.Station, ""), c.By))
		case levelling.CloseStation:
			words = append(words, fmt.Sprintf("%s closed from %s to %s.", b.queueName(c.Station, ""), domain.Day(c.From).Long(), domain.Day(c.To).Long()))
		case levelling.PersonAway:
			words = append(words, fmt.Sprintf("%s away from %s to %s.", person(c.Person), domain.Day(c.From).Long(), domain.Day(c.To).Long()))
		case levelling.WeighJob:
			words = append(words, fmt.Sprintf("Job %d weighs %d.", b.jobWith(c.Job).Number, c.By))
		case levelling.JobFirst:
			words = append(words, fmt.Sprintf("Job %d's promise before all others: it weighs %d, the most there is.", b.jobWith(c.Job).Number, greatWeight))
		case levelling.TaskNotBefore:
			words = append(words, fmt.Sprintf("%s not before %s. Make it so where it was ordered, or on the task.", b.taskName(c.Task), domain.DayOf(timeOr(c.At), b.zone).Long()))
		case levelling.PinTask:
			words = append(words, fmt.Sprintf("%s starts %s.", b.taskName(c.Task), b.clock(timeOr(c.At))))
		}
		real = real && c.Kind != levelling.AddPerson && c.Kind != levelling.TaskNotBefore
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
	t := WhatIf{FloorTrial: s}
	if err := json.Unmarshal(s.Changes, &t.Changes); err != nil {
		return t, err
	}
	var body trialBody
	if err := json.Unmarshal(s.Body, &body); err != nil {
		return t, err
	}
	t.Said, t.Before = body.Said, body.Before
	t.Current = s.Facts == b.facts() && !b.overtaken(s.MadeAt, t.Said.Result.Tasks)
	t.Words, t.Real = b.changeWords(t.Changes)
	return t, nil
}
