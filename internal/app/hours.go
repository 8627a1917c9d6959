package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// Target is what somebody's time goes on: a task, or waiting for one or for a
// job as a whole.
type Target struct {
	TaskID  domain.ID
	JobID   domain.ID
	Waiting domain.WaitingCode
}

// Stop is what is said when the clock stops.
type Stop struct {
	HoursToGo *decimal.Decimal
	Done      bool
	Note      string
	At        *time.Time // when it happened; nil is now
}

// LoggedEntry is an entry with the names that a screen shows.
type LoggedEntry struct {
	Entry     domain.Entry
	JobNumber int
	TaskCode  string
	TaskName  string
	Person    string
}

// EntriesNow is the evidence of a clash: the entries that stand in the way.
type EntriesNow []domain.Entry

// StartClock starts the actor's clock on a task or on waiting.
func (a *App) StartClock(ctx context.Context, actor domain.Actor, key string, on Target, at *time.Time, note string) (LoggedEntry, error) {
	id, err := once(ctx, a, actor, "startClock", key, []any{on, at, note}, func(w *work) (domain.ID, error) {
		from, err := w.afterOwn(w.instant(at))
		if err != nil {
			return "", err
		}
		return w.startClock(on, from, note)
	})
	if err != nil {
		return LoggedEntry{}, err
	}
	return a.entry(ctx, actor, id)
}

// StopClock stops the actor's clock.
func (a *App) StopClock(ctx context.Context, actor domain.Actor, key string, stop Stop) (LoggedEntry, error) {
	id, err := once(ctx, a, actor, "stopClock", key, stop, func(w *work) (domain.ID, error) {
		e, err := w.stopClock(stop)
		return e.ID, err
	})
	if err != nil {
		return LoggedEntry{}, err
	}
	return a.entry(ctx, actor, id)
}

// SwitchClock stops what runs and starts the next at one instant: the finish
// that was kept, so that the two touch.
func (a *App) SwitchClock(ctx context.Context, actor domain.Actor, key string, stop Stop, on Target, note string) (LoggedEntry, error) {
	id, err := once(ctx, a, actor, "switchClock", key, []any{stop, on, note}, func(w *work) (domain.ID, error) {
		stopped, err := w.stopClock(stop)
		if err != nil {
			return "", clockPointers(err, "/stop")
		}
		next, err := w.startClock(on, *stopped.FinishedAt, note)
		return next, clockPointers(err, "/start")
	})
	if err != nil {
		return LoggedEntry{}, err
	}
	return a.entry(ctx, actor, id)
}

// instant is when something happened: as said, else now; to the whole second.
func (w *work) instant(at *time.Time) time.Time {
	if at == nil {
		return w.now.UTC().Truncate(time.Second)
	}
	return at.UTC().Truncate(time.Second)
}

// rush is how far a tap may lie behind what the clock has kept already and still
// be read as following on it. Instants are whole seconds and an entry lasts one
// at least, so that taps in one second push the clock ahead by a second each;
// beyond this it is no mis-tap but a time that somebody should look at.
const rush = 5 * time.Second

// ended reads when a running entry was stopped: in the second of its start, it
// ends a second later.
func ended(e domain.Entry, at time.Time) time.Time {
	if first := e.StartedAt.Add(time.Second); at.Before(first) && e.StartedAt.Sub(at) < rush {
		return first
	}
	return at
}

// afterOwn reads when a clock was started: right after what the actor has just
// stopped, where the tap fell into its last seconds.
func (w *work) afterOwn(at time.Time) (time.Time, error) {
	own, err := w.EntriesAround(w.actor.PersonID, at, at.Add(rush))
	if err != nil {
		return at, err
	}
	from := at
	for _, e := range own {
		if !e.StartedAt.After(from) && e.FinishedAt != nil && e.FinishedAt.Sub(at) < rush {
			from = *e.FinishedAt
		}
	}
	return from, nil
}

func (w *work) startClock(on Target, at time.Time, note string) (domain.ID, error) {
	if running, ok, err := w.RunningEntry(w.actor.PersonID); err != nil {
		return "", err
	} else if ok {
		return "", fault.New(fault.Conflict, "clock-running", "Your clock already runs; stop or switch it.").With(EntriesNow{running})
	}
	id, err := w.log(domain.Entry{PersonID: w.actor.PersonID, StartedAt: at, Note: note}, on)
	return id, clockPointers(err, "")
}

func (w *work) stopClock(stop Stop) (domain.Entry, error) {
	e, ok, err := w.RunningEntry(w.actor.PersonID)
	if err != nil {
		return e, err
	}
	if !ok {
		return e, fault.New(fault.Conflict, "no-clock", "No clock of yours runs.")
	}
	at := ended(e, w.instant(stop.At))
	e.FinishedAt, e.HoursToGo, e.Done = &at, stop.HoursToGo, stop.Done
	if stop.Note != "" {
		e.Note = stop.Note
	}
	if e.Kind == domain.Waiting {
		e.HoursToGo, e.Done = nil, false
	}
	if err := e.Validate(w.now); err != nil {
		return e, clockPointers(err, "")
	}
	if err := w.FinishEntry(e); err != nil {
		return e, err
	}
	w.app.watches.spend(e)
	job, err := w.Job(e.JobID)
	if err != nil {
		return e, err
	}
	w.tell(job, "hours")
	return e, w.trail("entry "+e.ID, e.JobID, nil, e)
}

// clockPointers names the fields as a clock's request calls them: one instant
// "at", below the part of the request that it stands in.
func clockPointers(err error, below string) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	c := *e
	c.Fields = slices.Clone(e.Fields)
	for i := range c.Fields {
		if p := &c.Fields[i].Pointer; *p == "/finished_at" || *p == "/started_at" {
			*p = "/at"
		}
		c.Fields[i].Pointer = below + c.Fields[i].Pointer
	}
	return &c
}

// Log is an entry typed in with both its times.
type Log struct {
	On         Target
	StartedAt  time.Time
	FinishedAt time.Time
	HoursToGo  *decimal.Decimal
	Done       bool
	Note       string
}

// LogHours keeps an entry typed in by the actor.
func (a *App) LogHours(ctx context.Context, actor domain.Actor, key string, l Log) (LoggedEntry, error) {
	id, err := once(ctx, a, actor, "logHours", key, l, func(w *work) (domain.ID, error) {
		finished := w.instant(&l.FinishedAt)
		e := domain.Entry{PersonID: actor.PersonID, StartedAt: w.instant(&l.StartedAt), FinishedAt: &finished, HoursToGo: l.HoursToGo, Done: l.Done, Note: l.Note}
		return w.log(e, l.On)
	})
	if err != nil {
		return LoggedEntry{}, err
	}
	return a.entry(ctx, actor, id)
}

// log checks and keeps a new entry: a task inside the authorised scope and past
// no unreleased hold, nobody on two tasks at once. The first hours on an
// accepted job put it in work.
func (w *work) log(e domain.Entry, on Target) (domain.ID, error) {
	job, err := w.aim(&e, on)
	if err != nil {
		return "", err
	}
	if e.Kind == domain.Worked {
		if err := w.withinAuthorised(job); err != nil {
			return "", err
		}
	}
	e.ID, e.LoggedAt, e.LoggedBy = w.app.newID(), w.now, w.actor.PersonID
	if err := e.Validate(w.now); err != nil {
		return "", err
	}
	if err := w.alone(e); err != nil {
		return "", err
	}
	if err := w.AddEntry(e); err != nil {
		return "", err
	}
	w.app.watches.spend(e)
	if job.State == domain.Accepted {
		job.State = domain.InWork
		if err := w.SaveJob(job); err != nil {
			return "", err
		}
	}
	w.tell(job, "hours")
	return e.ID, w.trail("entry "+e.ID, e.JobID, nil, e)
}

// aim fills in what an entry is on and refuses what is closed for hours.
func (w *work) aim(e *domain.Entry, on Target) (domain.Job, error) {
	jobID := on.JobID
	if on.TaskID != "" {
		of, err := w.JobOfTask(on.TaskID)
		if fault.KindOf(err) == fault.NotFound {
			return domain.Job{}, fault.InvalidField("task-not-found", "/task_id", "The shop has no such task.")
		}
		if err != nil {
			return domain.Job{}, err
		}
		if jobID != "" && jobID != of {
			return domain.Job{}, fault.InvalidField("task-of-another-job", "/task_id", "That task belongs to another job.")
		}
		jobID = of
	}
	if jobID == "" {
		return domain.Job{}, fault.InvalidField("target-missing", "/task_id", "Say which task, or which job is waited for.")
	}
	job, err := w.Job(jobID)
	if err != nil {
		return job, err
	}
	e.JobID, e.TaskID, e.Kind, e.WaitingCode = jobID, on.TaskID, domain.Worked, on.Waiting
	if on.Waiting != "" {
		e.Kind, e.HoursToGo, e.Done = domain.Waiting, nil, false
		if !job.Workable() {
			return job, fault.New(fault.Conflict, "job-not-in-work", "Job %d is %s; nobody waits for it.", job.Number, job.State)
		}
		return job, nil
	}
	if on.TaskID == "" {
		return job, fault.InvalidField("target-missing", "/task_id", "Say which task was worked on.")
	}
	g, err := w.gateFor(job)
	if err != nil {
		return job, err
	}
	if err := g.open(on.TaskID); err != nil {
		return job, err
	}
	return job, w.allowanceLasts(job, *e)
}

// alone refuses an entry that shares time with another of the same person.
func (w *work) alone(e domain.Entry) error {
	to := w.now.Add(24 * time.Hour)
	if e.FinishedAt != nil {
		to = *e.FinishedAt
	}
	others, err := w.EntriesAround(e.PersonID, e.StartedAt, to)
	if err != nil {
		return err
	}
	if other, clash := e.Overlap(others); clash {
		zone := time.UTC
		if shop, err := w.Shop(); err == nil {
			zone = shop.Zone()
		}
		until := "now"
		if other.FinishedAt != nil {
			until = other.FinishedAt.In(zone).Format("15:04")
		}
		detail := fmt.Sprintf("Nobody works on two tasks at once: there is an entry from %s to %s.", other.StartedAt.In(zone).Format("2 January 15:04"), until)
		return &fault.Error{Kind: fault.Conflict, Code: "hours-overlap", Detail: detail, Evidence: EntriesNow{other}}
	}
	return nil
}
