package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
	"bareframe/internal/pricing"
)

// editing is a job under the owner's pen, with its estimate as stored.
type editing struct {
	shop domain.Shop
	job  domain.Job
	e    domain.Estimate // the whole, also what is not taken
}

// edit runs one change of a job's head or estimate: the version must be the
// stored one, the job not over, and no quote with the client, so that what is
// being decided stands still. Afterwards the whole must still price and
// schedule; a circle or an unreadable price undoes the edit. It returns the
// new page.
func (a *App) edit(ctx context.Context, actor domain.Actor, action policy.Action, jobID domain.ID, made Precondition, fn func(w *work, ed *editing) error) (JobPage, error) {
	var page JobPage
	err := a.change(ctx, actor, action, func(w *work) error {
		ed, err := w.begin(jobID, made)
		if err != nil {
			return err
		}
		if err := fn(w, ed); err != nil {
			return err
		}
		ed.job.Version++
		if err := w.SaveJob(ed.job); err != nil {
			return err
		}
		w.tell(ed.job, "estimate")
		if page, err = a.loadPage(w, jobID); err != nil {
			return err
		}
		if err := page.withinReach(); err != nil {
			return err
		}
		return a.everyOptionHolds(page)
	})
	return page, err
}

// everyOptionHolds refuses an estimate of which some selection of options could
// not be priced or scheduled. It looks at all its work at once: links over what is
// left out make no circle that is not among all links, and leave no part unpriced.
func (a *App) everyOptionHolds(p JobPage) error {
	if len(p.All.Tasks) == len(p.Estimate.Tasks) && len(p.All.Lines) == len(p.Estimate.Lines) {
		return nil
	}
	if _, err := priceOf(p.Job.Currency, basisOf(p.Shop, p.Job, p.Quotes, p.AsOf), p.All); err != nil {
		return err
	}
	plan, err := a.planOf(p.Shop, p.Job, p.All, nil, p.AsOf)
	if err != nil {
		return err
	}
	return JobPage{Plan: plan}.withinReach()
}

func (w *work) begin(jobID domain.ID, made Precondition) (*editing, error) {
	var ed editing
	var err error
	if ed.job, err = w.Job(jobID); err != nil {
		return nil, err
	}
	if err := w.stillAt(ed.job, made); err != nil {
		return nil, err
	}
	if err := ed.job.Editable(); err != nil {
		return nil, err
	}
	if ed.shop, err = w.Shop(); err != nil {
		return nil, err
	}
	quotes, err := w.Quotes([]domain.ID{jobID})
	if err != nil {
		return nil, err
	}
	for _, q := range quotes[jobID] {
		if q.StateAt(w.now) == domain.QuoteOpen {
			return nil, fault.New(fault.Conflict, "quote-open", "Quote %s is with the client, so the estimate stands still; withdraw it to change anything.", q.Number)
		}
	}
	all, err := w.Estimates([]domain.ID{jobID})
	if err != nil {
		return nil, err
	}
	ed.e = all[jobID]
	return &ed, nil
}

// newScope is the scope of something added now.
func (ed *editing) newScope() domain.Scope {
	if ed.job.Sold() {
		return domain.Outside
	}
	return domain.Estimated
}

// sold refuses a change of what the client agreed to.
func sold(scope domain.Scope, what string) error {
	if scope == domain.Authorised {
		return fault.New(fault.Conflict, "already-sold", "%s is part of the accepted quote; only a change order changes it.", what)
	}
	return nil
}

// AddPhase adds a phase of the shop's own.
func (a *App) AddPhase(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, name string, position int) (JobPage, error) {
	return a.edit(ctx, actor, "addPhase", jobID, made, func(w *work, ed *editing) error {
		if err := ed.e.ValidatePhaseName("", name); err != nil {
			return err
		}
		if len(ed.e.Phases) >= 100 {
			return fault.New(fault.Conflict, "too-many-phases", "A job has at most 100 phases.")
		}
		p := domain.Phase{ID: a.newID(), JobID: jobID, Name: name, Position: position}
		if err := w.placePhase(ed.e.Phases, &p); err != nil {
			return err
		}
		if err := w.AddPhases([]domain.Phase{p}); err != nil {
			return err
		}
		return w.trail("phase "+p.ID, jobID, nil, p)
	})
}

// ChangePhase renames or moves a phase.
func (a *App) ChangePhase(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition, name string, position int) (JobPage, error) {
	return a.edit(ctx, actor, "changePhase", jobID, made, func(w *work, ed *editing) error {
		p, ok := ed.e.Phase(id)
		if !ok {
			return fault.New(fault.NotFound, "phase-not-found", "This job has no such phase.")
		}
		if err := ed.e.ValidatePhaseName(id, name); err != nil {
			return err
		}
		before := *p
		after := before
		after.Name, after.Position = name, position
		if err := w.placePhase(ed.e.Phases, &after); err != nil {
			return err
		}
		if err := w.SavePhase(after); err != nil {
			return err
		}
		return w.trail("phase "+id, jobID, before, after)
	})
}

// placePhase puts a phase at its position and numbers the others round it.
func (w *work) placePhase(all []domain.Phase, p *domain.Phase) error {
	at := 0
	for _, other := range all {
		if other.ID == p.ID {
			continue
		}
		at++
		if at == p.Position {
			at++
		}
		if other.Position != at {
			other.Position = at
			if err := w.SavePhase(other); err != nil {
				return err
			}
		}
	}
	p.Position = min(p.Position, at+1)
	return nil
}

// RemovePhase removes a phase that holds nothing.
func (a *App) RemovePhase(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition) (JobPage, error) {
	return a.edit(ctx, actor, "removePhase", jobID, made, func(w *work, ed *editing) error {
		p, ok := ed.e.Phase(id)
		if !ok {
			return fault.New(fault.NotFound, "phase-not-found", "This job has no such phase.")
		}
		for _, t := range ed.e.Tasks {
			if t.PhaseID == id {
				return fault.New(fault.Conflict, "phase-not-empty", "%s still holds %s.", p.Name, t.Describe())
			}
		}
		for _, l := range ed.e.Lines {
			if l.PhaseID == id {
				return fault.New(fault.Conflict, "phase-not-empty", "%s still holds the line %q.", p.Name, l.Description)
			}
		}
		if err := w.RemovePhase(id, w.now); err != nil {
			return err
		}
		return w.trail("phase "+id, jobID, *p, nil)
	})
}

// AddLine adds a priced line that is not labour.
func (a *App) AddLine(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, l domain.Line) (JobPage, error) {
	return a.edit(ctx, actor, "addLine", jobID, made, func(w *work, ed *editing) error {
		if len(ed.e.Lines) >= 2000 {
			return fault.New(fault.Conflict, "too-many-lines", "A job has at most 2000 lines.")
		}
		if err := ed.optionStands("", l.OptionID); err != nil {
			return err
		}
		l.ID, l.JobID, l.Scope, l.Follows = a.newID(), jobID, ed.newScope(), false
		l.Position = domain.NextPosition(ed.e.Lines, func(x domain.Line) int { return x.Position })
		if err := ed.checkLine(w, l); err != nil {
			return err
		}
		if err := w.AddLines([]domain.Line{l}); err != nil {
			return err
		}
		return w.trail("line "+l.ID, jobID, nil, l)
	})
}

// ChangeLine edits a line that was not sold yet.
func (a *App) ChangeLine(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition, l domain.Line) (JobPage, error) {
	return a.edit(ctx, actor, "changeLine", jobID, made, func(w *work, ed *editing) error {
		before, err := ed.line(id)
		if err != nil {
			return err
		}
		if err := sold(before.Scope, "This line"); err != nil {
			return err
		}
		if err := ed.optionStands(before.OptionID, l.OptionID); err != nil {
			return err
		}
		l.ID, l.JobID, l.Scope, l.Position, l.OrderID = id, jobID, before.Scope, before.Position, before.OrderID
		l.Follows = before.Follows && l.Kind == before.Kind && l.TaskID == before.TaskID && l.PriceItem == before.PriceItem && l.Unit == before.Unit && l.Quantity.Equal(before.Quantity)
		if err := ed.checkLine(w, l); err != nil {
			return err
		}
		if err := w.SaveLine(l); err != nil {
			return err
		}
		return w.trail("line "+id, jobID, before, l)
	})
}

// RemoveLine takes a line that was not sold out of the estimate.
func (a *App) RemoveLine(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition) (JobPage, error) {
	return a.edit(ctx, actor, "removeLine", jobID, made, func(w *work, ed *editing) error {
		before, err := ed.line(id)
		if err != nil {
			return err
		}
		if err := sold(before.Scope, "This line"); err != nil {
			return err
		}
		if err := w.RemoveLine(id, w.now); err != nil {
			return err
		}
		return w.trail("line "+id, jobID, before, nil)
	})
}

func (ed *editing) line(id domain.ID) (domain.Line, error) {
	for _, l := range ed.e.Lines {
		if l.ID == id {
			return l, nil
		}
	}
	return domain.Line{}, fault.New(fault.NotFound, "line-not-found", "This job has no such line.")
}

// checkLine holds a line against the estimate and the row of the price book
// that it names, which must hold today. A line that had its row keeps it.
func (ed *editing) checkLine(w *work, l domain.Line) error {
	if err := l.Validate(ed.e); err != nil {
		return err
	}
	if before, err := ed.line(l.ID); l.PriceItem == "" || err == nil && before.PriceItem == l.PriceItem {
		return nil
	}
	book := ed.shop.PriceBook.On(domain.DayOf(w.now, ed.shop.Zone()))
	_, known := book.Material(l.PriceItem)
	if l.Kind == pricing.Sublet {
		_, known = book.Vendor(l.PriceItem)
	}
	if !known || l.Kind != pricing.Material && l.Kind != pricing.Sublet {
		return fault.InvalidField("price-item-unknown", "/price_item", "The price book has no %q for this kind of line today.", l.PriceItem)
	}
	return nil
}
