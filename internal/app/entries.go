package app

import (
	"context"
	"slices"

	"bareframe/internal/domain"
)

// entry loads an entry with its names for the answer.
func (a *App) entry(ctx context.Context, actor domain.Actor, id domain.ID) (LoggedEntry, error) {
	var out LoggedEntry
	err := a.store.View(ctx, actor.ShopID, func(r Reader) error {
		e, err := r.Entry(id)
		if err != nil {
			return err
		}
		named, err := withNames(r, []domain.Entry{e})
		if err != nil {
			return err
		}
		out = named[0]
		return nil
	})
	return out, err
}

// withNames adds job numbers, task names and people to entries in three queries.
func withNames(r Reader, entries []domain.Entry) ([]LoggedEntry, error) {
	var jobs, tasks, people []domain.ID
	for _, e := range entries {
		jobs, tasks, people = append(jobs, e.JobID), append(tasks, e.TaskID), append(people, e.PersonID)
	}
	numbers, err := r.JobNumbers(unique(jobs))
	if err != nil {
		return nil, err
	}
	named, err := r.TaskNames(unique(tasks))
	if err != nil {
		return nil, err
	}
	persons, err := r.PeopleByID(unique(people))
	if err != nil {
		return nil, err
	}
	out := make([]LoggedEntry, len(entries))
	for i, e := range entries {
		t := named[e.TaskID]
		out[i] = LoggedEntry{Entry: e, JobNumber: numbers[e.JobID], TaskCode: t.Code, TaskName: t.Name, Person: persons[e.PersonID].Name}
	}
	return out, nil
}

func unique(ids []domain.ID) []domain.ID {
	out := slices.Clone(ids)
	slices.Sort(out)
	out = slices.Compact(out)
	return slices.DeleteFunc(out, func(id domain.ID) bool { return id == "" })
}

// JobHours lists a job's entries, newest first.
func (a *App) JobHours(ctx context.Context, actor domain.Actor, jobID domain.ID, page Page) (out []LoggedEntry, next string, err error) {
	err = a.view(ctx, actor, "listJobHours", func(r Reader) error {
		if _, err := r.Job(jobID); err != nil {
			return err
		}
		entries, after, err := r.JobEntriesPage(jobID, page)
		if err != nil {
			return err
		}
		next = after
		out, err = withNames(r, entries)
		return err
	})
	return out, next, err
}

// MyHours lists the actor's entries, newest first.
func (a *App) MyHours(ctx context.Context, actor domain.Actor, page Page) (out []LoggedEntry, next string, err error) {
	err = a.view(ctx, actor, "listMyHours", func(r Reader) error {
		entries, after, err := r.PersonEntriesPage(actor.PersonID, page)
		if err != nil {
			return err
		}
		next = after
		out, err = withNames(r, entries)
		return err
	})
	return out, next, err
}
