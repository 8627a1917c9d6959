package app

import (
	"context"
	"fmt"
	"sort"

	"bareframe/internal/domain"
	"bareframe/internal/policy"
)

// ClientJobs lists the actor's own jobs, for a link that is for one job only
// that.
func (a *App) ClientJobs(ctx context.Context, actor domain.Actor) (out []JobPage, err error) {
	err = a.view(ctx, actor, "listClientJobs", func(r Reader) error {
		all, err := allJobs(r, nil, actor.PersonID)
		if err != nil {
			return err
		}
		var mine []domain.Job
		for _, j := range all {
			if policy.AllowOn(actor, "listClientJobs", policy.Subject{JobID: j.ID, ClientID: j.ClientID}) == nil {
				mine = append(mine, j)
			}
		}
		out, err = a.loadPages(r, mine)
		return err
	})
	return out, err
}

// ClientJob returns where one of the actor's jobs stands. The caller shows only
// what a client may see of the page.
func (a *App) ClientJob(ctx context.Context, actor domain.Actor, id domain.ID) (page JobPage, err error) {
	err = a.view(ctx, actor, "getClientJob", func(r Reader) error {
		job, err := r.Job(id)
		if err != nil {
			return err
		}
		if err := policy.AllowOn(actor, "getClientJob", policy.Subject{JobID: job.ID, ClientID: job.ClientID}); err != nil {
			return err
		}
		page, err = a.loadPage(r, id)
		return err
	})
	return page, err
}

// ClientSentence says in one sentence where the job stands.
func (p JobPage) ClientSentence() string {
	now := p.PhaseNow()
	switch p.Job.State {
	case domain.Enquiry, domain.Surveyed:
		return "The shop is working out what your car needs."
	case domain.Quoted:
		if q, ok := p.OpenQuote(); ok {
			return fmt.Sprintf("Quote %s waits for your decision until %s.", q.Number, q.ExpiresAt.In(p.Shop.Zone()).AddDate(0, 0, -1).Format("2 January 2006"))
		}
		return "The shop is revising the quote."
	case domain.Accepted:
		return "You accepted the quote; the work has not begun yet."
	case domain.InWork:
		if p.Ahead.LateDays > 0 {
			return fmt.Sprintf("%s: %s later than promised as it looks today.", now, plural(p.Ahead.LateDays, "working day"))
		}
		return fmt.Sprintf("%s is under way, and the promised date holds as it looks today.", now)
	case domain.Finished:
		return "The work is finished; your car is ready to be handed over."
	case domain.Closed:
		return "Your car has been handed over."
	case domain.Declined:
		return "You decided against the work."
	}
	return "The job was cancelled."
}

// PhaseNow is the first phase that is not finished, or the last.
func (p JobPage) PhaseNow() string {
	name := ""
	for _, ph := range p.Phases {
		name = ph.Phase.Name
		if ph.Standing.State != TaskFinished && ph.Standing.tasks > 0 {
			return name
		}
	}
	return name
}

// OpenQuote returns the revision that waits for a decision.
func (p JobPage) OpenQuote() (domain.Quote, bool) {
	for _, q := range p.Quotes {
		if q.StateAt(p.AsOf) == domain.QuoteOpen {
			return q, true
		}
	}
	return domain.Quote{}, false
}

// Accepted returns the accepted revision as it was agreed.
func (p JobPage) Accepted() (domain.Quote, bool) {
	for _, q := range p.Quotes {
		if q.ID == p.Job.AcceptedQuoteID {
			return q.AsAgreed(), true
		}
	}
	return domain.Quote{}, false
}

// ComingUp lists the tasks that begin next, soonest first.
func (p JobPage) ComingUp(most int) []domain.Task {
	var open []domain.Task
	for _, t := range p.Estimate.Tasks {
		if p.Tasks[t.ID].State == TaskOpen && t.Scope != domain.Outside {
			open = append(open, t)
		}
	}
	sort.SliceStable(open, func(i, j int) bool {
		return p.StartAhead(open[i].ID).Before(p.StartAhead(open[j].ID))
	})
	return open[:min(most, len(open))]
}

// Assumptions says what price and date rest on, while their confidence is not
// computed.
func (p JobPage) Assumptions() []string {
	out := []string{
		"Hours are the means of three-point estimates.",
		"Steel that nobody has seen yet is taken as the survey found it.",
		p.Ahead.Counted(p.Shop.Zone()),
	}
	if p.Job.Sold() {
		out[0] = "Hours worked so far and the technicians' own hours to go are counted."
		return out
	}
	if q, ok := p.OpenQuote(); ok && q.Offer.DateWords != "" {
		out[2] = q.Offer.DateWords // the client reads the quote's date
	}
	return out
}
