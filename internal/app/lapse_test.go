package app_test

import (
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/takeoff"
)

// A quote that is declined, in the portal or by word of mouth, or that expires,
// lets the estimate catch up as a withdrawn one does: 1.5 h more, by hand in
// TestAWithdrawnQuoteCatchesUp, with how it ended and what was seen as the reason.
func TestAQuoteThatEndsLetsTheEstimateCatchUp(t *testing.T) {
	lapse := func(b *bench, want int) {
		b.t.Helper()
		n, err := b.app.LapseQuotes(b.t.Context())
		b.ok("lapsing", err)
		if n != want {
			b.t.Errorf("%d quotes lapsed, want %d", n, want)
		}
	}
	for _, r := range []struct {
		name, became, by string
		state            domain.QuoteState
		end              func(b *bench, q domain.Quote)
	}{
		{"declined in the portal", "was declined", "Sorei Vantesse", domain.QuoteDeclined, func(b *bench, q domain.Quote) {
			_, err := b.app.DecideQuote(b.t.Context(), b.client, q.ID, b.key(), app.PortalDecision{Name: "Sorei Vantesse", Reason: "Too dear.", DocumentHash: q.DocumentHash})
			b.ok("declining", err)
		}},
		{"declined by telephone", "was declined", "Ilvane Torresk", domain.QuoteDeclined, func(b *bench, q domain.Quote) {
			_, err := b.app.RecordDecision(b.t.Context(), b.owner, q.ID, b.key(), domain.Decision{How: domain.ByTelephone, Name: "Sorei Vantesse", Contact: "+00 555", Said: "Not this year.", DecidedAt: b.now()})
			b.ok("declining", err)
		}},
		{"expired", "has expired", "Expiry of the quote", domain.QuoteExpired, func(b *bench, q domain.Quote) {
			lapse(b, 0) // it still holds
			b.set(q.ExpiresAt)
			lapse(b, 1)
			lapse(b, 0)
		}},
	} {
		t.Run(r.name, func(t *testing.T) {
			b, p, zones := takeoffBench(t)
			q := b.issue(p)
			b.pass(time.Hour)
			b.sees(p.Job.ID, zones[0].ID, domain.Perforated, 160, 60)
			if got := likely(taskCalled(t, b.page(p.Job.ID), "B10").Hours); got != "0.50 0.50 0.50" {
				t.Fatalf("while it is open: %s", got)
			}
			r.end(b, q)
			now := b.page(p.Job.ID)
			if got := likely(taskCalled(t, now, "B10").Hours); got != "1.25 2.00 3.50" || now.Quotes[0].State != r.state {
				t.Errorf("hours %s, the quote is %s; want 1.25 2.00 3.50, %s", got, now.Quotes[0].State, r.state)
			}
			moves, _, _, err := b.app.TakeoffMoves(t.Context(), b.owner, p.Job.ID, app.Page{})
			b.ok("moves", err)
			if want := "Quote " + q.Number + " " + r.became + ". left: hidden to perforated"; len(moves) != 1 || moves[0].Cause != want || moves[0].ByName != r.by {
				t.Errorf("moves %+v, want one because %q by %s", moves, want, r.by)
			}
		})
	}
}

// What the rules ask for may be more than a task can hold: the estimate then stays,
// and the client's word stands all the same.
func TestNothingKeepsAClientFromDeclining(t *testing.T) {
	b, _, _ := frameBench(t)
	system, rules, plan := takeoff.Example().System, looking(), smallPlan()
	rules.Rules[1].Each = "90000"
	plan.Key, plan.Name, plan.Frame, plan.Takeoff, plan.Methods, plan.Lines = "years", "Years", "two", &system, rules, nil
	id := b.id()
	b.ok("template", b.store.Update(t.Context(), b.shop, func(tx app.Tx) error { return tx.AddTemplate(domain.Template{ID: id, Revision: 1, Plan: plan}) }))
	p := b.job(id)
	frame, err := b.app.Frame(t.Context(), b.marik, p.Job.ID)
	b.ok("frame", err)
	q := b.issue(p)
	b.pass(time.Hour)
	b.sees(p.Job.ID, frame.Zones[0].ID, domain.Perforated, 160, 60)
	_, err = b.app.WithdrawQuote(t.Context(), b.owner, q.ID, b.key(), "Looked again.")
	refused(t, "the owner is told when withdrawing", err, "takeoff-too-large")
	declined, err := b.app.DecideQuote(t.Context(), b.client, q.ID, b.key(), app.PortalDecision{Name: "Sorei Vantesse", Reason: "Too dear.", DocumentHash: q.DocumentHash})
	b.ok("declining", err)
	if declined.State != domain.QuoteDeclined || declined.Decision == nil || declined.Decision.Reason != "Too dear." {
		t.Errorf("the quote is %s: %+v", declined.State, declined.Decision)
	}
	if got := likely(taskCalled(t, b.page(p.Job.ID), "B10").Hours); got != "0.50 0.50 0.50" {
		t.Errorf("what cannot be taken over left %s", got)
	}
}
