package app

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
	"bareframe/internal/policy"
)

// ChangeWays chooses the finish and the methods of a job. Stages that are not named
// go by the first method of the rules.
func (a *App) ChangeWays(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, finish domain.Finish, ways domain.Ways) (JobPage, error) {
	return a.steered(ctx, actor, "changeMethods", jobID, made, func(w *work, job domain.Job) error {
		c, err := a.craftOf(w, job)
		if err != nil {
			return err
		}
		if err := finish.Validate("/finish", true); err != nil {
			return err
		}
		if err := ways.Validate("/methods", c.rules.List()); err != nil {
			return err
		}
		_, err = w.remeasured(jobID, func() error {
			before := job
			job.Finish, job.Ways = finish, ways
			if err := w.SaveJob(job); err != nil {
				return err
			}
			return w.trail("job "+jobID, jobID, waysOf(before), waysOf(job))
		})
		return err
	})
}

func waysOf(j domain.Job) map[string]any {
	return map[string]any{"finish": j.Finish, "methods": j.Ways}
}

// steered runs a change of how a job follows its takeoff, on the version it was
// made on, and moves the version.
func (a *App) steered(ctx context.Context, actor domain.Actor, action policy.Action, jobID domain.ID, made Precondition, fn func(w *work, job domain.Job) error) (JobPage, error) {
	var page JobPage
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
		if err := fn(w, job); err != nil {
			return err
		}
		if job, err = w.Job(jobID); err != nil {
			return err
		}
		job.Version++
		if err := w.SaveJob(job); err != nil {
			return err
		}
		w.tell(job, "estimate")
		page, err = a.loadPage(w, jobID)
		return err
	})
	return page, err
}

// Following says which tasks and lines follow the takeoff or no longer do.
type Following struct {
	TaskIDs []domain.ID
	LineIDs []domain.ID
	Follows bool
}

// FollowTakeoff has tasks and lines follow the takeoff again, which takes over what
// the rules ask for now, or keeps them as they are.
func (a *App) FollowTakeoff(ctx context.Context, actor domain.Actor, jobID domain.ID, made Precondition, f Following) (JobPage, error) {
	return a.edit(ctx, actor, "followTakeoff", jobID, made, func(w *work, ed *editing) error {
		if ed.job.Sold() {
			return fault.New(fault.Conflict, "already-sold", "The estimate was sold; what the steel asks for since then goes into a change order.")
		}
		m, err := a.measure(w, ed.job)
		if err != nil {
			return err
		}
		asks := m.asks(ed.e, ed.shop.PricesFor(ed.job, domain.DayOf(w.now, ed.shop.Zone())), nil)
		names, err := w.letFollow(asks, f)
		if err != nil {
			return err
		}
		if err := w.trail("job "+jobID, jobID, nil, f); err != nil || !f.Follows {
			return err
		}
		_, err = w.follow(m, m, method.Comparison{}, followAgain(names), func(wanted) bool { return false })
		return err
	})
}

// letFollow marks tasks and lines and returns their names.
func (w *work) letFollow(asks asking, f Following) ([]string, error) {
	var c fault.Collector
	var names []string
	for i, id := range f.TaskIDs {
		t, ok := asks.e.Task(id)
		if !ok {
			return nil, taskNotFound()
		}
		_, ruled := asks.m.hoursOf(t.Code)
		if f.Follows && (!ruled || t.Kind != domain.Work) {
			c.Add(fmt.Sprintf("/task_ids/%d", i), "No rule makes hours for %s.", t.Describe())
			continue
		}
		names = append(names, t.Code)
		changed := *t
		changed.Follows = f.Follows
		if err := w.SaveTask(changed); err != nil {
			return nil, err
		}
	}
	for i, id := range f.LineIDs {
		at := slices.IndexFunc(asks.e.Lines, func(l domain.Line) bool { return l.ID == id })
		if at < 0 {
			return nil, fault.New(fault.NotFound, "line-not-found", "This job has no such line.")
		}
		l := asks.e.Lines[at]
		if _, ruled := asks.quantityOf(l); f.Follows && !ruled {
			c.Add(fmt.Sprintf("/line_ids/%d", i), "No rule makes the material of %q for its task.", l.Description)
			continue
		}
		names = append(names, l.Description)
		l.Follows = f.Follows
		if err := w.SaveLine(l); err != nil {
			return nil, err
		}
	}
	return names, c.Err("nothing-to-follow")
}

// TakeoffMoves lists what moved with the takeoff of a job, newest first, and in which
// currency.
func (a *App) TakeoffMoves(ctx context.Context, actor domain.Actor, jobID domain.ID, page Page) (out []domain.TakeoffMove, currency, next string, err error) {
	err = a.view(ctx, actor, "listTakeoffMoves", func(r Reader) (err error) {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		currency = job.Currency
		out, next, err = r.TakeoffMoves(jobID, page)
		return err
	})
	return out, currency, next, err
}

// supplied names the materials of a price book once each.
func supplied(book domain.PriceBook) []method.Supplied {
	seen := map[string]method.Supplied{}
	for _, m := range book.Materials {
		seen[m.Key] = method.Supplied{Key: m.Key, Name: m.Name, Unit: m.Unit}
	}
	out := make([]method.Supplied, 0, len(seen))
	for _, key := range slices.Sorted(maps.Keys(seen)) {
		out = append(out, seen[key])
	}
	return out
}

// followAgain is the cause of a move by which tasks and lines were let follow.
func followAgain(names []string) string {
	if more := len(names) - mostCauses; more > 0 {
		names = append(slices.Clone(names[:mostCauses]), fmt.Sprintf("%d more", more))
	}
	verb := "follow"
	if len(names) == 1 {
		verb = "follows"
	}
	return strings.Join(names, ", ") + " " + verb + " the takeoff again"
}
