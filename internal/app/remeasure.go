package app

import (
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
)

// whyStands says why the estimate of a job does not follow the takeoff now: over,
// sold, quoted; empty where it follows.
func whyStands(p JobPage) string {
	_, open := p.OpenQuote()
	switch {
	case p.Job.Sold():
		return "sold"
	case open:
		return "quoted"
	case p.Job.Editable() != nil:
		return "over"
	}
	return ""
}

// remeasured runs a change of what a job's takeoff follows from, and has the
// estimate follow where it still may. It reports whether anything moved; then the
// version of the job is the caller's to move, if change does not.
func (w *work) remeasured(jobID domain.ID, change func() error) (moved bool, err error) {
	job, err := w.Job(jobID)
	if err != nil {
		return false, err
	}
	may, err := w.mayFollow(job)
	if err != nil || !may {
		return false, errorOr(err, change)
	}
	was, err := w.app.measure(w, job)
	if err != nil {
		return false, err
	}
	if was.points, err = w.app.pointsAsFound(w, job); err != nil {
		return false, err
	}
	if err := change(); err != nil {
		return false, err
	}
	if job, err = w.Job(jobID); err != nil {
		return false, err
	}
	is, err := w.app.measure(w, job)
	if err != nil {
		return false, err
	}
	if is.points, err = w.app.pointsAsFound(w, job); err != nil {
		return false, err
	}
	return w.takeOver(was, is, is.since(was))
}

func errorOr(err error, change func() error) error {
	if err != nil {
		return err
	}
	return change()
}

// mayFollow reports whether a job is unsold and no quote is with the client.
func (w *work) mayFollow(job domain.Job) (bool, error) {
	if job.Sold() || job.Editable() != nil {
		return false, nil
	}
	quotes, err := w.Quotes([]domain.ID{job.ID})
	if err != nil {
		return false, err
	}
	return !slices.ContainsFunc(quotes[job.ID], func(q domain.Quote) bool { return q.StateAt(w.now) == domain.QuoteOpen }), nil
}

// takeOver has the estimate follow from one state of the steel to another. Where
// the rules make the same of both, the estimate stays.
func (w *work) takeOver(was, is *measured, cause string) (bool, error) {
	diff := method.Compare(was.made, is.made)
	if len(is.zones) == 0 || len(diff.Tasks)+len(diff.Materials) == 0 {
		return false, nil
	}
	return w.follow(was, is, diff, cause, grownSince(was))
}

// grownSince gives a line to material that the rules made none of before.
func grownSince(was *measured) func(wanted) bool {
	return func(want wanted) bool {
		return !slices.ContainsFunc(was.made.Materials, func(m method.TaskMaterial) bool {
			return m.Task == want.task.Code && m.Material == want.material && m.Quantity.IsPositive()
		})
	}
}

// caughtUp has the estimate of a job take over what moved while a quote was with
// the client and it stood still. What was seen since the quote is the reason; what
// was measured or chosen anew leaves no former figure, so it is only said. The
// sentence on how the quote ended comes first.
func (w *work) caughtUp(job domain.Job, q domain.Quote, ended string) error {
	may, err := w.mayFollow(job)
	if err != nil || !may {
		return err
	}
	is, err := w.app.measure(w, job)
	if err != nil || len(is.zones) == 0 {
		return err
	}
	seen, err := w.Observations(job.ID)
	if err != nil {
		return err
	}
	zones := make([]domain.Zone, len(is.zones))
	for i, z := range is.zones {
		zones[i] = z.Zone
	}
	was, err := w.app.measuredOf(is.craft, job, zones, seenUntil(q.IssuedAt, seen))
	if err != nil {
		return err
	}
	cause := is.since(was)
	if cause == "" {
		cause = "What the estimate follows was changed meanwhile"
	}
	moved, err := w.follow(was, is, method.Compare(was.made, is.made), ended+" "+cause, grownSince(was))
	if err != nil || !moved {
		return err
	}
	job.Version++
	return w.SaveJob(job)
}

// seenUntil is what had been seen at an instant, voided or not as it was then.
func seenUntil(at time.Time, all []domain.Observation) []domain.Observation {
	out := []domain.Observation{}
	for _, o := range all {
		if o.At.After(at) {
			continue
		}
		if o.VoidedAt != nil && o.VoidedAt.After(at) {
			o.VoidedAt = nil
		}
		out = append(out, o)
	}
	return out
}

// follow writes what follows, and the move with its reasons.
func (w *work) follow(was, is *measured, diff method.Comparison, cause string, grow func(wanted) bool) (bool, error) {
	before, err := w.app.loadPage(w, is.job.ID)
	if err != nil {
		return false, err
	}
	have, err := stockOf(w)
	if err != nil {
		return false, err
	}
	asks := is.asks(before.All, before.Shop.PricesFor(before.Job, domain.DayOf(w.now, before.Shop.Zone())), have)
	f := asks.follow(grow, w.app.newID)
	m := domain.TakeoffMove{ID: w.app.newID(), JobID: is.job.ID, At: w.now, By: w.actor.PersonID, ByName: w.actor.Name, Cause: cause,
		Moved: domain.Moved{Tasks: asks.movedHours(was, diff, f), Materials: asks.movedMaterials(was, diff, f)}}
	if len(m.Moved.Tasks)+len(m.Moved.Materials) == 0 {
		return false, nil
	}
	if err := w.write(f); err != nil {
		return false, err
	}
	after, err := w.app.loadPage(w, is.job.ID)
	if err != nil {
		return false, err
	}
	if err := after.withinReach(); err != nil {
		return false, err
	}
	if err := w.app.everyOptionHolds(after); err != nil {
		return false, err
	}
	m.Moved.NetBefore, m.Moved.TotalBefore, m.Moved.FinishBefore = standsAt(before)
	m.Moved.NetAfter, m.Moved.TotalAfter, m.Moved.FinishAfter = standsAt(after)
	m.Moved.PointsBefore, m.Moved.PointsAfter = was.points, is.points
	if err := w.AddTakeoffMove(m); err != nil {
		return false, err
	}
	w.tell(is.job, "estimate")
	return true, w.trail("takeoff "+m.ID, is.job.ID, nil, map[string]any{"cause": m.Cause, "moved": m.Moved})
}

// write stores what follows.
func (w *work) write(f followed) error {
	for _, t := range f.tasks {
		if t.Hours.High.GreaterThan(decimal.NewFromInt(domain.MaxHours)) {
			return fault.New(fault.Conflict, "takeoff-too-large", "The rules ask for %s h of %s, and a task has at most %d; look at the measures of the zones and at the rules.", t.Hours.High, t.Describe(), domain.MaxHours)
		}
		if err := w.SaveTask(t); err != nil {
			return err
		}
	}
	for _, l := range f.lines {
		if err := w.SaveLine(l); err != nil {
			return err
		}
	}
	return w.AddLines(f.added)
}

// startedBy gives a new job the first finish and methods of its rules.
func (c *craft) startedBy(job *domain.Job) {
	job.Finish, job.Ways = domain.ShowFinish, domain.FirstWays(c.rules.List())
}

// followFromTheStart has a new estimate follow its frame, on which nobody has
// looked at anything: tasks that rules make hours for, lines of what they use, and
// lines for what the template has none for.
func (a *App) followFromTheStart(c *craft, job domain.Job, zones []domain.Zone, e domain.Estimate, book domain.PriceBook) (domain.Estimate, error) {
	m, err := a.measuredOf(c, job, zones, nil)
	if err != nil {
		return e, err
	}
	for i := range e.Tasks {
		_, ruled := m.hoursOf(e.Tasks[i].Code)
		e.Tasks[i].Follows = ruled && e.Tasks[i].Kind == domain.Work
	}
	asks := m.asks(e, book, nil)
	for i := range e.Lines {
		_, e.Lines[i].Follows = asks.quantityOf(e.Lines[i])
	}
	f := asks.follow(func(wanted) bool { return true }, a.newID)
	for _, t := range f.tasks {
		stored, _ := e.Task(t.ID)
		*stored = t
	}
	for _, l := range f.lines {
		e.Lines[slices.IndexFunc(e.Lines, func(x domain.Line) bool { return x.ID == l.ID })] = l
	}
	e.Lines = append(e.Lines, f.added...)
	return e, nil
}
