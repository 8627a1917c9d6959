package app

import (
	"context"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

// mostTasks bounds the tasks of one job.
const mostTasks = 1000

// AddTask adds a task, finish-start after and before others. Added after
// acceptance it lies outside the authorised scope.
func (a *App) AddTask(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, t domain.Task, after, before []domain.ID) (JobPage, error) {
	return a.edit(ctx, actor, "addTask", jobID, made, func(w *work, ed *editing) error {
		if len(ed.e.Tasks) >= mostTasks {
			return fault.New(fault.Conflict, "too-many-tasks", "A job has at most %d tasks.", mostTasks)
		}
		if err := ed.optionStands("", t.OptionID); err != nil {
			return err
		}
		t.ID, t.JobID, t.Scope = a.newID(), jobID, ed.newScope()
		t.Position = domain.NextPosition(ed.e.Tasks, func(x domain.Task) int { return x.Position })
		if err := ed.fits(t); err != nil {
			return err
		}
		var links []domain.Link
		for _, id := range after {
			links = append(links, a.finishStart(jobID, id, t.ID))
		}
		for _, id := range before {
			links = append(links, a.finishStart(jobID, t.ID, id))
		}
		ed.e.Tasks = append(ed.e.Tasks, t)
		for _, l := range links {
			if err := l.Validate(ed.e); err != nil {
				return err
			}
			ed.e.Links = append(ed.e.Links, l)
		}
		if err := w.AddTasks([]domain.Task{t}); err != nil {
			return err
		}
		if err := w.AddTaskLinks(links); err != nil {
			return err
		}
		return w.trail("task "+t.ID, jobID, nil, map[string]any{"task": t, "links": links})
	})
}

func (a *App) finishStart(jobID, from, to domain.ID) domain.Link {
	return domain.Link{ID: a.newID(), JobID: jobID, FromID: from, ToID: to, Type: network.FS, LagHours: decimal.Zero, LagKind: calendar.Working}
}

// fits checks a task against the shop and the rest of the estimate.
func (ed *editing) fits(t domain.Task) error {
	if _, ok := ed.e.Phase(t.PhaseID); !ok {
		return fault.InvalidField("phase-not-found", "/phase_id", "This job has no such phase.")
	}
	if err := ed.e.ValidateCode(t.ID, t.Code); err != nil {
		return err
	}
	if err := t.ValidateGate(ed.e); err != nil {
		return err
	}
	return t.Validate(ed.shop)
}

// ChangeTask edits a task. Of a sold task, what was sold stays: hours, kind,
// skill, crew, helpers, tax class, and whether the firm part of the price ends at it.
// What it asks of the floor is replaced by floor; nil leaves it as it is.
func (a *App) ChangeTask(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition, t domain.Task, floor *domain.Floor) (JobPage, error) {
	return a.edit(ctx, actor, "changeTask", jobID, made, func(w *work, ed *editing) error {
		stored, ok := ed.e.Task(id)
		if !ok {
			return taskNotFound()
		}
		before := *stored
		keepHistory(&t, before)
		if t.Floor = before.Floor; floor != nil {
			t.Floor = *floor
		}
		if err := ed.optionStands(before.OptionID, t.OptionID); err != nil {
			return err
		}
		if before.Scope == domain.Authorised && changesWhatWasSold(before, t) {
			return sold(before.Scope, before.Describe())
		}
		if err := ed.fits(t); err != nil {
			return err
		}
		if err := w.SaveTask(t); err != nil {
			return err
		}
		if t.PhaseID != before.PhaseID {
			if err := w.moveLines(ed.e, t); err != nil {
				return err
			}
		}
		return w.trail("task "+id, jobID, before, t)
	})
}

func keepHistory(t *domain.Task, before domain.Task) {
	t.ID, t.JobID, t.Position, t.Scope, t.OrderID = before.ID, before.JobID, before.Position, before.Scope, before.OrderID
	t.OpenedBy, t.OpenedAt, t.OpenedAs = before.OpenedBy, before.OpenedAt, before.OpenedAs
	t.ReleasedBy, t.ReleasedAt, t.ReleaseNote = before.ReleasedBy, before.ReleasedAt, before.ReleaseNote
	t.Follows = before.Follows && t.Kind == before.Kind && t.Code == before.Code && sameHours(t.Hours, before.Hours)
}

func changesWhatWasSold(a, b domain.Task) bool {
	return !a.Hours.Low.Equal(b.Hours.Low) || !a.Hours.Likely.Equal(b.Hours.Likely) || !a.Hours.High.Equal(b.Hours.High) ||
		a.StripGate != b.StripGate || a.Kind != b.Kind || !a.SameCrew(b) || a.TaxClass != b.TaxClass
}

// moveLines takes a task's lines along into its new phase.
func (w *work) moveLines(e domain.Estimate, t domain.Task) error {
	for _, l := range e.Lines {
		if l.TaskID == t.ID {
			l.PhaseID = t.PhaseID
			if err := w.SaveLine(l); err != nil {
				return err
			}
		}
	}
	return nil
}

func taskNotFound() error {
	return fault.New(fault.NotFound, "task-not-found", "This job has no such task.")
}

// RemoveTask takes a task that was not sold and has no hours out of the
// estimate, with its lines; what it followed is linked to what followed it.
func (a *App) RemoveTask(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition) (JobPage, error) {
	return a.edit(ctx, actor, "removeTask", jobID, made, func(w *work, ed *editing) error {
		t, ok := ed.e.Task(id)
		if !ok {
			return taskNotFound()
		}
		if err := sold(t.Scope, t.Describe()); err != nil {
			return err
		}
		entries, err := w.TaskEntries(id)
		if err != nil {
			return err
		}
		if len(entries) > 0 {
			return fault.New(fault.Conflict, "task-has-hours", "%s has hours in the record, so it stays.", t.Describe())
		}
		for _, l := range ed.e.Lines {
			if l.TaskID == id {
				if err := w.RemoveLine(l.ID, w.now); err != nil {
					return err
				}
			}
		}
		bridge := a.bridge(ed.e, *t)
		if err := w.RemoveTask(id, w.now); err != nil {
			return err
		}
		if err := w.AddTaskLinks(bridge); err != nil {
			return err
		}
		return w.trail("task "+id, jobID, *t, nil)
	})
}

// bridge links what a task followed to what followed it, finish-start, where
// they are not linked already.
func (a *App) bridge(e domain.Estimate, gone domain.Task) []domain.Link {
	var out []domain.Link
	for _, in := range e.Links {
		for _, next := range e.Links {
			if in.ToID != gone.ID || next.FromID != gone.ID || in.FromID == next.ToID {
				continue
			}
			l := a.finishStart(gone.JobID, in.FromID, next.ToID)
			same := func(o domain.Link) bool { return o.FromID == l.FromID && o.ToID == l.ToID && o.Type == l.Type }
			if !slices.ContainsFunc(e.Links, same) && !slices.ContainsFunc(out, same) {
				out = append(out, l)
			}
		}
	}
	return out
}

// AddTaskLink links two tasks. A circle is refused and named.
func (a *App) AddTaskLink(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, l domain.Link) (JobPage, error) {
	return a.edit(ctx, actor, "addLink", jobID, made, func(w *work, ed *editing) error {
		if len(ed.e.Links) >= 5*mostTasks {
			return fault.New(fault.Conflict, "too-many-links", "A job has at most %d links.", 5*mostTasks)
		}
		l.ID, l.JobID = a.newID(), jobID
		if err := l.Validate(ed.e); err != nil {
			return err
		}
		if err := w.AddTaskLinks([]domain.Link{l}); err != nil {
			return err
		}
		return w.trail("link "+l.ID, jobID, nil, l)
	})
}

// ChangeTaskLink edits a link.
func (a *App) ChangeTaskLink(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition, l domain.Link) (JobPage, error) {
	return a.edit(ctx, actor, "changeLink", jobID, made, func(w *work, ed *editing) error {
		before, err := ed.link(id)
		if err != nil {
			return err
		}
		l.ID, l.JobID = id, jobID
		if err := l.Validate(ed.e); err != nil {
			return err
		}
		if err := w.SaveTaskLink(l); err != nil {
			return err
		}
		return w.trail("link "+id, jobID, before, l)
	})
}

// RemoveTaskLink removes a link.
func (a *App) RemoveTaskLink(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition) (JobPage, error) {
	return a.edit(ctx, actor, "removeLink", jobID, made, func(w *work, ed *editing) error {
		before, err := ed.link(id)
		if err != nil {
			return err
		}
		if err := w.RemoveTaskLink(id, w.now); err != nil {
			return err
		}
		return w.trail("link "+id, jobID, before, nil)
	})
}

func (ed *editing) link(id domain.ID) (domain.Link, error) {
	for _, l := range ed.e.Links {
		if l.ID == id {
			return l, nil
		}
	}
	return domain.Link{}, fault.New(fault.NotFound, "link-not-found", "This job has no such link.")
}

// ReleaseHold releases a hold point, or notes that sublet work came back, so
// that what follows may start.
func (a *App) ReleaseHold(ctx context.Context, actor domain.Actor, jobID, id domain.ID, key, note string) (JobPage, error) {
	_, err := once(ctx, a, actor, "releaseHold", key, []string{jobID, id, note}, func(w *work) (domain.ID, error) {
		job, t, err := w.taskOf(jobID, id)
		if err != nil {
			return "", err
		}
		if !job.Workable() {
			return "", fault.New(fault.Conflict, "job-not-in-work", "Job %d is %s; nothing is released on it.", job.Number, job.State)
		}
		if !t.Holds() && t.Kind != domain.Sublet {
			return "", fault.New(fault.Conflict, "no-hold-point", "%s is no hold point.", t.Describe())
		}
		if t.ReleasedAt != nil {
			return "", fault.New(fault.Conflict, "already-released", "%s was released by %s already.", t.Describe(), t.ReleasedBy)
		}
		if t.StripGate {
			if err := w.mayReleaseGate(job, *t); err != nil {
				return "", err
			}
		}
		t.ReleasedBy, t.ReleasedAt, t.ReleaseNote = actor.Name, &w.now, note
		return id, w.saveTaskOf(job, *t, map[string]string{"released": note})
	})
	if err != nil {
		return JobPage{}, err
	}
	return a.JobPage(ctx, actor, jobID)
}

// OpenTask opens a task outside the authorised scope for hours. The reason
// goes into the trail and is shown to the client.
func (a *App) OpenTask(ctx context.Context, actor domain.Actor, jobID, id domain.ID, key, reason string) (JobPage, error) {
	_, err := once(ctx, a, actor, "openTask", key, []string{jobID, id, reason}, func(w *work) (domain.ID, error) {
		job, t, err := w.taskOf(jobID, id)
		if err != nil {
			return "", err
		}
		if !job.Workable() {
			return "", fault.New(fault.Conflict, "job-not-in-work", "Job %d is %s; nothing is opened on it.", job.Number, job.State)
		}
		if t.Scope != domain.Outside {
			return "", fault.New(fault.Conflict, "not-outside-scope", "%s does not lie outside the authorised scope.", t.Describe())
		}
		t.Scope, t.OpenedBy, t.OpenedAt, t.OpenedAs = domain.Opened, actor.Name, &w.now, reason
		return id, w.saveTaskOf(job, *t, map[string]string{"opened": reason})
	})
	if err != nil {
		return JobPage{}, err
	}
	return a.JobPage(ctx, actor, jobID)
}

func (w *work) taskOf(jobID, id domain.ID) (domain.Job, *domain.Task, error) {
	job, err := w.Job(jobID)
	if err != nil {
		return job, nil, err
	}
	all, err := w.Estimates([]domain.ID{jobID})
	if err != nil {
		return job, nil, err
	}
	t, ok := all[jobID].Task(id)
	if !ok {
		return job, nil, taskNotFound()
	}
	if left, _ := all[jobID].LeftOut(); left[id] {
		return job, nil, fault.New(fault.Conflict, notTaken, "%s belongs to an option that was not taken.", t.Describe())
	}
	return job, t, nil
}

func (w *work) saveTaskOf(job domain.Job, t domain.Task, what any) error {
	if err := w.SaveTask(t); err != nil {
		return err
	}
	job.Version++
	if err := w.SaveJob(job); err != nil {
		return err
	}
	w.tell(job, "estimate")
	return w.trail("task "+t.ID, job.ID, nil, what)
}
