package app

import (
	"context"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// Correction replaces an entry by another, or voids it.
type Correction struct {
	Void       bool
	TaskID     domain.ID // empty: the same
	StartedAt  *time.Time
	FinishedAt *time.Time
	HoursToGo  *decimal.Decimal
	Done       *bool
	Reason     string
}

// CorrectHours keeps a further entry that takes the place of one that is
// finished; the old one stays in the record.
func (a *App) CorrectHours(ctx context.Context, actor domain.Actor, id domain.ID, key string, c Correction) (LoggedEntry, error) {
	newID, err := once(ctx, a, actor, "correctHours", key, []any{id, c}, func(w *work) (domain.ID, error) { return w.correct(id, c) })
	if err != nil {
		return LoggedEntry{}, err
	}
	return a.entry(ctx, actor, newID)
}

func (w *work) correct(id domain.ID, c Correction) (domain.ID, error) {
	old, err := w.Entry(id)
	if err != nil {
		return "", err
	}
	if err := policy.AllowOn(w.actor, "correctHours", policy.Subject{PersonID: old.PersonID}); err != nil {
		return "", err
	}
	switch {
	case old.Running():
		return "", fault.New(fault.Conflict, "clock-running", "This clock still runs; stop it before correcting it.")
	case !old.Counts():
		return "", fault.New(fault.Conflict, "entry-corrected", "This entry was corrected already; correct the one that took its place.")
	}
	e := old
	e.ID, e.CorrectsID, e.CorrectedBy, e.Void, e.Reason = w.app.newID(), old.ID, "", c.Void, c.Reason
	e.LoggedAt, e.LoggedBy = w.now, w.actor.PersonID
	if err := w.amend(&e, old, c); err != nil {
		return "", err
	}
	if err := w.MarkCorrected(old.ID, e.ID); err != nil {
		return "", err
	}
	if err := w.AddEntry(e); err != nil {
		return "", err
	}
	w.app.watches.forget(old.JobID)
	w.app.watches.forget(e.JobID)
	job, err := w.Job(e.JobID)
	if err != nil {
		return "", err
	}
	w.tell(job, "hours")
	if e.JobID != old.JobID {
		was, err := w.Job(old.JobID)
		if err != nil {
			return "", err
		}
		w.tell(was, "hours")
	}
	return e.ID, w.trail("entry "+e.ID, e.JobID, old, e)
}

func (w *work) amend(e *domain.Entry, old domain.Entry, c Correction) error {
	if c.Void {
		return nil
	}
	if c.StartedAt != nil {
		e.StartedAt = w.instant(c.StartedAt)
	}
	if c.FinishedAt != nil {
		at := w.instant(c.FinishedAt)
		e.FinishedAt = &at
	}
	if c.HoursToGo != nil {
		e.HoursToGo = c.HoursToGo
	}
	if c.Done != nil {
		e.Done = *c.Done
		if e.Done {
			e.HoursToGo = nil
		}
	}
	if c.TaskID != "" && c.TaskID != old.TaskID {
		if _, err := w.aim(e, Target{TaskID: c.TaskID}); err != nil {
			return err
		}
	}
	if err := e.Validate(w.now); err != nil {
		return err
	}
	return w.alone(*e)
}
