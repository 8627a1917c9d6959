package app

import (
	"context"
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
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

// queueFloor is the floor with a job that is not sold yet on top, as one snapshot had it.
type queueFloor struct {
	base  *floorBase // nil where the date is not the floor's
	in    levelling.Input
	job   domain.Job
	alone domain.Day // by the job's own schedule
	facts string     // all that the date follows from, but for the job's own schedule
	seq   int64      // of the trail
}

// queued is the date of a quote with what it was reckoned from.
type queued struct {
	QueueDate
	facts string
	seq   int64
}

// Queue says when a job would be finished behind what is on the floor.
func (a *App) Queue(ctx context.Context, actor domain.Actor, jobID domain.ID) (QueueDate, error) {
	f := &queueFloor{}
	err := a.view(ctx, actor, "getQueue", func(r Reader) error {
		page, err := a.loadPage(r, jobID)
		if err != nil {
			return err
		}
		f, err = a.queueFloorOf(r, page)
		return err
	})
	if err != nil {
		return QueueDate{}, err
	}
	return f.date(ctx, a)
}

// queueAhead reckons the date of a quote beside the transaction that issues it; nil
// where that will refuse it.
func (a *App) queueAhead(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition) (*queued, error) {
	var f *queueFloor
	err := a.view(ctx, actor, "issueQuote", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil || made.Version != job.Version || !job.Quotable() {
			return err
		}
		page, err := a.loadPage(r, jobID)
		if err != nil || quotable(page) != nil {
			return err
		}
		f, err = a.queueFloorOf(r, page)
		return err
	})
	if err != nil || f == nil {
		if fault.As(err) != nil {
			err = nil // the transaction says it, after what comes before
		}
		return nil, err
	}
	q, err := f.date(ctx, a)
	return &queued{q, f.facts, f.seq}, err
}

// queueStands fails with errReckonAnew unless the date of a quote still is that of the
// floor as the transaction sees it.
func (w *work) queueStands(q *queued, page JobPage) error {
	if q == nil || q.Alone != aloneOf(page) {
		return errReckonAnew
	}
	seq, err := lastSeq(w)
	if err != nil || seq == q.seq {
		return err
	}
	_, facts, err := w.app.queueFacts(w, page.Job.ID)
	if err == nil && facts != q.facts {
		err = errReckonAnew
	}
	return err
}

func aloneOf(page JobPage) domain.Day { return domain.DayOf(page.Plan.Finish, page.Shop.Zone()) }

// queueFacts reads the floor with a job laid on top and names all that its date follows from.
func (a *App) queueFacts(r Reader, jobID domain.ID) (b *floorBase, facts string, err error) {
	if b, err = a.floorBaseOf(r, jobID); err != nil {
		return nil, "", err
	}
	plan, _, err := r.AgreedPlanID()
	return b, fmt.Sprintf("%s %s %s", b.facts(), plan, b.zone), err
}

func (a *App) queueFloorOf(r Reader, page JobPage) (*queueFloor, error) {
	f := &queueFloor{job: page.Job, alone: aloneOf(page)}
	if page.Job.Sold() {
		return f, nil
	}
	b, facts, err := a.queueFacts(r, page.Job.ID)
	if err != nil {
		return nil, err
	}
	f.facts = facts
	if f.seq, err = lastSeq(r); err != nil || len(b.jobs) < 2 {
		return f, err
	}
	holds, err := a.agreedPlan(r)
	f.base, f.in = b, b.input(holds.placements())
	return f, err
}

// date plans the floor with the job laid on top. A date that the owner entered stays
// the date, and the words say what the floor makes of it. It fails when ctx ends.
func (f *queueFloor) date(ctx context.Context, a *App) (QueueDate, error) {
	q := QueueDate{Alone: f.alone, Finish: f.alone}
	if f.base == nil {
		return q, nil
	}
	result, err := levelling.Solve(ctx, f.in, a.effort(queueSchedules), nil)
	if ctx.Err() != nil {
		return q, ctx.Err() // the best so far is not the same at each time
	}
	if err != nil {
		// A floor that cannot be planned keeps nobody from quoting.
		q.Words = "The date counts this car alone; the shop's floor could not be planned with it."
		return q, nil
	}
	if f.base.unplaced(result, f.job.ID) {
		q.Words = "The date counts this car alone; part of it cannot be planned on the shop's floor yet."
		return q, nil
	}
	for _, j := range result.Jobs {
		if j.Job == f.job.ID {
			q.Behind, q.Finish = true, max(q.Alone, domain.DayOf(j.Finish, f.base.zone))
		}
	}
	q.Words = fmt.Sprintf("The date counts %s in the shop: their people, stations and hours. Alone this car would be finished by %s.", plural(len(f.base.jobs)-1, "other car"), q.Alone.Long())
	if !f.job.Promise.IsZero() {
		q.Words = ""
	}
	return q, nil
}
