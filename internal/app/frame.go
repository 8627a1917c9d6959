package app

import (
	"context"
	"slices"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// FramePage is a job's frame with what was seen and found on it.
type FramePage struct {
	Job          domain.Job
	Zones        []domain.Zone        // by position
	Observations []domain.Observation // oldest first, voided ones too
	Findings     []domain.Finding     // highest number first
	Photos       map[domain.ID]domain.Photo
}

// PhotosOf returns the photos with these IDs, in their order.
func (p FramePage) PhotosOf(ids []domain.ID) []domain.Photo { return among(p.Photos, ids) }

// Zone returns a zone of the frame.
func (p FramePage) Zone(id domain.ID) (domain.Zone, bool) {
	i := slices.IndexFunc(p.Zones, func(z domain.Zone) bool { return z.ID == id })
	if i < 0 {
		return domain.Zone{}, false
	}
	return p.Zones[i], true
}

// among picks photos by their IDs, in the order of the IDs.
func among(photos map[domain.ID]domain.Photo, ids []domain.ID) []domain.Photo {
	out := make([]domain.Photo, 0, len(ids))
	for _, id := range ids {
		if p, ok := photos[id]; ok {
			out = append(out, p)
		}
	}
	return out
}

// FrameLayouts lists the layouts to start from, by code.
func (a *App) FrameLayouts(actor domain.Actor) ([]domain.FrameLayout, error) {
	if err := policy.Allow(actor, "listFrameLayouts"); err != nil {
		return nil, err
	}
	return a.frames, nil
}

func (a *App) layout(code string) (domain.FrameLayout, bool) {
	i := slices.IndexFunc(a.frames, func(l domain.FrameLayout) bool { return l.Code == code })
	if i < 0 {
		return domain.FrameLayout{}, false
	}
	return a.frames[i], true
}

// Frame returns a job's frame to the people of the shop.
func (a *App) Frame(ctx context.Context, actor domain.Actor, jobID domain.ID) (out FramePage, err error) {
	err = a.view(ctx, actor, "getFrame", func(r Reader) (err error) {
		out, err = framePage(r, jobID)
		return err
	})
	return out, err
}

func framePage(r Reader, jobID domain.ID) (FramePage, error) {
	var p FramePage
	var err error
	if p.Job, err = r.Job(jobID); err != nil {
		return p, err
	}
	if p.Zones, err = r.Zones(jobID); err != nil {
		return p, err
	}
	if p.Observations, err = r.Observations(jobID); err != nil {
		return p, err
	}
	if p.Findings, err = r.Findings(jobID); err != nil {
		return p, err
	}
	p.Photos, err = photosOf(r, jobID)
	return p, err
}

// reframe runs one change of a job's zones, on the version it was made on, moves
// the version and has the estimate follow. It returns the new frame.
func (a *App) reframe(ctx context.Context, actor domain.Actor, action policy.Action, jobID domain.ID, made Precondition, fn func(w *work, job *domain.Job, zones []domain.Zone) error) (FramePage, error) {
	var page FramePage
	err := a.change(ctx, actor, action, func(w *work) error {
		job, err := w.Job(jobID)
		if err != nil {
			return err
		}
		if err := w.stillAt(job, made); err != nil {
			return err
		}
		if err := job.Editable(); err != nil {
			return err
		}
		zones, err := w.Zones(jobID)
		if err != nil {
			return err
		}
		_, err = w.remeasured(jobID, func() error {
			if err := fn(w, &job, zones); err != nil {
				return err
			}
			job.Version++
			return w.SaveJob(job)
		})
		if err != nil {
			return err
		}
		w.tell(job, "frame")
		page, err = framePage(w, jobID)
		return err
	})
	return page, err
}

// LayFrame replaces a job's zones by those of a layout. Once anything was
// observed or found on the frame it is refused.
func (a *App) LayFrame(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, code string) (FramePage, error) {
	return a.reframe(ctx, actor, "layFrame", jobID, made, func(w *work, job *domain.Job, zones []domain.Zone) error {
		layout, ok := a.layout(code)
		if !ok {
			return fault.InvalidField("layout-not-found", "/layout", "There is no frame layout %q.", code)
		}
		if err := w.unused(jobID, ""); err != nil {
			return err
		}
		for _, z := range zones {
			if err := w.RemoveZone(z.ID, w.now); err != nil {
				return err
			}
		}
		before := job.FrameName
		if err := w.layFrame(job, layout); err != nil {
			return err
		}
		return w.trail("frame "+jobID, jobID, map[string]any{"layout": before, "zones": len(zones)}, map[string]any{"layout": layout.Code, "zones": len(layout.Zones)})
	})
}

// layFrame copies a layout's zones to a job that has none.
func (w *work) layFrame(job *domain.Job, layout domain.FrameLayout) error {
	zones := make([]domain.Zone, len(layout.Zones))
	for i, z := range layout.Zones {
		zones[i] = z.Zone(job.ID, i+1)
		zones[i].ID = w.app.newID()
	}
	job.FrameName = layout.Name
	return w.AddZones(zones)
}

// unused refuses when something was observed or found on a zone, or with an
// empty ID on any zone of the job. What was voided or dismissed counts: it is
// still read.
func (w *work) unused(jobID, zoneID domain.ID) error {
	seen, err := w.Observations(jobID)
	if err != nil {
		return err
	}
	found, err := w.Findings(jobID)
	if err != nil {
		return err
	}
	on := func(id domain.ID) bool { return zoneID == "" || id == zoneID }
	if slices.ContainsFunc(seen, func(o domain.Observation) bool { return on(o.ZoneID) }) {
		return fault.New(fault.Conflict, "zone-in-use", "Something was observed here already; the zones that bear it stay.")
	}
	if slices.ContainsFunc(found, func(f domain.Finding) bool { return on(f.ZoneID) }) {
		return fault.New(fault.Conflict, "zone-in-use", "Something was found here already; the zones that bear it stay.")
	}
	return nil
}

// ownFrame names a frame whose zones were all drawn by hand.
const ownFrame = "Own frame"

// AddZone adds a zone to a job's frame.
func (a *App) AddZone(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, z domain.Zone) (FramePage, error) {
	return a.reframe(ctx, actor, "addZone", jobID, made, func(w *work, job *domain.Job, zones []domain.Zone) error {
		if len(zones) >= domain.MaxZones {
			return fault.New(fault.Conflict, "too-many-zones", "A frame has at most %d zones.", domain.MaxZones)
		}
		z.ID, z.JobID = a.newID(), jobID
		z.Position = domain.NextPosition(zones, func(x domain.Zone) int { return x.Position })
		if err := w.validZone(*job, z, zones); err != nil {
			return err
		}
		if job.FrameName == "" {
			job.FrameName = ownFrame
		}
		if err := w.AddZones([]domain.Zone{z}); err != nil {
			return err
		}
		return w.trail("zone "+z.ID, jobID, nil, z)
	})
}

// ChangeZone edits a zone. What was observed on it stays with it.
func (a *App) ChangeZone(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition, z domain.Zone) (FramePage, error) {
	return a.reframe(ctx, actor, "changeZone", jobID, made, func(w *work, job *domain.Job, zones []domain.Zone) error {
		before, err := zoneOf(zones, id)
		if err != nil {
			return err
		}
		z.ID, z.JobID, z.Position = id, jobID, before.Position
		if err := w.validZone(*job, z, zones); err != nil {
			return err
		}
		if err := w.SaveZone(z); err != nil {
			return err
		}
		return w.trail("zone "+id, jobID, before, z)
	})
}

// RemoveZone takes a zone out of the frame on which nothing was observed or
// found.
func (a *App) RemoveZone(ctx context.Context, actor domain.Actor, jobID, id domain.ID, made Precondition) (FramePage, error) {
	return a.reframe(ctx, actor, "removeZone", jobID, made, func(w *work, job *domain.Job, zones []domain.Zone) error {
		before, err := zoneOf(zones, id)
		if err != nil {
			return err
		}
		if err := w.unused(jobID, id); err != nil {
			return err
		}
		if len(zones) == 1 {
			job.FrameName = ""
		}
		if err := w.RemoveZone(id, w.now); err != nil {
			return err
		}
		return w.trail("zone "+id, jobID, before, nil)
	})
}

// validZone holds a zone against the frame and its methods against the job's rules.
func (w *work) validZone(job domain.Job, z domain.Zone, zones []domain.Zone) error {
	if err := z.Validate(zones); err != nil || len(z.Ways) == 0 {
		return err
	}
	c, err := w.app.craftOf(w, job)
	if err != nil {
		return err
	}
	return z.Ways.Validate("/methods", c.rules.List())
}

func zoneOf(zones []domain.Zone, id domain.ID) (domain.Zone, error) {
	for _, z := range zones {
		if z.ID == id {
			return z, nil
		}
	}
	return domain.Zone{}, fault.New(fault.NotFound, "zone-not-found", "This job's frame has no such zone.")
}
