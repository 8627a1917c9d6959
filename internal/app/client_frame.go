package app

import (
	"context"
	"slices"

	"bareframe/internal/domain"
	"bareframe/internal/policy"
)

// ClientFramePage is what a client sees of the frame of their own car: what was
// seen and stands, and what was found and not dismissed.
type ClientFramePage struct {
	FramePage
	Found []FoundPage // newest first
}

// ClientFrame returns the frame of one of the actor's own jobs.
func (a *App) ClientFrame(ctx context.Context, actor domain.Actor, jobID domain.ID) (out ClientFramePage, err error) {
	err = a.view(ctx, actor, "getClientFrame", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		if err := policy.AllowOn(actor, "getClientFrame", policy.Subject{JobID: job.ID, ClientID: job.ClientID}); err != nil {
			return err
		}
		if out.FramePage, err = framePage(r, jobID); err != nil {
			return err
		}
		out.Observations = slices.DeleteFunc(out.Observations, func(o domain.Observation) bool { return o.VoidedAt != nil })
		out.Findings = slices.DeleteFunc(out.Findings, func(f domain.Finding) bool { return f.State == domain.FindingDismissed })
		out.Found, err = a.foundPages(r, out.FramePage)
		return err
	})
	return out, err
}
