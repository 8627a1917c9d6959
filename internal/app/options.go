package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// optionStands refuses to move work between options once the client has chosen:
// what was sold, and what was left, is what the quote said.
func (ed *editing) optionStands(before, after domain.ID) error {
	if before == after || !ed.job.Sold() {
		return nil
	}
	return fault.InvalidField("options-decided", "/option_id", "The options were decided on with the quote; only a change order brings in what was left.")
}

// optionsOpen refuses to change options after the client has chosen.
func (ed *editing) optionsOpen() error {
	if ed.job.Sold() {
		return fault.New(fault.Conflict, "options-decided", "The options were decided on with the quote; only a change order brings in what was left.")
	}
	return nil
}

// AddOption adds a way to do a piece of work, or an extra. The first of a group is
// the advised one.
func (a *App) AddOption(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, o domain.Option) (JobPage, error) {
	return a.edit(ctx, actor, "addOption", jobID, made, func(w *work, ed *editing) error {
		if err := ed.optionsOpen(); err != nil {
			return err
		}
		if len(ed.e.Options) >= domain.MaxOptions {
			return fault.New(fault.Conflict, "too-many-options", "A job has at most %d options.", domain.MaxOptions)
		}
		o.ID, o.JobID = a.newID(), jobID
		o.Position = domain.NextPosition(ed.e.Options, func(x domain.Option) int { return x.Position })
		changed, err := ed.placed(o)
		if err != nil {
			return err
		}
		if err := w.AddOptions(changed[:1]); err != nil {
			return err
		}
		if err := w.trail("option "+o.ID, jobID, nil, changed[0]); err != nil {
			return err
		}
		return w.saveOptions(ed.e, changed[1:])
	})
}

// ChangeOption edits an option, or advises another of its group.
func (a *App) ChangeOption(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition, o domain.Option) (JobPage, error) {
	return a.edit(ctx, actor, "changeOption", jobID, made, func(w *work, ed *editing) error {
		if err := ed.optionsOpen(); err != nil {
			return err
		}
		before, ok := ed.e.Option(id)
		if !ok {
			return optionNotFound()
		}
		o.ID, o.JobID, o.Position = before.ID, before.JobID, before.Position
		changed, err := ed.placed(o)
		if err != nil {
			return err
		}
		return w.saveOptions(ed.e, changed)
	})
}

func (ed *editing) placed(o domain.Option) ([]domain.Option, error) {
	if err := o.Validate(ed.e); err != nil {
		return nil, err
	}
	return ed.e.Place(o)
}

// saveOptions writes options that changed, each with its own line of the trail.
func (w *work) saveOptions(e domain.Estimate, changed []domain.Option) error {
	for _, o := range changed {
		before, _ := e.Option(o.ID)
		if err := w.SaveOption(o); err != nil {
			return err
		}
		if err := w.trail("option "+o.ID, o.JobID, before, o); err != nil {
			return err
		}
	}
	return nil
}

// RemoveOption removes an option. While tasks or lines belong to it that is
// refused, unless they are kept: they are then part of the estimate like the rest.
func (a *App) RemoveOption(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition, keep bool) (JobPage, error) {
	return a.edit(ctx, actor, "removeOption", jobID, made, func(w *work, ed *editing) error {
		if err := ed.optionsOpen(); err != nil {
			return err
		}
		o, ok := ed.e.Option(id)
		if !ok {
			return optionNotFound()
		}
		if err := ed.e.MayRemove(o); err != nil {
			return err
		}
		if what := ed.e.Holds(id); what != "" && !keep {
			return fault.New(fault.Conflict, "option-not-empty", "%s still holds %s; remove what belongs to it, or keep it as part of the estimate.", o.Label(), what)
		}
		if err := w.detach(ed.e, id); err != nil {
			return err
		}
		if err := w.RemoveOption(id, w.now); err != nil {
			return err
		}
		return w.trail("option "+id, jobID, o, nil)
	})
}

// detach makes what belongs to an option part of the estimate like the rest.
func (w *work) detach(e domain.Estimate, optionID domain.ID) error {
	for _, t := range e.Tasks {
		if t.OptionID == optionID {
			before := t
			t.OptionID = ""
			if err := w.SaveTask(t); err != nil {
				return err
			}
			if err := w.trail("task "+t.ID, t.JobID, before, t); err != nil {
				return err
			}
		}
	}
	for _, l := range e.Lines {
		if l.OptionID == optionID {
			before := l
			l.OptionID = ""
			if err := w.SaveLine(l); err != nil {
				return err
			}
			if err := w.trail("line "+l.ID, l.JobID, before, l); err != nil {
				return err
			}
		}
	}
	return nil
}

func optionNotFound() error {
	return fault.New(fault.NotFound, "option-not-found", "This job has no such option.")
}

// Comparison lays a job's options out beside each other, all computed on today's
// estimate, for one selection.
type Comparison struct {
	Job      domain.Job
	Advised  []domain.ID // what is taken in the estimate
	Selected Selection
	Ordered  []OptionOrdered
}

// CompareOptions computes every option against a selection: the advised one, or
// with chosen the options of ids.
func (a *App) CompareOptions(ctx context.Context, actor domain.Actor, jobID domain.ID, ids []domain.ID, chosen bool) (out Comparison, err error) {
	err = a.view(ctx, actor, "compareOptions", func(r Reader) error {
		page, err := a.loadPage(r, jobID)
		if err != nil {
			return err
		}
		entries, err := r.Entries([]domain.ID{jobID})
		if err != nil {
			return err
		}
		c, err := a.choosingOf(page, basisOf(page.Shop, page.Job, page.Quotes, page.AsOf), domain.ProgressOf(entries[jobID]))
		if err != nil {
			return err
		}
		out.Job, out.Advised = page.Job, page.All.Taken()
		if !chosen {
			ids = out.Advised
		}
		if out.Selected, err = c.of(ids); err != nil {
			return err
		}
		out.Ordered, err = a.orderedOptions(r, page.All, jobID)
		return err
	})
	return out, err
}
