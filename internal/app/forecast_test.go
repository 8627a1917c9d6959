package app_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// A client's date is the agreed plan's: it counts the other cars, stays while another
// plan waits for a decision, and moves when the owner agrees.
func TestAClientsDateMovesWhenThePlanIsAgreedTo(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	one := b.soldJob()
	b.soldJob()
	seen := func() (domain.Day, string) {
		page, err := b.app.ClientJob(t.Context(), b.client, one.Job.ID)
		b.ok("the client's page", err)
		return domain.DayOf(page.Ahead.Finish, page.Shop.Zone()), strings.Join(page.Assumptions(), " ")
	}
	if day, words := seen(); day != domain.DayOf(one.Plan.Finish, one.Shop.Zone()) || !strings.Contains(words, "are free when this car needs them") {
		t.Errorf("before a plan: got %s and %q, want the job's own finish and that it counts nobody else", day, words)
	}
	first := b.plans()
	planned := first.Plan.Said.Jobs
	want := dayIn(planned, one.Job.ID)
	if day, words := seen(); day != want || !strings.Contains(words, "all cars in the shop") {
		t.Errorf("planned: got %s and %q, want the plan's %s and that it counts all cars", day, words, want)
	}
	b.closeFor(60)
	later := b.plans()
	if later.Proposed == nil {
		t.Fatal("a shop closed for two months changes nothing; want a plan that waits")
	}
	if day, _ := seen(); day != want {
		t.Errorf("while a plan waits: got %s, want %s as before", day, want)
	}
	_, err := b.app.DecidePlan(t.Context(), b.owner, later.Proposed.ID, true)
	b.ok("agreeing", err)
	if !b.heard(b.client.PersonID, one.Job.ID) {
		t.Error("the client's open page was not told that the date moved")
	}
	moved := dayIn(later.Proposed.Said.Jobs, one.Job.ID)
	if day, _ := seen(); day != moved || day <= want {
		t.Errorf("agreed: got %s, want the new plan's %s, later than %s", day, moved, want)
	}
	page, err := b.app.JobPage(t.Context(), b.owner, one.Job.ID)
	if b.ok("the owner's page", err); domain.DayOf(page.Ahead.Finish, page.Shop.Zone()) != moved || !strings.Contains(page.Why, "Alone it would be finished") {
		t.Errorf("the owner reads %q; want the plan's date beside the car's own", page.Why)
	}
}

// heard reports whether an event of the job's floor reached the client.
func (b *bench) heard(client, job domain.ID) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.ContainsFunc(b.events, func(e app.Event) bool { return e.ClientID == client && e.JobID == job && e.What == "floor" })
}

func dayIn(jobs []app.FloorJob, id domain.ID) domain.Day {
	for _, j := range jobs {
		if j.JobID == id {
			return j.Day
		}
	}
	return ""
}

// Nobody logs, and no newer plan is agreed to: what is still to do is never said to
// begin before today nor to end in the past, whatever the plan that holds put there.
func TestNoForecastLiesInThePast(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	one := b.soldJob()
	b.plans()
	start := b.now()
	for hours := 3; hours < 12*24; hours += 7 {
		b.set(start.Add(time.Duration(hours) * time.Hour))
		p := b.page(one.Job.ID)
		today := b.now().Truncate(24 * time.Hour)
		if p.Ahead.Finish.Before(b.now()) {
			t.Errorf("%s: the job finishes on %s", b.now(), p.Ahead.Finish)
		}
		for _, task := range p.Estimate.Tasks {
			if at := p.StartAhead(task.ID); at.Before(today) {
				t.Errorf("%s: %s begins %s", b.now(), task.Code, at)
			}
		}
		for _, phase := range p.Estimate.Phases {
			if from, to := p.PhaseAhead(phase.ID); from.Before(today) || to.Before(b.now()) {
				t.Errorf("%s: %s runs from %s to %s", b.now(), phase.Name, from, to)
			}
		}
	}
}
