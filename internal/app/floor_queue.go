package app

import (
	"context"
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// queueSchedules is how many schedules the date of a quote is searched with: few,
// because issuing it waits for them.
const queueSchedules = 20

// QueueDate is when a job that is not sold yet would be finished, by itself and
// behind the cars that are on the floor.
type QueueDate struct {
	Alone, Finish domain.Day
	// Behind: there are other cars, and Finish counts them.
	Behind bool
	Words  string
}

// Queue says when a job would be finished behind what is on the floor.
func (a *App) Queue(ctx context.Context, actor domain.Actor, jobID domain.ID) (QueueDate, error) {
	var q QueueDate
	err := a.view(ctx, actor, "getQueue", func(r Reader) error {
		page, err := a.loadPage(r, jobID)
		if err != nil {
			return err
		}
		q, err = a.queueOf(r, page)
		return err
	})
	return q, err
}

// queueOf plans the floor with the job laid on top. A date that the owner entered
// stays the date, and the words say what the floor makes of it.
func (a *App) queueOf(r Reader, page JobPage) (QueueDate, error) {
	zone := page.Shop.Zone()
	q := QueueDate{Alone: domain.DayOf(page.Plan.Finish, zone)}
	q.Finish = q.Alone
	if page.Job.Sold() {
		return q, nil
	}
	b, err := a.floorBaseOf(r, page.Job.ID)
	if err != nil || len(b.jobs) < 2 {
		return q, err
	}
	holds, err := a.agreedPlan(r)
	if err != nil {
		return q, err
	}
	result, err := levelling.Solve(context.Background(), b.input(holds.placements()), a.effort(queueSchedules), nil)
	if err != nil {
		// A floor that cannot be planned keeps nobody from quoting.
		q.Words = "The date counts this car alone; the shop's floor could not be planned with it."
		return q, nil
	}
	for _, u := range result.Unplaced {
		if b.jobOf[u.Task].ID == page.Job.ID {
			q.Words = "The date counts this car alone; part of it cannot be planned on the shop's floor yet."
			return q, nil
		}
	}
	for _, j := range result.Jobs {
		if j.Job == page.Job.ID {
			q.Behind, q.Finish = true, max(q.Alone, domain.DayOf(j.Finish, zone))
		}
	}
	q.Words = fmt.Sprintf("The date counts %s in the shop: their people, stations and hours. Alone this car would be finished by %s.", plural(len(b.jobs)-1, "other car"), q.Alone.Long())
	if !page.Job.Promise.IsZero() {
		q.Words = ""
	}
	return q, nil
}
