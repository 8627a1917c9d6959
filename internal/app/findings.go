package app

import (
	"context"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// FoundPage is a finding with what is shown beside it.
type FoundPage struct {
	Finding domain.Finding
	Zone    string // the name of its zone
	Photos  []domain.Photo
	Order   *domain.OrderRef // the latest order that held it
	Waited  Waited
}

// mostFound bounds the findings of a job.
const mostFound = 1000

// Findings lists what was found on a job, newest first.
func (a *App) Findings(ctx context.Context, actor domain.Actor, jobID domain.ID) (out []FoundPage, err error) {
	err = a.view(ctx, actor, "listFindings", func(r Reader) error {
		p, err := framePage(r, jobID)
		if err != nil {
			return err
		}
		out, err = a.foundPages(r, p)
		return err
	})
	return out, err
}

// foundPages shows the findings of a frame with order and waiting.
func (a *App) foundPages(r Reader, p FramePage) ([]FoundPage, error) {
	shop, err := r.Shop()
	if err != nil {
		return nil, err
	}
	cal, err := a.calendarOf(shop)
	if err != nil {
		return nil, err
	}
	kept, err := r.Orders([]domain.ID{p.Job.ID})
	if err != nil {
		return nil, err
	}
	orders := map[domain.ID]domain.ChangeOrder{}
	for _, o := range kept[p.Job.ID] {
		orders[o.ID] = o
	}
	out := make([]FoundPage, 0, len(p.Findings))
	for _, f := range p.Findings {
		found := FoundPage{Finding: f, Photos: p.PhotosOf(f.PhotoIDs)}
		if z, ok := p.Zone(f.ZoneID); ok {
			found.Zone = z.Name
		}
		order, held := orders[f.OrderID]
		if held {
			found.Order = &domain.OrderRef{ID: order.ID, Number: order.Number}
		}
		found.Waited = waited(f, order, cal, shop.Zone(), a.now())
		out = append(out, found)
	}
	return out, nil
}

// waited splits the working days since the report between shop and client. What
// is answered on the same day waited none.
func waited(f domain.Finding, order domain.ChangeOrder, cal *calendar.Calendar, zone *time.Location, now time.Time) Waited {
	switch f.State {
	case domain.FindingDismissed:
		if f.DismissedAt != nil {
			now = *f.DismissedAt
		}
		return Waited{Shop: workingDaysUntil(cal, zone, f.At, now)}
	case domain.FindingSent, domain.FindingApproved, domain.FindingDeclined:
		if order.SentAt == nil {
			break
		}
		switch {
		case order.DecidedAt != nil:
			now = *order.DecidedAt
		case order.ExpiresAt != nil && order.ExpiresAt.Before(now):
			now = *order.ExpiresAt
		}
		return Waited{Shop: workingDaysUntil(cal, zone, f.At, *order.SentAt), Client: workingDaysUntil(cal, zone, *order.SentAt, now)}
	}
	return Waited{Shop: workingDaysUntil(cal, zone, f.At, now)}
}

// finding returns one finding to the people of the shop, under the action that
// they may.
func (a *App) finding(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID) (out FoundPage, err error) {
	err = a.view(ctx, actor, action, func(r Reader) error {
		out, err = a.foundPage(r, id)
		return err
	})
	return out, err
}

func (a *App) foundPage(r Reader, id domain.ID) (FoundPage, error) {
	f, err := r.Finding(id)
	if err != nil {
		return FoundPage{}, err
	}
	p, err := framePage(r, f.JobID)
	if err != nil {
		return FoundPage{}, err
	}
	p.Findings = []domain.Finding{f}
	all, err := a.foundPages(r, p)
	if err != nil {
		return FoundPage{}, err
	}
	return all[0], nil
}

// ReportFinding keeps what was uncovered under the job's next number. Waiting
// for a decision starts to count.
func (a *App) ReportFinding(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, f domain.Finding) (FoundPage, error) {
	f.JobID = jobID
	id, err := once(ctx, a, actor, "reportFinding", key, f, func(w *work) (domain.ID, error) {
		job, err := w.Job(jobID)
		if err != nil {
			return "", err
		}
		if err := job.Editable(); err != nil {
			return "", err
		}
		if err := w.checkFinding(job, f); err != nil {
			return "", err
		}
		if f.Number, err = w.NextFindingNumber(jobID); err != nil {
			return "", err
		}
		if f.Number > mostFound {
			return "", fault.New(fault.Conflict, "too-many-findings", "A job has at most %d findings.", mostFound)
		}
		f.ID, f.Version, f.State, f.StateReason, f.OrderID, f.DismissedAt = a.newID(), 1, domain.FindingReported, "", "", nil
		f.By, f.ByName, f.At = actor.PersonID, actor.Name, w.now
		if err := w.AddFinding(f); err != nil {
			return "", err
		}
		w.tell(job, "finding")
		return f.ID, w.trail("finding "+f.ID, jobID, nil, f)
	})
	if err != nil {
		return FoundPage{}, err
	}
	return a.finding(ctx, actor, "reportFinding", id)
}

// checkFinding holds a finding against its job: zone, photos, task, repairs.
func (w *work) checkFinding(job domain.Job, f domain.Finding) error {
	zones, photos, err := w.zonesAndPhotos(job.ID)
	if err != nil {
		return err
	}
	repairs, err := w.app.repairsOf(w, job)
	if err != nil {
		return err
	}
	codes := make([]string, len(repairs.Repairs))
	for i, r := range repairs.Repairs {
		codes[i] = r.Code
	}
	if err := f.Validate(zones, photos, codes); err != nil || f.TaskID == "" {
		return err
	}
	of, err := w.JobOfTask(f.TaskID)
	if fault.KindOf(err) == fault.NotFound || err == nil && of != job.ID {
		return fault.InvalidField("finding-invalid", "/task_id", "This job has no such task.")
	}
	return err
}

// ChangeFinding edits a finding that is not with the client.
func (a *App) ChangeFinding(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, f domain.Finding) (FoundPage, error) {
	var out FoundPage
	err := a.change(ctx, actor, "changeFinding", func(w *work) error {
		before, err := w.Finding(id)
		if err != nil {
			return err
		}
		now, err := a.foundPage(w, id)
		if err != nil {
			return err
		}
		if err := made.check(before.Version, now); err != nil {
			return err
		}
		if err := before.Editable(); err != nil {
			return err
		}
		job, err := w.Job(before.JobID)
		if err != nil {
			return err
		}
		if err := job.Editable(); err != nil {
			return err
		}
		after := before
		after.ZoneID, after.TaskID, after.What, after.Condition = f.ZoneID, f.TaskID, f.What, f.Condition
		after.LengthMM, after.WidthMM, after.Count, after.Note = f.LengthMM, f.WidthMM, f.Count, f.Note
		after.PhotoIDs, after.Repairs, after.Originality, after.ConditionPoints = f.PhotoIDs, f.Repairs, f.Originality, f.ConditionPoints
		if err := w.checkFinding(job, after); err != nil {
			return err
		}
		after.Version++
		if err := w.saveFinding(job, before, after); err != nil {
			return err
		}
		out, err = a.foundPage(w, id)
		return err
	})
	return out, err
}

// saveFinding saves a finding with its trail and tells who listens.
func (w *work) saveFinding(job domain.Job, before, after domain.Finding) error {
	if err := w.SaveFinding(after); err != nil {
		return err
	}
	w.tell(job, "finding")
	return w.trail("finding "+after.ID, job.ID, before, after)
}

// DismissFinding says that nothing need be done about a finding that waits, and
// why.
func (a *App) DismissFinding(ctx context.Context, actor domain.Actor, id domain.ID, key, reason string) (FoundPage, error) {
	request := struct{ ID, Reason string }{id, reason}
	_, err := once(ctx, a, actor, "dismissFinding", key, request, func(w *work) (domain.ID, error) {
		before, err := w.Finding(id)
		if err != nil {
			return "", err
		}
		if before.State == domain.FindingGathered {
			return "", fault.New(fault.Conflict, "finding-gathered", "Finding %d is in a drafted order; take it out or withdraw the draft first.", before.Number)
		}
		job, err := w.onFrame(before.JobID)
		if err != nil {
			return "", err
		}
		after := before
		if err := after.Move(domain.FindingDismissed, reason); err != nil {
			return "", err
		}
		after.DismissedAt = &w.now
		return id, w.saveFinding(job, before, after)
	})
	if err != nil {
		return FoundPage{}, err
	}
	return a.finding(ctx, actor, "dismissFinding", id)
}
