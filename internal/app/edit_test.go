package app_test

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

func phaseNames(p app.JobPage) []string {
	var out []string
	for i, ph := range p.Estimate.Phases {
		out = append(out, ph.Name)
		if ph.Position != i+1 {
			out = append(out, "is numbered wrong")
		}
	}
	return out
}

// Against the obvious: take it out of the list and put it in at its place.
func TestPhasesGoWhereTheyAreMoved(t *testing.T) {
	fewerDraws(t, 15)
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	rapid.Check(t, func(t *rapid.T) {
		p := b.job(b.templateCalled("empty"))
		want := []string{"One", "Two", "Three"}
		for step := range rapid.IntRange(1, 4).Draw(t, "steps") {
			var err error
			at := rapid.IntRange(1, len(want)+2).Draw(t, "place")
			if rapid.Bool().Draw(t, "new") {
				name := "New " + string(rune('a'+step))
				p, err = b.app.AddPhase(ctx, b.owner, p.Job.ID, made(p), name, at)
				want = slices.Insert(want, min(at-1, len(want)), name)
			} else {
				i := rapid.IntRange(0, len(want)-1).Draw(t, "which")
				ph := p.Estimate.Phases[i]
				p, err = b.app.ChangePhase(ctx, b.owner, p.Job.ID, ph.ID, made(p), ph.Name, at)
				want = slices.Delete(slices.Clone(want), i, i+1)
				want = slices.Insert(want, min(at-1, len(want)), ph.Name)
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := phaseNames(p); !slices.Equal(got, want) {
				t.Fatalf("moved to %d: %v, want %v", at, got, want)
			}
		}
	})
}

func TestEditsThatAreUndone(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.job(b.template)
	id := p.Job.ID
	strip, weld, fit := taskCalled(t, p, "A10"), taskCalled(t, p, "B10"), taskCalled(t, p, "C30")
	_, err := b.app.AddTaskLink(ctx, b.owner, id, made(p), domain.Link{FromID: fit.ID, ToID: strip.ID, Type: "FS", LagKind: "working"})
	refused(t, "a circle", err, "network-cycle")
	_, err = b.app.RemovePhase(ctx, b.owner, id, p.Estimate.Phases[0].ID, made(p))
	refused(t, "a phase that holds something", err, "phase-not-empty")
	_, err = b.app.AddPhase(ctx, b.owner, id, made(p), "Stripping", 1)
	refused(t, "a name twice", err, "phase-name-taken")
	twice := strip
	twice.Code = weld.Code
	_, err = b.app.ChangeTask(ctx, b.owner, id, strip.ID, made(p), twice, nil)
	refused(t, "a code twice", err, "task-code-taken")
	again := b.page(id)
	if again.Job.Version != p.Job.Version || len(again.Estimate.Links) != len(p.Estimate.Links) || !again.Plan.Finish.Equal(p.Plan.Finish) {
		t.Errorf("a refused edit left something behind")
	}
	// Another job's rows are not there.
	other := b.job(b.template)
	_, err = b.app.ChangeTask(ctx, b.owner, other.Job.ID, strip.ID, made(other), strip, nil)
	refused(t, "another job's task", err, "task-not-found")
	_, err = b.app.RemoveLine(ctx, b.owner, other.Job.ID, p.Estimate.Lines[0].ID, made(other))
	refused(t, "another job's line", err, "line-not-found")
	_, err = b.app.RemoveTaskLink(ctx, b.owner, other.Job.ID, p.Estimate.Links[0].ID, made(other))
	refused(t, "another job's link", err, "link-not-found")
}

func TestARemovedTaskLeavesNoGapAndTakesItsLines(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	p := b.job(b.template)
	weld := taskCalled(t, p, "B10")
	after, err := b.app.RemoveTask(t.Context(), b.owner, p.Job.ID, weld.ID, made(p))
	b.ok("removing", err)
	if len(after.Estimate.Lines) != 0 {
		t.Errorf("the line of the task stays: %+v", after.Estimate.Lines)
	}
	bridged := slices.ContainsFunc(after.Estimate.Links, func(l domain.Link) bool {
		return l.FromID == taskCalled(t, after, "A20").ID && l.ToID == taskCalled(t, after, "C10").ID && l.Type == "FS"
	})
	if !bridged || len(after.Estimate.Links) != len(p.Estimate.Links)-1 {
		t.Errorf("gate and paint are linked: %v, %d links of %d", bridged, len(after.Estimate.Links), len(p.Estimate.Links))
	}
}

func TestWhatAPriceBookAndSettingsMustKeep(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.job(b.template)
	weld := taskCalled(t, p, "B10")
	weld.Station = "lift"
	_, err := b.app.ChangeTask(ctx, b.owner, p.Job.ID, weld.ID, made(p), weld, nil)
	b.ok("a task on the lift", err)
	marik, version := b.person(b.marik)
	marik.Skills = []string{"fitter"}
	_, err = b.app.ChangePerson(ctx, b.owner, marik.ID, version, marik)
	b.ok("a fitter", err)
	shop, err := b.app.Shop(ctx, b.owner)
	b.ok("shop", err)

	without := func(skill string) error {
		_, err := b.app.SetPrices(ctx, b.owner, app.Precondition{Given: true, Version: shop.PriceBookVersion},
			app.PriceChange{Removed: []domain.PriceRef{{Kind: domain.PricedLabour, Key: skill}}})
		return err
	}
	refused(t, "a skill that a task needs", without("welder"), "skill-in-use")
	noLift := shop.Settings
	noLift.Stations = slices.DeleteFunc(slices.Clone(noLift.Stations), func(s domain.Station) bool { return s.Key == "lift" })
	_, err = b.app.ChangeShop(ctx, b.owner, app.Precondition{Given: true, Version: shop.Version}, noLift)
	refused(t, "a station that a task needs", err, "station-in-use")
	yen := shop.Settings
	yen.Currency = "JPY"
	_, err = b.app.ChangeShop(ctx, b.owner, app.Precondition{Given: true, Version: shop.Version}, yen)
	refused(t, "another currency once there is a job", err, "currency-fixed")

	_, err = b.app.MoveJob(ctx, b.owner, p.Job.ID, made(b.page(p.Job.ID)), domain.Cancelled, "Sold the car.")
	b.ok("cancelling", err)
	refused(t, "a skill that only a person has", without("fitter"), "skill-in-use")
	if err := without("welder"); err != nil {
		t.Errorf("a skill that nobody has or needs any more: %v", err)
	}
	_, err = b.app.ChangeShop(ctx, b.owner, app.Precondition{Given: true, Version: shop.Version}, noLift)
	b.ok("a station that nothing open needs", err)
}

// The whole of a job: nothing finishes it but the end of its work.
func TestAJobIsFinishedWhenItsWorkIs(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.soldJob()
	id := p.Job.ID
	finish := func() error {
		_, err := b.app.MoveJob(ctx, b.owner, id, made(b.page(id)), domain.Finished, "")
		return err
	}
	done := func(code string) {
		t.Helper()
		_, err := b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: taskCalled(t, p, code).ID}, nil, "")
		b.ok("starting "+code, err)
		b.pass(2 * time.Hour)
		_, err = b.app.StopClock(ctx, b.marik, b.key(), app.Stop{Done: true})
		b.ok("ending "+code, err)
	}
	done("A10")
	refused(t, "with work left", finish(), "work-left")
	_, err := b.app.ReleaseHold(ctx, b.owner, id, taskCalled(t, p, "A20").ID, b.key(), "Seen.")
	b.ok("release", err)
	done("B10")
	done("C10")
	b.pass(23 * time.Hour)
	half := b.page(id)
	if s := half.Tasks[taskCalled(t, p, "C20").ID]; s.State != app.TaskInWork {
		t.Errorf("an hour before its end the cure is %s", s.State)
	}
	b.pass(time.Hour)
	_, err = b.app.StartClock(ctx, b.marik, b.key(), app.Target{TaskID: taskCalled(t, p, "C30").ID}, nil, "")
	b.ok("starting the last", err)
	refused(t, "with a clock running", finish(), "work-left")
	b.pass(time.Hour)
	_, err = b.app.StopClock(ctx, b.marik, b.key(), app.Stop{Done: true})
	b.ok("ending the last", err)
	b.ok("finishing", finish())
	// 2 + 2 + 2 + 1 h worked; sold were 4.17 + 8.5 + 2 + 3.17.
	p = b.page(id)
	if p.Whole.Percent != 100 || !p.Whole.Worked.Equal(dec("7")) || !p.Whole.Sold.Equal(dec("17.84")) || p.Job.State != domain.Finished {
		t.Errorf("%d %%, %s h worked of %s sold, %s", p.Whole.Percent, p.Whole.Worked, p.Whole.Sold, p.Job.State)
	}
	// The shop, four people, job, quote and decision; four starts and stops; a
	// release; the finish.
	if n := b.trailLength(); n != 18 {
		t.Errorf("the trail has %d entries, want 18", n)
	}
}
