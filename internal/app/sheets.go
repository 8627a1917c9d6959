package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/points"
	"bareframe/internal/policy"
)

// SheetPage is a judging sheet with how many jobs it judges.
type SheetPage struct {
	domain.Sheet
	Used domain.SheetUsed
}

// SheetNow is the evidence of a stale edit of a sheet.
type SheetNow struct{ SheetPage }

// Sheets lists the shop's judging sheets by name. A shop from before there were
// sheets gets the one that new shops begin with when they are first listed.
func (a *App) Sheets(ctx context.Context, actor domain.Actor) (out []SheetPage, err error) {
	read := func(r Reader) error {
		out, err = sheetPages(r)
		return err
	}
	if err := a.view(ctx, actor, "listSheets", read); err != nil || len(out) > 0 || len(a.sheet.Items) == 0 {
		return out, err
	}
	err = a.change(ctx, actor, "listSheets", func(w *work) error {
		if all, err := w.Sheets(); err != nil || len(all) > 0 {
			return err
		}
		if err := w.addSheet(domain.Sheet{ID: a.newID(), Plan: a.sheet}); err != nil {
			return err
		}
		return read(w)
	})
	return out, err
}

func sheetPages(r Reader) ([]SheetPage, error) {
	all, err := r.Sheets()
	if err != nil {
		return nil, err
	}
	used, err := r.SheetUse()
	out := make([]SheetPage, len(all))
	for i, s := range all {
		out[i] = SheetPage{s, used[s.ID]}
	}
	return out, err
}

func (w *work) addSheet(s domain.Sheet) error {
	s.Version, s.MadeAt, s.MadeBy = 1, w.now, w.actor.Name
	if err := w.AddSheet(s); err != nil {
		return err
	}
	return w.trail("sheet "+s.ID, "", nil, s.Plan)
}

// Sheet returns a version of a sheet; 0 is the newest.
func (a *App) Sheet(ctx context.Context, actor domain.Actor, id domain.ID, version int) (out SheetPage, err error) {
	err = a.view(ctx, actor, "getSheet", func(r Reader) error {
		out, err = sheetPage(r, id, version)
		return err
	})
	return out, err
}

func sheetPage(r Reader, id domain.ID, version int) (SheetPage, error) {
	s, err := r.Sheet(id, version)
	if err != nil {
		return SheetPage{}, err
	}
	used, err := r.SheetUse()
	return SheetPage{s, used[id]}, err
}

// NewSheet is a sheet as it is sent, or the name of a copy of one.
type NewSheet struct {
	CopyOf domain.ID
	Name   string
	Plan   points.Sheet
}

// AddSheet adds a sheet, or copies one as it is now.
func (a *App) AddSheet(ctx context.Context, actor domain.Actor, n NewSheet) (SheetPage, error) {
	made := domain.Sheet{ID: a.newID(), Plan: n.Plan}
	return a.sheetChanged(ctx, actor, "addSheet", made.ID, func(w *work) error {
		if n.CopyOf != "" {
			from, err := w.Sheet(n.CopyOf, 0)
			if fault.KindOf(err) == fault.NotFound {
				return fault.InvalidField("sheet-not-found", "/copy_of", "The shop has no such sheet.")
			}
			if err != nil {
				return err
			}
			made.Plan, made.Plan.Name = from.Plan, n.Name
		}
		all, err := w.Sheets()
		if err != nil {
			return err
		}
		if len(all) >= domain.MaxSheets {
			return fault.New(fault.Conflict, "too-many-sheets", "A shop has at most %d sheets.", domain.MaxSheets)
		}
		if err := made.Validate(all); err != nil && n.CopyOf == "" {
			return below("/sheet", err)
		} else if err != nil {
			return err
		}
		return w.addSheet(made)
	})
}

// below has a refusal point into what lies at a place of the request.
func below(at string, err error) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	own := *e
	own.Fields = make([]fault.Field, len(e.Fields))
	for i, f := range e.Fields {
		own.Fields[i] = fault.Field{Pointer: at + f.Pointer, Detail: f.Detail}
	}
	return &own
}

// ChangeSheet makes a further version of a sheet. Jobs stay with the version that
// was taken for them.
func (a *App) ChangeSheet(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, plan points.Sheet) (SheetPage, error) {
	return a.sheetChanged(ctx, actor, "changeSheet", id, func(w *work) error {
		before, err := w.sheetAt(id, made)
		if err != nil {
			return err
		}
		if err := before.Changeable(); err != nil {
			return err
		}
		all, err := w.Sheets()
		if err != nil {
			return err
		}
		after := before
		after.Version, after.Plan, after.MadeAt, after.MadeBy = before.Version+1, plan, w.now, w.actor.Name
		if err := after.Validate(all); err != nil {
			return err
		}
		if err := w.SaveSheet(after); err != nil {
			return err
		}
		return w.trail("sheet "+id, "", before.Plan, plan)
	})
}

// RetireSheet takes a sheet out of use, or back into it. Jobs that it judges keep
// it. It makes no further version, so it is not an edit of one.
func (a *App) RetireSheet(ctx context.Context, actor domain.Actor, id domain.ID, retired bool) (SheetPage, error) {
	return a.sheetChanged(ctx, actor, "retireSheet", id, func(w *work) error {
		before, err := w.Sheet(id, 0)
		if err != nil || retired == (before.RetiredAt != nil) {
			return err
		}
		after := before
		after.RetiredAt = nil
		if retired {
			after.RetiredAt = &w.now
		} else if all, err := w.Sheets(); err != nil {
			return err
		} else if err := after.Validate(all); err != nil {
			return err
		}
		if err := w.SaveSheet(after); err != nil {
			return err
		}
		return w.trail("sheet "+id, "", map[string]any{"retired": !retired}, map[string]any{"retired": retired})
	})
}

func (w *work) sheetAt(id domain.ID, made Precondition) (domain.Sheet, error) {
	page, err := sheetPage(w, id, 0)
	if err != nil {
		return page.Sheet, err
	}
	return page.Sheet, made.check(page.Version, SheetNow{page})
}

func (a *App) sheetChanged(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID, fn func(w *work) error) (out SheetPage, err error) {
	err = a.change(ctx, actor, action, func(w *work) error {
		if err := fn(w); err != nil {
			return err
		}
		w.events = append(w.events, Event{ShopID: actor.ShopID, What: "shop"})
		out, err = sheetPage(w, id, 0)
		return err
	})
	return out, err
}

// SetJobSheet says by which version of which sheet a job is judged: 0 is the
// newest, an empty ID none. A retired sheet can only be kept.
func (a *App) SetJobSheet(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, sheetID domain.ID, version int) (JobPage, error) {
	return a.edit(ctx, actor, "setJobSheet", jobID, made, func(w *work, ed *editing) error {
		before := map[string]any{"sheet_id": ed.job.SheetID, "version": ed.job.SheetVersion}
		if sheetID == "" {
			ed.job.SheetID, ed.job.SheetVersion = "", 0
		} else {
			s, err := w.Sheet(sheetID, version)
			if fault.KindOf(err) == fault.NotFound {
				return fault.InvalidField("sheet-not-found", "/sheet_id", "The shop has no such sheet, or no such version of it.")
			}
			if err != nil {
				return err
			}
			if s.RetiredAt != nil && s.ID != ed.job.SheetID {
				return fault.InvalidField("sheet-retired", "/sheet_id", "%q is retired; take it back into use, or choose another.", s.Plan.Name)
			}
			ed.job.SheetID, ed.job.SheetVersion = s.ID, s.Version
		}
		return w.trail("job "+jobID, jobID, before, map[string]any{"sheet_id": ed.job.SheetID, "version": ed.job.SheetVersion})
	})
}

// onlySheet is the sheet of a new job: the shop's, when it has just one in use.
func (w *work) onlySheet() (id domain.ID, version int, err error) {
	all, err := w.Sheets()
	for _, s := range all {
		if s.RetiredAt != nil {
			continue
		}
		if id != "" {
			return "", 0, err
		}
		id, version = s.ID, s.Version
	}
	return id, version, err
}
