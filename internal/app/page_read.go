package app

import (
	"fmt"
	"slices"

	"bareframe/internal/domain"
)

func (a *App) loadPage(r Reader, id domain.ID) (JobPage, error) {
	page, _, _, err := a.readPage(r, id)
	return page, err
}

// readPage loads a job with what its page was computed from: its entries, and who works.
func (a *App) readPage(r Reader, id domain.ID) (page JobPage, entries []domain.Entry, people []domain.Person, err error) {
	job, err := r.Job(id)
	if err != nil {
		return page, nil, nil, err
	}
	pages, all, err := a.readPages(r, []domain.Job{job})
	if err != nil {
		return page, nil, nil, err
	}
	if people, err = workers(r); err != nil {
		return page, nil, nil, err
	}
	pages[0].Warnings = pages[0].shortOfHands(people)
	return pages[0], all[id], people, nil
}

// loadPages loads several jobs in a constant number of queries and computes
// each page.
func (a *App) loadPages(r Reader, jobs []domain.Job) ([]JobPage, error) {
	pages, _, err := a.readPages(r, jobs)
	return pages, err
}

// readPages is loadPages with the entries that were read, by job.
func (a *App) readPages(r Reader, jobs []domain.Job) ([]JobPage, map[domain.ID][]domain.Entry, error) {
	shop, err := r.Shop()
	if err != nil {
		return nil, nil, err
	}
	ids, clients := make([]domain.ID, len(jobs)), make([]domain.ID, len(jobs))
	for i, j := range jobs {
		ids[i], clients[i] = j.ID, j.ClientID
	}
	people, err := r.PeopleByID(clients)
	if err != nil {
		return nil, nil, err
	}
	estimates, err := a.estimatesOf(r, jobs)
	if err != nil {
		return nil, nil, err
	}
	if err := awaited(r, jobs, estimates); err != nil {
		return nil, nil, err
	}
	quotes, err := r.Quotes(ids)
	if err != nil {
		return nil, nil, err
	}
	baselines, err := a.baselinesOf(r, jobs)
	if err != nil {
		return nil, nil, err
	}
	entries, err := r.Entries(ids)
	if err != nil {
		return nil, nil, err
	}
	held, err := a.agreedPlan(r)
	if err != nil {
		return nil, nil, err
	}
	_, writes := r.(Tx)
	out := make([]JobPage, 0, len(jobs))
	for _, j := range jobs {
		page := JobPage{Shop: shop, Job: j, Client: people[j.ClientID], Estimate: estimates[j.ID].inForce, All: estimates[j.ID].whole, Quotes: quotes[j.ID], Baseline: baselines[j.ID], held: held}
		if err := a.compute(&page, domain.ProgressOf(entries[j.ID]), writes); err != nil {
			return nil, nil, fmt.Errorf("job %d: %w", j.Number, err)
		}
		if slices.ContainsFunc(page.Estimate.Tasks, func(t domain.Task) bool { return t.OrderID != "" }) {
			if page.OrderNumbers, err = r.OrderNumbers(j.ID); err != nil {
				return nil, nil, err
			}
		}
		out = append(out, page)
	}
	return out, entries, nil
}
