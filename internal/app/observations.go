package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// SeenPage is an observation with its photos.
type SeenPage struct {
	Observation domain.Observation
	Photos      []domain.Photo
}

// mostSeen bounds the observations of a job: two hundred zones seen at four
// moments, each ten times.
const mostSeen = 8000

// Observe keeps what was seen on a zone at a moment of the job.
func (a *App) Observe(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, o domain.Observation) (SeenPage, error) {
	ids, err := a.Survey(ctx, actor, jobID, key, []domain.Observation{o})
	if err != nil {
		return SeenPage{}, err
	}
	return a.seen(ctx, actor, "observe", ids[0])
}

// Survey is Observe for several zones at once, all of them or none. It returns
// their IDs in the same order. A refusal points into the observation at fault.
func (a *App) Survey(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, all []domain.Observation) ([]domain.ID, error) {
	request := struct {
		JobID domain.ID
		Seen  []domain.Observation
	}{jobID, all}
	return once(ctx, a, actor, "observe", key, request, func(w *work) ([]domain.ID, error) { return w.survey(jobID, all) })
}

func (w *work) survey(jobID domain.ID, all []domain.Observation) ([]domain.ID, error) {
	job, err := w.onFrame(jobID)
	if err != nil {
		return nil, err
	}
	seen, err := w.Observations(jobID)
	if err != nil {
		return nil, err
	}
	if len(seen)+len(all) > mostSeen {
		return nil, fault.New(fault.Conflict, "too-many-observations", "A job has at most %d observations.", mostSeen)
	}
	zones, photos, err := w.zonesAndPhotos(jobID)
	if err != nil {
		return nil, err
	}
	ids := make([]domain.ID, len(all))
	w.tell(job, "frame")
	return ids, w.seenAnew(jobID, func() error {
		for i, o := range all {
			if err := o.Validate(zones, photos); err != nil {
				return err
			}
			o.ID, o.JobID, o.By, o.ByName, o.At = w.app.newID(), jobID, w.actor.PersonID, w.actor.Name, w.now
			o.VoidedAt, o.VoidedBy, o.VoidReason = nil, "", ""
			if err := w.AddObservation(o); err != nil {
				return err
			}
			if err := w.trail("observation "+o.ID, jobID, nil, o); err != nil {
				return err
			}
			ids[i] = o.ID
		}
		return nil
	})
}

// seenAnew runs a change of what was seen, and has the estimate follow. Where it
// moved, so does the version of the job.
func (w *work) seenAnew(jobID domain.ID, change func() error) error {
	moved, err := w.remeasured(jobID, change)
	if err != nil || !moved {
		return err
	}
	job, err := w.Job(jobID)
	if err != nil {
		return err
	}
	job.Version++
	return w.SaveJob(job)
}

// onFrame returns a job on which things may still be seen.
func (w *work) onFrame(jobID domain.ID) (domain.Job, error) {
	job, err := w.Job(jobID)
	if err == nil && job.Over() {
		err = fault.New(fault.Conflict, "job-over", "Job %d is %s; nothing is added to it any more.", job.Number, job.State)
	}
	return job, err
}

func (w *work) zonesAndPhotos(jobID domain.ID) ([]domain.Zone, []domain.Photo, error) {
	zones, err := w.Zones(jobID)
	if err != nil {
		return nil, nil, err
	}
	photos, err := w.Photos(jobID)
	return zones, photos, err
}

// VoidObservation says that an observation does not stand, and why. It stays
// readable.
func (a *App) VoidObservation(ctx context.Context, actor domain.Actor, id domain.ID, key, reason string) (SeenPage, error) {
	request := struct{ ID, Reason string }{id, reason}
	_, err := once(ctx, a, actor, "voidObservation", key, request, func(w *work) (domain.ID, error) {
		before, err := w.Observation(id)
		if err != nil {
			return "", err
		}
		job, err := w.onFrame(before.JobID)
		if err != nil {
			return "", err
		}
		if before.VoidedAt != nil {
			return "", fault.New(fault.Conflict, "observation-voided", "This observation was voided already by %s.", before.VoidedBy)
		}
		after := before
		after.VoidedAt, after.VoidedBy, after.VoidReason = &w.now, actor.Name, reason
		w.tell(job, "frame")
		return id, w.seenAnew(job.ID, func() error {
			if err := w.VoidObservation(after); err != nil {
				return err
			}
			return w.trail("observation "+id, job.ID, before, after)
		})
	})
	if err != nil {
		return SeenPage{}, err
	}
	return a.seen(ctx, actor, "voidObservation", id)
}

func (a *App) seen(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID) (out SeenPage, err error) {
	err = a.view(ctx, actor, action, func(r Reader) (err error) {
		if out.Observation, err = r.Observation(id); err != nil {
			return err
		}
		photos, err := photosOf(r, out.Observation.JobID)
		out.Photos = among(photos, out.Observation.PhotoIDs)
		return err
	})
	return out, err
}
