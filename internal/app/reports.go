package app

import (
	"context"
	"io"
	"slices"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/paper"
	"bareframe/internal/policy"
	"bareframe/internal/pricing"
)

// mostPrinted bounds the photos of one report; the rest are counted in it.
const mostPrinted = 120

// InspectionReport writes what was found on a job's frame and what could be done
// about it, for the owner. It is written afresh each time and kept nowhere.
func (a *App) InspectionReport(ctx context.Context, actor domain.Actor, jobID domain.ID, form Form) (domain.Document, error) {
	return a.inspectionReport(ctx, actor, "getInspectionReport", jobID, form)
}

// ClientInspectionReport writes the same for the job's client: without names of
// people and without what was not sent.
func (a *App) ClientInspectionReport(ctx context.Context, actor domain.Actor, jobID domain.ID, form Form) (domain.Document, error) {
	return a.inspectionReport(ctx, actor, "getClientInspectionReport", jobID, form)
}

func (a *App) inspectionReport(ctx context.Context, actor domain.Actor, action policy.Action, jobID domain.ID, form Form) (domain.Document, error) {
	var d paper.InspectionData
	var photos []domain.Photo
	err := a.view(ctx, actor, action, func(r Reader) (err error) {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		if actor.Role == domain.Client {
			if err := policy.AllowOn(actor, action, policy.Subject{JobID: job.ID, ClientID: job.ClientID}); err != nil {
				return err
			}
		}
		d, photos, err = a.inspected(r, job, actor.Role != domain.Client)
		return err
	})
	if err != nil {
		return domain.Document{}, err
	}
	if d.Thumbs, err = a.thumbs(actor.ShopID, photos); err != nil {
		return domain.Document{}, err
	}
	s, err := paper.Inspection(d)
	if err != nil {
		return domain.Document{}, err
	}
	return a.written(ctx, jobID, s, form)
}

// inspected loads what a report is written from, and the photos of its findings.
func (a *App) inspected(r Reader, job domain.Job, forShop bool) (paper.InspectionData, []domain.Photo, error) {
	d := paper.InspectionData{Job: job, Names: forShop, AsOf: a.now()}
	var err error
	if d.Shop, err = r.Shop(); err != nil {
		return d, nil, err
	}
	if d.Client, err = r.Person(job.ClientID); err != nil {
		return d, nil, err
	}
	frame, err := framePage(r, job.ID)
	if err != nil {
		return d, nil, err
	}
	d.Zones, d.Observations, d.Findings = frame.Zones, frame.Observations, frame.Findings
	orders, err := a.orderPages(r, job.ID, "")
	if err != nil {
		return d, nil, err
	}
	for _, o := range orders {
		if o.Order.State != domain.OrderWithdrawn && len(o.Findings) > 0 && (forShop || o.Order.SentAt != nil) {
			d.Orders = append(d.Orders, o.Order)
		}
	}
	var photos []domain.Photo
	for _, f := range slices.Backward(frame.Findings) {
		if f.State != domain.FindingDismissed {
			photos = append(photos, frame.PhotosOf(f.PhotoIDs)...)
		}
	}
	return d, photos[:min(len(photos), mostPrinted)], nil
}

// thumbs reads small pictures. What is not there any more is left out.
func (a *App) thumbs(shop domain.ID, photos []domain.Photo) (map[domain.ID][]byte, error) {
	out := map[domain.ID][]byte{}
	if a.photos == nil {
		return out, nil
	}
	for _, p := range photos {
		data, err := a.thumb(shop, p)
		if refused := fault.As(err); refused != nil && refused.Kind == fault.NotFound {
			continue
		}
		if err != nil {
			return nil, err
		}
		out[p.ID] = data
	}
	return out, nil
}

func (a *App) thumb(shop domain.ID, p domain.Photo) ([]byte, error) {
	in, err := a.photos.Open(shop, p.Thumb)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return io.ReadAll(in)
}

// JobCard writes the card of a phase for the bench. It says nothing of money.
func (a *App) JobCard(ctx context.Context, actor domain.Actor, jobID, phaseID domain.ID, form Form) (domain.Document, error) {
	d := paper.JobCardData{AsOf: a.now()}
	err := a.view(ctx, actor, "getJobCard", func(r Reader) (err error) {
		if d.Job, err = r.Job(jobID); err != nil {
			return err
		}
		if d.Shop, err = r.Shop(); err != nil {
			return err
		}
		all, err := a.estimatesOf(r, []domain.Job{d.Job})
		if err != nil {
			return err
		}
		estimate := all[jobID].inForce
		phase, ok := estimate.Phase(phaseID)
		if !ok {
			return fault.New(fault.NotFound, "phase-not-found", "This job has no such phase.")
		}
		d.Phase = *phase
		for _, t := range estimate.Tasks {
			if t.PhaseID == phaseID {
				d.Tasks = append(d.Tasks, t)
			}
		}
		for _, l := range estimate.Lines {
			if l.PhaseID == phaseID && (l.Kind == pricing.Material || l.Kind == pricing.Sublet) {
				d.Lines = append(d.Lines, l)
			}
		}
		return nil
	})
	if err != nil {
		return domain.Document{}, err
	}
	return a.written(ctx, phaseID, paper.JobCard(d), form)
}
