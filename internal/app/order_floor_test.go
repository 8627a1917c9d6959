package app_test

import (
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/levelling"
	"bareframe/internal/pricing"
)

// advised is the choice that patch advises.
var advised = []domain.Choice{{ItemKey: "i1", OptionKey: "patch"}}

func (b *bench) orderText(id domain.ID) string {
	b.t.Helper()
	doc, err := b.app.OrderDocument(b.t.Context(), b.owner, id, app.AsHTML)
	b.ok("the document", err)
	return string(doc.Body)
}

// Before the floor is planned an order counts its own car and says so; then it counts
// all cars, and the document, the owner and the client read so.
func TestAnOrdersDatesComeFromTheFloor(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	job := b.soldJob()
	b.soldJob()
	b.soldJob()
	p := b.draft(job.Job.ID, patch(t, job))
	d := p.Order.Effect.Dates
	if d.Source != domain.FromOwnSchedule || !strings.Contains(d.Words, "not planned yet") || p.Order.Effect.Floor != nil || d.Days != 1 {
		t.Fatalf("without a plan: got %+v; want one day by the car's own schedule, and words for it", d)
	}
	floor := b.plans()
	p, err := b.app.Order(t.Context(), b.owner, p.Order.ID)
	b.ok("reading", err)
	e := p.Order.Effect
	if e.Dates.Source != domain.FromFloor || e.Floor == nil || e.Floor.PlanID != floor.Plan.ID || e.Floor.OwnDays != 1 {
		t.Fatalf("with a plan: got %+v from %+v; want the floor of plan %s", e.Dates, e.Floor, floor.Plan.ID)
	}
	for _, words := range []string{"The dates count 2 other cars in the shop", "plan 1 of 3 March 2031"} {
		if !strings.Contains(e.Dates.Words, words) || !strings.Contains(b.orderText(p.Order.ID), words) {
			t.Errorf("%q is not in %q, or not in the document", words, e.Dates.Words)
		}
	}
	if strings.Contains(b.orderText(p.Order.ID), "are not counted") {
		t.Error("the document still says that other cars are not counted")
	}
	if of := finishOn(floor.Plan, job.Job.ID); e.Dates.FinishBefore != of {
		t.Errorf("without the order the finish is %s, the plan says %s", e.Dates.FinishBefore, of)
	}
	b.holdsWithOrder(t, p, floor.Plan)
}

func finishOn(p *app.FloorPlan, job domain.ID) domain.Day {
	for _, j := range p.Said.Jobs {
		if j.JobID == job {
			return j.Day
		}
	}
	return ""
}

// holdsWithOrder holds the days of an order against the plan that is made once it is
// agreed to, with the agreed plan followed by the engine and checked by its slow check.
func (b *bench) holdsWithOrder(t *testing.T, p app.OrderPage, before *app.FloorPlan) {
	t.Helper()
	p = b.send(p, 14)
	_, err := b.decideOrder(p.Order.ID, b.approval(p, advised))
	b.ok("deciding", err)
	in, _, err := b.app.SeenFloor(t.Context(), b.shop)
	b.ok("the floor", err)
	in.Previous = before.Said.Result.Tasks
	r, err := levelling.Follow(in)
	b.ok("following", err)
	if broken := levelling.Check(in, r); len(broken) > 0 {
		t.Errorf("the plan with the order's work breaks: %v", broken)
	}
	for _, j := range r.Jobs {
		if j.Job == p.Job.ID && domain.DayOf(j.Finish, time.UTC) != p.Order.Effect.Dates.FinishAfter {
			t.Errorf("the order said %s, with its work in the shop's plan it is %s", p.Order.Effect.Dates.FinishAfter, j.Finish)
		}
	}
}

// While nothing happens the dates stand to the day, whatever the clock says, and what
// was sent stands even when the floor is planned anew; another choice is reckoned on the
// floor as it is then.
func TestWhatWasSentIsASnapshotOfTheFloor(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	job := b.soldJob()
	other := b.soldJob()
	floor := b.plans()
	p := b.draft(job.Job.ID, patch(t, job))
	first := p.Order.Effect.Dates
	for range 6 {
		b.pass(77 * time.Minute)
		again, err := b.app.PreviewOrder(t.Context(), b.owner, p.Order.ID, advised)
		b.ok("previewing", err)
		if again.Dates != first {
			t.Fatalf("%s: nothing happened, and the dates are %+v instead of %+v", b.now(), again.Dates, first)
		}
	}
	p = b.send(p, 14)
	sent := p.Order.Effect
	if sent.Floor == nil || sent.Floor.PlanID != floor.Plan.ID {
		t.Fatalf("sent with %+v, want plan %s kept", sent.Floor, floor.Plan.ID)
	}
	yes := b.approval(p, advised)
	// The other car is worked on, the shop closes for a month, and the owner agrees to the plan that follows.
	_, err := b.app.LogHours(t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: other.Estimate.Tasks[0].ID}, StartedAt: b.now().Add(-30 * time.Minute), FinishedAt: b.now()})
	b.ok("logging", err)
	b.closeFor(10)
	waits := b.plans()
	if waits.Proposed != nil {
		_, err = b.app.DecidePlan(t.Context(), b.owner, waits.Proposed.ID, true)
		b.ok("agreeing", err)
	}
	stands, err := b.app.PreviewClientOrder(t.Context(), b.client, p.Order.ID, advised)
	b.ok("previewing", err)
	if stands.Dates != sent.Dates || stands.Floor.PlanID != floor.Plan.ID {
		t.Errorf("sent: %+v; now the same choice says %+v", sent.Dates, stands.Dates)
	}
	section := []domain.Choice{{ItemKey: "i1", OptionKey: "section"}}
	anew, err := b.app.PreviewClientOrder(t.Context(), b.client, p.Order.ID, section)
	b.ok("previewing", err)
	if anew.Floor == nil || anew.Floor.PlanID == floor.Plan.ID {
		t.Errorf("another choice is reckoned from %+v, want the plan that holds now", anew.Floor)
	}
	got, err := b.decideOrder(p.Order.ID, yes)
	b.ok("deciding as it was sent", err)
	if after := b.page(job.Job.ID); after.Job.Promise != sent.Dates.PromiseAfter || got.Order.Effect.Floor.PlanID != floor.Plan.ID {
		t.Errorf("promised %s, the order said %s", after.Job.Promise, sent.Dates.PromiseAfter)
	}
}

// An order that was agreed to moves the promise that another one was to move: that
// is a change, and the client reads both dates.
func TestAPromiseThatMovedIsReadAgain(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	job := b.soldJob()
	b.soldJob()
	b.plans()
	one, two := b.send(b.draft(job.Job.ID, patch(t, job)), 14), b.send(b.draft(job.Job.ID, patch(t, job)), 14)
	stale := b.approval(two, advised)
	_, err := b.decideOrder(one.Order.ID, b.approval(one, advised))
	b.ok("the first", err)
	_, err = b.decideOrder(two.Order.ID, stale)
	refused(t, "with the date of before", err, "effect-moved")
	_, err = b.decideOrder(two.Order.ID, b.approval(two, advised))
	b.ok("read again", err)
}

// An order that was sent before there was a plan keeps to its car's own schedule.
func TestWhatWasSentWithoutAPlanStaysSo(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	job := b.soldJob()
	b.soldJob()
	p := b.send(b.draft(job.Job.ID, patch(t, job)), 14)
	b.plans()
	yes := b.approval(p, advised)
	if yes.PromiseAfter != p.Order.Effect.Dates.PromiseAfter {
		t.Errorf("sent %s, now %s", p.Order.Effect.Dates.PromiseAfter, yes.PromiseAfter)
	}
	got, err := b.decideOrder(p.Order.ID, yes)
	b.ok("deciding", err)
	if got.Order.Effect.Dates.Source != domain.FromOwnSchedule || got.Order.Effect.Floor != nil {
		t.Errorf("got %+v", got.Order.Effect.Dates)
	}
}

// Work that nobody in the shop can do is planned by the car's own schedule, and so it says.
func TestAFloorThatCannotHoldTheWorkSaysSo(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	job := b.soldJob()
	b.soldJob()
	b.plans()
	d := patch(t, job)
	d.Items[0].Options[0].Tasks[0].Crew = 20
	p := b.draft(job.Job.ID, d)
	if e := p.Order.Effect; e.Dates.Source != domain.FromOwnSchedule || !strings.Contains(e.Dates.Words, "cannot be planned") || e.Floor != nil || e.Contradiction != nil {
		t.Errorf("20 people at once: got %+v, contradiction %v", e.Dates, e.Contradiction)
	}
}

// Much work on one car takes the people of the others: the owner reads which cars are
// later by it and whose promise breaks, against a plan with the same work made here.
func TestTheOwnerSeesWhatAnOrderDoesToOtherCars(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	job := b.soldJob()
	for range 3 {
		b.soldJob()
	}
	floor := b.plans()
	d := patch(t, job)
	d.Items[0].MayLeave = false
	d.Items[0].Options[0].Tasks[0].Hours, d.Items[0].Options[0].Tasks[0].Crew = hours("60", "80", "100"), 2
	p := b.draft(job.Job.ID, d)
	moves := map[domain.ID]domain.CarMove{}
	for _, m := range p.Order.Effect.Floor.Cars {
		moves[m.JobID] = m
	}
	if len(moves) == 0 {
		t.Fatal("80 hours for both people of the shop, and no other car is later")
	}
	p = b.send(p, 14)
	_, err := b.decideOrder(p.Order.ID, b.approval(p, advised))
	b.ok("deciding", err)
	in, _, err := b.app.SeenFloor(t.Context(), b.shop)
	b.ok("the floor", err)
	in.Previous = floor.Plan.Said.Result.Tasks
	r, err := levelling.Follow(in)
	b.ok("following", err)
	for _, j := range r.Jobs {
		if j.Job == job.Job.ID {
			continue
		}
		was, is := finishOn(floor.Plan, j.Job), domain.DayOf(j.Finish, time.UTC)
		m, listed := moves[j.Job]
		if listed != (was != is) || listed && (m.Before != was || m.After != is || m.Breaks != (is > m.Promise && was <= m.Promise)) {
			t.Errorf("job %s: listed %v as %+v; it goes from %s to %s", j.Job, listed, m, was, is)
		}
	}
}
