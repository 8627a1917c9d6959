package app_test

import (
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// gatedPlan is the small plan whose gate is the strip gate, with an allowance
// beside the weld.
func gatedPlan() domain.TemplatePlan {
	p := smallPlan()
	p.Key = "gated"
	p.Tasks[1].StripGate = true
	p.Lines = append(p.Lines, domain.TemplateLine{Key: "L10", Phase: "strip", Kind: pricing.Allowance, Description: "Urgent holes", Quantity: dec("1"), Unit: "lot", UnitCost: dec("100"), TaxClass: pricing.RepairLabour})
	return p
}

func (b *bench) gatedJob(t *testing.T) app.JobPage {
	t.Helper()
	id := b.id()
	b.ok("keeping the template", b.store.Update(t.Context(), b.shop, func(tx app.Tx) error {
		return tx.AddTemplate(domain.Template{ID: id, Revision: 1, Plan: gatedPlan()})
	}))
	return b.job(id)
}

// Firm is what lies before the gate: strip and the allowance of its phase; the
// rest is a range. Worked by hand: 4.17 h x 68.35 = 285.02 and 100.00 are firm.
// Past it: 661.11 weld, 136.70 paint, 216.67 fit, 72.01 tube.
func TestWhatOfAQuoteIsFirm(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	q := b.issue(b.gatedJob(t))
	if q.Offer.Firm != "385.02" || q.Offer.Ranged != "1086.49" || q.Net.StringFixed(2) != "1471.51" {
		t.Errorf("firm %s and ranged %s of %s, want 385.02 and 1086.49 of 1471.51", q.Offer.Firm, q.Offer.Ranged, q.Net)
	}
	doc, err := b.app.QuoteDocument(t.Context(), b.owner, q.ID, app.AsHTML)
	b.ok("document", err)
	for _, text := range []string{"385.02", "1,086.49", "firm"} {
		if !strings.Contains(string(doc.Body), text) {
			t.Errorf("the document does not say %q", text)
		}
	}
	plain := b.issue(b.job(b.template))
	if plain.Offer.Firm != "" || plain.Offer.Ranged != "" {
		t.Errorf("without a gate: firm %q, ranged %q", plain.Offer.Firm, plain.Offer.Ranged)
	}
}

// Inside an allowance that the client agreed to, a task past the gate may be
// worked up to the cap: 100.00 at 77.7775 an hour is 1.28 h.
func TestAnAllowanceOpensATaskUpToItsCap(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	p := b.gatedJob(t)
	weld := taskCalled(t, p, "B10")
	for _, l := range p.Estimate.Lines {
		if l.Kind == pricing.Allowance {
			weld.AllowanceLineID = l.ID
		}
	}
	p, err := b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, weld.ID, made(p), weld, nil)
	b.ok("putting the weld inside the allowance", err)
	b.accept(b.issue(p))
	b.pass(8 * time.Hour)
	log := func(code string, minutes int) error {
		b.pass(time.Hour)
		_, err := b.app.LogHours(t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: taskCalled(t, p, code).ID},
			StartedAt: b.now().Add(-time.Duration(minutes) * time.Minute), FinishedAt: b.now()})
		return err
	}
	refused(t, "a task past the gate without an allowance", log("C10", 6), "hold-not-released")
	b.ok("the first hour", log("B10", 60)) // 77.78
	refused(t, "what goes over the cap", log("B10", 18), "allowance-used-up")
	b.ok("what is left of it", log("B10", 15)) // 1.25 h: 97.22
	refused(t, "a minute of an hour more", log("B10", 6), "allowance-used-up")
	gate := taskCalled(t, p, "A20")
	_, err = b.app.ReleaseHold(t.Context(), b.owner, p.Job.ID, gate.ID, b.key(), "Nothing was found.")
	b.ok("releasing the gate", err)
	b.ok("after the gate", log("B10", 30))
}

// A task is in an allowance of its own job only, and the gate is a hold point.
func TestTheGateIsAHoldPoint(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	p := b.gatedJob(t)
	strip := taskCalled(t, p, "A10")
	strip.StripGate = true
	_, err := b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, strip.ID, made(p), strip, nil)
	refused(t, "a gate that holds nothing", err, "task-invalid")
	strip.StripGate, strip.AllowanceLineID = false, p.Estimate.Lines[0].ID
	if p.Estimate.Lines[0].Kind == pricing.Allowance {
		strip.AllowanceLineID = p.Estimate.Lines[1].ID
	}
	_, err = b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, strip.ID, made(p), strip, nil)
	refused(t, "an allowance that is none", err, "task-invalid")
}
