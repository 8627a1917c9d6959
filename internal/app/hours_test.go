package app_test

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// entriesOf loads all entries of a job as they are stored.
func (b *bench) entriesOf(job domain.ID) []domain.Entry {
	b.t.Helper()
	var out []domain.Entry
	err := b.store.View(b.t.Context(), b.shop, func(r app.Reader) error {
		all, err := r.Entries([]domain.ID{job})
		out = all[job]
		return err
	})
	b.ok("entries", err)
	return out
}

// aPair is two technicians at work, drawn at random.
type aPair struct {
	b     *bench
	job   domain.ID
	tasks []domain.ID
}

func (p *aPair) target(t *rapid.T) app.Target {
	if rapid.IntRange(0, 5).Draw(t, "waits") == 0 {
		return app.Target{JobID: p.job, Waiting: domain.WaitParts}
	}
	return app.Target{TaskID: rapid.SampledFrom(p.tasks).Draw(t, "task")}
}

// instant is now, or some minutes before it, or rarely after.
func (p *aPair) instant(t *rapid.T) *time.Time {
	if rapid.Bool().Draw(t, "now") {
		return nil
	}
	return ptr(p.b.now().Add(-time.Duration(rapid.IntRange(-5, 90).Draw(t, "minutes back")) * time.Minute))
}

// act does one thing as one of the two; refusals are part of life.
func (p *aPair) act(t *rapid.T) error {
	b, ctx := p.b, p.b.t.Context()
	who := rapid.SampledFrom([]domain.Actor{b.marik, b.tessel}).Draw(t, "who")
	b.pass(time.Duration(rapid.IntRange(0, 40).Draw(t, "later")) * time.Minute)
	var err error
	switch rapid.IntRange(0, 4).Draw(t, "what") {
	case 0:
		_, err = b.app.StartClock(ctx, who, b.key(), p.target(t), p.instant(t), "")
	case 1:
		_, err = b.app.StopClock(ctx, who, b.key(), app.Stop{At: p.instant(t), Done: rapid.Bool().Draw(t, "done")})
	case 2:
		_, err = b.app.SwitchClock(ctx, who, b.key(), app.Stop{At: p.instant(t)}, p.target(t), "")
	case 3:
		from := b.now().Add(-time.Duration(rapid.IntRange(0, 200).Draw(t, "from")) * time.Minute)
		_, err = b.app.LogHours(ctx, who, b.key(), app.Log{On: p.target(t), StartedAt: from, FinishedAt: from.Add(time.Duration(rapid.IntRange(-5, 60).Draw(t, "length")) * time.Minute)})
	case 4:
		entries := b.entriesOf(p.job)
		if len(entries) == 0 {
			return nil
		}
		old := rapid.SampledFrom(entries).Draw(t, "old")
		c := app.Correction{Reason: "Typed wrong.", Void: rapid.IntRange(0, 3).Draw(t, "void") == 0, FinishedAt: p.instant(t)}
		if rapid.Bool().Draw(t, "moves") {
			c.StartedAt = ptr(old.StartedAt.Add(time.Duration(rapid.IntRange(-60, 60).Draw(t, "by")) * time.Minute))
		}
		if rapid.Bool().Draw(t, "elsewhere") {
			c.TaskID = rapid.SampledFrom(p.tasks).Draw(t, "task")
		}
		_, err = b.app.CorrectHours(ctx, rapid.SampledFrom([]domain.Actor{who, b.owner}).Draw(t, "corrects"), old.ID, b.key(), c)
	}
	return err
}

// Whatever two people start, stop, switch, type in and correct, in whatever
// order: no two standing entries of one person share a minute, at most one
// clock of a person runs, and nothing that was stored ever changes but for what
// was open.
func TestNobodyIsEverOnTwoTasks(t *testing.T) {
	fewerDraws(t, 15)
	b := open(t, settings("EUR", "document"))
	done := 0 // steps that were not refused
	rapid.Check(t, func(t *rapid.T) {
		page := b.soldJob()
		gate := taskCalled(b.t, page, "A20")
		_, err := b.app.ReleaseHold(b.t.Context(), b.owner, page.Job.ID, gate.ID, b.key(), "Seen.")
		b.ok("release", err)
		p := &aPair{b: b, job: page.Job.ID, tasks: []domain.ID{taskCalled(b.t, page, "A10").ID, taskCalled(b.t, page, "B10").ID}}
		b.pass(24 * time.Hour) // clear of what an earlier draw left behind
		for _, who := range []domain.Actor{b.marik, b.tessel} {
			_, err := b.app.StopClock(b.t.Context(), who, b.key(), app.Stop{At: ptr(b.now().Add(-20 * time.Hour))})
			if err != nil && fault.As(err).Code != "no-clock" {
				_, err = b.app.StopClock(b.t.Context(), who, b.key(), app.Stop{At: ptr(b.now().Add(-9 * time.Hour))})
				b.ok("stopping the clock of an earlier draw", err)
			}
		}
		before := map[domain.ID]domain.Entry{}
		for range rapid.IntRange(5, 20).Draw(t, "steps") {
			if err := p.act(t); err == nil {
				done++
			} else if fault.As(err) == nil {
				t.Fatalf("not a refusal but a failure: %v", err)
			}
			before = kept(t, before, b.entriesOf(p.job))
		}
		all := b.entriesOf(p.job)
		for i, e := range all {
			if clash, found := e.Overlap(all[i+1:]); e.Counts() && found {
				t.Fatalf("%s is on two tasks: %s to %v and %s to %v", e.PersonID, e.StartedAt, e.FinishedAt, clash.StartedAt, clash.FinishedAt)
			}
		}
		clocks := map[domain.ID]int{}
		for _, e := range all {
			if e.Running() {
				clocks[e.PersonID]++
			}
		}
		for who, n := range clocks {
			if n > 1 {
				t.Fatalf("%d clocks of %s run", n, who)
			}
		}
	})
	if done < 30 {
		t.Errorf("only %d steps were not refused: the draws do not reach the rule", done)
	}
}

// kept fails when an entry that was stored is gone or says something else.
func kept(t *rapid.T, before map[domain.ID]domain.Entry, now []domain.Entry) map[domain.ID]domain.Entry {
	after := map[domain.ID]domain.Entry{}
	for _, e := range now {
		after[e.ID] = e
	}
	for id, was := range before {
		is, found := after[id]
		switch {
		case !found:
			t.Fatalf("entry %s is gone", id)
		case was.CorrectedBy != "" && is.CorrectedBy != was.CorrectedBy:
			t.Fatalf("entry %s was corrected by %s, now by %s", id, was.CorrectedBy, is.CorrectedBy)
		case was.FinishedAt != nil && (is.FinishedAt == nil || !is.FinishedAt.Equal(*was.FinishedAt)), !is.StartedAt.Equal(was.StartedAt), is.TaskID != was.TaskID, is.Void != was.Void:
			t.Fatalf("entry %s was overwritten: %s, now %s", id, fmt.Sprint(was), fmt.Sprint(is))
		}
	}
	return after
}

// Instants are whole seconds. Whatever is tapped within one of them is kept, each
// for a second, one after the other; times that somebody types stay strict.
func TestTapsWithinOneSecond(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.soldJob()
	one := app.Target{TaskID: taskCalled(t, p, "A10").ID}
	waits := app.Target{JobID: p.Job.ID, Waiting: domain.WaitParts}
	b.pass(300 * time.Millisecond) // within the second
	second := b.now().Truncate(time.Second)
	// As a device sends them, with their instant, and without one.
	for i, at := range []*time.Time{nil, ptr(second)} {
		start := second.Add(time.Duration(i) * time.Minute)
		if at != nil {
			at = ptr(start)
		}
		b.set(start.Add(300 * time.Millisecond))
		_, err := b.app.StartClock(ctx, b.marik, b.key(), one, at, "")
		b.ok("start", err)
		_, err = b.app.SwitchClock(ctx, b.marik, b.key(), app.Stop{At: at}, waits, "")
		b.ok("switch at once", err)
		stopped, err := b.app.StopClock(ctx, b.marik, b.key(), app.Stop{At: at})
		b.ok("stop at once", err)
		if e := stopped.Entry; !e.StartedAt.Equal(start.Add(time.Second)) || !e.FinishedAt.Equal(start.Add(2*time.Second)) {
			t.Errorf("the second entry is from %s to %s, want one second from %s", e.StartedAt, e.FinishedAt, start.Add(time.Second))
		}
		_, err = b.app.StartClock(ctx, b.marik, b.key(), one, at, "")
		b.ok("start again at once", err)
		b.pass(time.Minute / 2)
		stopped, err = b.app.StopClock(ctx, b.marik, b.key(), app.Stop{})
		b.ok("stop", err)
		if e := stopped.Entry; !e.StartedAt.Equal(start.Add(2 * time.Second)) {
			t.Errorf("the third entry starts at %s, want right after the second at %s", e.StartedAt, start.Add(2*time.Second))
		}
		b.pass(-time.Minute / 2)
		for _, e := range b.entriesOf(p.Job.ID)[3*i:] {
			if length := e.FinishedAt.Sub(e.StartedAt); length < time.Second {
				t.Errorf("an entry from %s to %s", e.StartedAt, e.FinishedAt)
			}
		}
	}
	all := b.entriesOf(p.Job.ID)
	if len(all) != 6 {
		t.Errorf("%d entries are kept, want 6", len(all))
	}
	for i, e := range all {
		if clash, found := e.Overlap(all[i+1:]); found {
			t.Errorf("%s to %s and %s to %s overlap", e.StartedAt, e.FinishedAt, clash.StartedAt, clash.FinishedAt)
		}
	}

	b.set(second.Add(time.Hour))
	_, err := b.app.StartClock(ctx, b.marik, b.key(), one, nil, "")
	b.ok("start", err)
	_, err = b.app.StopClock(ctx, b.marik, b.key(), app.Stop{At: ptr(b.now().Add(-5 * time.Second))})
	refused(t, "a stop that lies clearly before the start", err, "entry-invalid")
	_, err = b.app.StopClock(ctx, b.marik, b.key(), app.Stop{})
	b.ok("stop", err)
	_, err = b.app.LogHours(ctx, b.tessel, b.key(), app.Log{On: one, StartedAt: second, FinishedAt: second})
	refused(t, "typed hours without length", err, "entry-invalid")
	_, err = b.app.LogHours(ctx, b.marik, b.key(), app.Log{On: one, StartedAt: second.Add(time.Hour), FinishedAt: second.Add(time.Hour + time.Second)})
	refused(t, "typed hours over the second that was kept", err, "hours-overlap")
}

func TestHoursInsideTheAuthorisedScopeOnly(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	unsold := b.job(b.template)
	_, err := b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: taskCalled(t, unsold, "A10").ID}, nil, "")
	refused(t, "hours before acceptance", err, "job-not-in-work")

	p := b.soldJob()
	id := p.Job.ID
	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: taskCalled(t, p, "B10").ID}, nil, "")
	refused(t, "past a hold point", err, "hold-not-released")
	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: taskCalled(t, p, "C20").ID}, nil, "")
	refused(t, "on a cure", err, "nobody-works-here")
	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{}, nil, "")
	refused(t, "on nothing", err, "target-missing")
	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: "00000000-0000-7000-8000-00000000dead"}, nil, "")
	refused(t, "on a task that is not there", err, "task-not-found")

	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: taskCalled(t, p, "A10").ID}, nil, "")
	b.ok("inside the scope", err)
	if got := b.page(id).Job.State; got != domain.InWork {
		t.Errorf("after the first hours the job is %s", got)
	}
	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: taskCalled(t, p, "A10").ID}, nil, "")
	refused(t, "a second clock", err, "clock-running")
	b.pass(time.Hour)
	_, err = b.app.StopClock(ctx, b.marik, b.key(), app.Stop{Done: true})
	b.ok("stop", err)

	_, err = b.app.ReleaseHold(ctx, b.owner, id, taskCalled(t, p, "A20").ID, b.key(), "Looked at it.")
	b.ok("release", err)
	_, err = b.app.ReleaseHold(ctx, b.owner, id, taskCalled(t, p, "A20").ID, b.key(), "Again.")
	refused(t, "a second release", err, "already-released")
	_, err = b.app.ReleaseHold(ctx, b.owner, id, taskCalled(t, p, "A10").ID, b.key(), "What for.")
	refused(t, "releasing what is no hold point", err, "no-hold-point")
	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: taskCalled(t, p, "B10").ID}, nil, "")
	b.ok("past a released hold point", err)
}

func TestATaskIsOpenedWithAReasonThatShows(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.soldJob()
	id, total := p.Job.ID, p.Job.AuthorisedAmount
	p, err := b.app.AddTask(ctx, b.owner, id, made(p), domain.Task{PhaseID: p.Estimate.Phases[0].ID, Code: "X10", Name: "Broken nut", Kind: domain.Work, Crew: 1,
		Skill: "fitter", Hours: domain.ThreePoint{Low: dec("1"), Likely: dec("1"), High: dec("1")}, TaxClass: "repair_labour"}, nil, nil)
	b.ok("adding a task after acceptance", err)
	x := taskCalled(t, p, "X10")
	if x.Scope != domain.Outside {
		t.Errorf("added after acceptance: scope %s", x.Scope)
	}
	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: x.ID}, nil, "")
	refused(t, "outside the scope", err, "outside-scope")
	_, err = b.app.OpenTask(ctx, b.marik, id, x.ID, b.key(), "I may.")
	refused(t, "opened by a technician", err, "not-for-this-role")

	b.pass(time.Minute)
	p, err = b.app.OpenTask(ctx, b.owner, id, x.ID, b.key(), "Body cannot come off without it.")
	b.ok("opening", err)
	x = taskCalled(t, p, "X10")
	if x.Scope != domain.Opened || x.OpenedAs != "Body cannot come off without it." || x.OpenedBy != b.owner.Name || x.OpenedAt == nil || !x.OpenedAt.Equal(b.now()) {
		t.Errorf("opened: %s by %q at %v because %q", x.Scope, x.OpenedBy, x.OpenedAt, x.OpenedAs)
	}
	seen, err := b.app.ClientJob(ctx, b.client, id)
	b.ok("the client's page", err)
	if got := taskCalled(t, seen, "X10"); got.OpenedAs != "Body cannot come off without it." {
		t.Errorf("the client reads %q", got.OpenedAs)
	}
	trail, _, err := b.app.Trail(ctx, b.owner, id, app.Page{Limit: 1})
	b.ok("trail", err)
	if string(trail[0].After) != `{"opened":"Body cannot come off without it."}` || trail[0].ActorID != b.owner.PersonID {
		t.Errorf("the trail says %s by %s", trail[0].After, trail[0].ActorName)
	}
	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: x.ID}, nil, "")
	b.ok("hours on the opened task", err)
	_, err = b.app.OpenTask(ctx, b.owner, id, x.ID, b.key(), "Twice.")
	refused(t, "opening twice", err, "not-outside-scope")

	// What was agreed stands: amount, draws and baseline know nothing of it.
	p = b.page(id)
	if !p.Job.AuthorisedAmount.Equal(total) || !drawn(p.Draws).Equal(total) {
		t.Errorf("authorised %s, draws %s, agreed %s", p.Job.AuthorisedAmount, drawn(p.Draws), total)
	}
	if _, ok := p.Baseline[x.ID]; ok || !p.Price.Totals.GrandTotal.Decimal().GreaterThan(total) {
		t.Errorf("the added task is in the baseline, or not in the estimate's price %s", p.Price.Totals.GrandTotal)
	}
}

func TestCorrections(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.soldJob()
	task := taskCalled(t, p, "A10").ID
	b.pass(4 * time.Hour)
	log := func(who domain.Actor, from, to int) app.LoggedEntry {
		t.Helper()
		e, err := b.app.LogHours(ctx, who, b.key(), app.Log{On: app.Target{TaskID: task}, StartedAt: monday.Add(time.Duration(from) * time.Minute), FinishedAt: monday.Add(time.Duration(to) * time.Minute)})
		b.ok("logging", err)
		return e
	}
	mine, theirs := log(b.marik, 0, 60), log(b.tessel, 0, 60)
	_, err := b.app.CorrectHours(ctx, b.marik, theirs.Entry.ID, b.key(), app.Correction{Void: true, Reason: "Not mine."})
	refused(t, "correcting somebody else's", err, "not-your-own")
	fixed, err := b.app.CorrectHours(ctx, b.marik, mine.Entry.ID, b.key(), app.Correction{FinishedAt: ptr(monday.Add(90 * time.Minute)), HoursToGo: ptr(dec("2.5")), Reason: "Forgot half an hour."})
	b.ok("correcting one's own", err)
	if fixed.Entry.CorrectsID != mine.Entry.ID || fixed.Entry.Minutes() != 90 || fixed.Entry.Reason != "Forgot half an hour." {
		t.Errorf("the correction: %+v", fixed.Entry)
	}
	_, err = b.app.CorrectHours(ctx, b.marik, mine.Entry.ID, b.key(), app.Correction{Void: true, Reason: "Again."})
	refused(t, "correcting what was corrected", err, "entry-corrected")
	_, err = b.app.CorrectHours(ctx, b.owner, theirs.Entry.ID, b.key(), app.Correction{Void: true, Reason: "Was at the dentist."})
	b.ok("the owner corrects anybody's", err)
	page := b.page(p.Job.ID)
	if s := page.Tasks[task]; !s.Worked.Equal(dec("1.5")) || !s.ToGo.Equal(dec("2.5")) {
		t.Errorf("after all that %s h worked and %s to go, want 1.5 and 2.5", s.Worked, s.ToGo)
	}
	if n := len(b.entriesOf(p.Job.ID)); n != 4 {
		t.Errorf("%d entries are kept, want 4", n)
	}
}
