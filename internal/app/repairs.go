package app

import (
	"context"
	"strings"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/repair"
)

// repairsOf returns the repair list that holds for a job: its template's own,
// else the one that the program brings. It is read where it lies and not copied
// to the job: a stored template never changes, and a list is far longer than
// the rest of a job's row.
func (a *App) repairsOf(r Reader, job domain.Job) (repair.List, error) {
	if job.TemplateID == "" {
		return a.repairs, nil
	}
	template, err := r.Template(job.TemplateID)
	switch {
	case fault.KindOf(err) == fault.NotFound || err == nil && template.Plan.Repairs == nil:
		return a.repairs, nil
	case err != nil:
		return repair.List{}, err
	}
	return *template.Plan.Repairs, nil
}

// SuggestRepairs answers what was found with the repairs of the job's list:
// hours and materials follow from condition and size. Nothing is stored.
func (a *App) SuggestRepairs(ctx context.Context, actor domain.Actor, jobID domain.ID, found repair.Finding) (out repair.Result, err error) {
	err = a.view(ctx, actor, "suggestRepairs", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		list, err := a.repairsOf(r, job)
		if err != nil {
			return err
		}
		out, err = repair.Suggest(repair.Input{List: list, Finding: found})
		return asked(err)
	})
	return out, err
}

// asked has a refusal point into what was asked, which is the finding alone.
func asked(err error) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	own := *e
	own.Fields = make([]fault.Field, len(e.Fields))
	for i, f := range e.Fields {
		own.Fields[i] = fault.Field{Pointer: strings.TrimPrefix(f.Pointer, "/finding"), Detail: f.Detail}
	}
	return &own
}
