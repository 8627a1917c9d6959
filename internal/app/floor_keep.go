package app

import (
	"context"
	"slices"
	"strings"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/levelling"
)

// KeepTrial saves what was tried under a name; nothing of it becomes real.
func (a *App) KeepTrial(ctx context.Context, actor domain.Actor, id domain.ID, name string) (Floor, error) {
	return a.onFloor(ctx, actor, "keepTrial", func(w *work) error {
		if _, err := w.Trial(id); err != nil {
			return err
		}
		saved, err := w.SavedTrials()
		if err != nil {
			return err
		}
		if len(saved) >= mostSaved {
			return fault.New(fault.Conflict, "too-many-trials", "At most %d are saved; drop one first.", mostSaved)
		}
		return w.NameTrial(id, strings.TrimSpace(name))
	})
}

// AdoptTrial makes real what was tried: starts, weights, room at stations, days
// closed and days away, and with them the plan that they gave, which the owner has
// seen beside the old one. It refuses, as fault.Conflict, what was tried on another
// floor than the present one ("floor-moved") and what nobody can decide here
// ("trial-not-real").
func (a *App) AdoptTrial(ctx context.Context, actor domain.Actor, id domain.ID) (Floor, error) {
	return a.onFloor(ctx, actor, "adoptTrial", func(w *work) error {
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
			return fault.New(fault.Conflict, "trial-not-real", "Somebody who is not there yet and a delivery that comes late cannot be decided on here; save it under a name instead.")
		}
		if !t.Current {
			return fault.New(fault.Conflict, "floor-moved", "The floor has changed since this was tried; try it again.")
		}
		return w.makeReal(b, t)
	})
}

// makeReal writes down each change, and the plan that was tried with them.
func (w *work) makeReal(b *floorBase, t WhatIf) error {
	if err := w.reshape(b, t.Changes); err != nil {
		return err
	}
	for _, c := range t.Changes {
		var err error
		switch c.Kind {
		case levelling.PinTask:
			err = w.pin(b, c)
			t.Said.pinned(c.Task, w.actor.Name)
		case levelling.WeighJob:
			err = w.weigh(c.Job, c.By)
		case levelling.JobFirst:
			err = w.weigh(c.Job, greatWeight)
		case levelling.PersonAway:
			err = w.away(c)
		}
		if err != nil {
			return err
		}
	}
	if err := w.setAside("What was tried and made real"); err != nil {
		return err
	}
	b, err := w.app.floorBaseOf(w, "") // with what was made real
	if err != nil {
		return err
	}
	plan, err := w.storedPlan(strings.Join(t.Words, " "), w.actor.Name, b.facts(), t.Said, t.Said.Result)
	if err != nil {
		return err
	}
	plan.State, plan.DecidedAt, plan.DecidedBy = domain.PlanAgreed, &w.now, w.actor.Name
	if err := w.hold(plan, w.AddShopPlan); err != nil {
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
	task := b.tasks.of(c.Task)
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

// reshape gives stations the room and the closed days that were tried.
func (w *work) reshape(b *floorBase, changes []levelling.Change) error {
	shop := b.shop
	stations := slices.Clone(shop.Settings.Stations)
	moved := false
	for _, c := range changes {
		i := slices.IndexFunc(stations, func(s domain.Station) bool { return s.Key == c.Station })
		switch {
		case i < 0:
			continue
		case c.Kind == levelling.AddCapacity:
			stations[i].Capacity += c.By
		case c.Kind == levelling.CloseStation:
			stations[i].Roster = stations[i].Roster.Without(domain.Day(c.From), domain.Day(c.To), decidedHere)
		}
		moved = true
	}
	if !moved {
		return nil
	}
	before := shop.Settings
	shop.Settings.Stations = stations
	shop.Version++
	if err := shop.Settings.Validate(); err != nil {
		return err
	}
	if err := shop.Settings.ValidateStations(shop.Calendar); err != nil {
		return err
	}
	if err := w.SaveShop(shop); err != nil {
		return err
	}
	w.events = append(w.events, Event{ShopID: shop.ID, What: "shop"})
	return w.trail("shop "+shop.ID, "", before, shop.Settings)
}

// decidedHere is noted on days that were closed or given off from the floor.
const decidedHere = "Decided on the floor"

// away gives somebody the days off that were tried.
func (w *work) away(c levelling.Change) error {
	before, err := w.Person(c.Person)
	if err != nil {
		return err
	}
	shop, err := w.Shop()
	if err != nil {
		return err
	}
	p := before
	p.Roster = before.Roster.Without(domain.Day(c.From), domain.Day(c.To), decidedHere)
	p.Version++
	if err := p.ValidateRoster(shop); err != nil {
		return err
	}
	if err := w.SavePerson(p); err != nil {
		return err
	}
	w.events = append(w.events, Event{ShopID: w.actor.ShopID, What: "people"})
	return w.trail("person "+p.ID, "", map[string]any{"roster": before.Roster}, map[string]any{"roster": p.Roster})
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
