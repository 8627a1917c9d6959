package app_test

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

func hours(low, likely, high string) domain.ThreePoint {
	return domain.ThreePoint{Low: dec(low), Likely: dec(likely), High: dec(high)}
}

// patch is an order of one item: a welded patch of some hours between the gate
// and the weld, or a dearer section, or nothing.
func patch(t testing.TB, p app.JobPage) app.OrderDraft {
	repair := p.Estimate.Phases[1].ID
	gate, weld := taskCalled(t, p, "A20").ID, taskCalled(t, p, "B10").ID
	task := func(key, name string, h domain.ThreePoint) domain.OrderTask {
		return domain.OrderTask{Key: key, PhaseID: repair, Name: name, Kind: domain.Work, Hours: h, Skill: "welder", Crew: 1,
			TaxClass: pricing.FabricationLabour, After: []string{gate}, Before: []string{weld}}
	}
	return app.OrderDraft{Kind: domain.FromFinding, Title: "Left rail is thin", Reason: "The rail is rusted through ahead of the rear wheel.",
		Items: []domain.OrderItem{{Key: "i1", Title: "Left rail", Why: "It carries the rear mount.", IfNot: "The rail may fold there.", MayLeave: true,
			Options: []domain.OrderOption{
				{Key: "patch", Name: "Patch", Advised: true, Tasks: []domain.OrderTask{task("t1", "Weld a patch", hours("4", "8", "12"))}, Condition: dec("1.5")},
				{Key: "section", Name: "Bought section", Tasks: []domain.OrderTask{task("t1", "Weld in a section", hours("10", "16", "22"))},
					Lines: []domain.OrderLine{{PhaseID: repair, TaskKey: "t1", Kind: pricing.Material, Description: "Rail section", Quantity: dec("1"), Unit: "pc",
						UnitCost: dec("240"), MarkupPercent: dec("20"), TaxClass: pricing.Part}}, Condition: dec("3"), Originality: dec("-0.5")},
			}}}}
}

func (b *bench) draft(job domain.ID, d app.OrderDraft) app.OrderPage {
	b.t.Helper()
	p, err := b.app.AddOrder(b.t.Context(), b.owner, job, b.key(), d)
	b.ok("drafting", err)
	return p
}

func orderMade(p app.OrderPage) app.Precondition {
	return app.Precondition{Given: true, Version: p.Order.Version}
}

func (b *bench) send(p app.OrderPage, days int) app.OrderPage {
	b.t.Helper()
	p, err := b.app.SendOrder(b.t.Context(), b.owner, p.Order.ID, orderMade(p), b.key(), days)
	b.ok("sending", err)
	return p
}

// approval says yes to choices as they read now.
func (b *bench) approval(p app.OrderPage, choices []domain.Choice) app.PortalOrderDecision {
	b.t.Helper()
	e, err := b.app.PreviewClientOrder(b.t.Context(), b.client, p.Order.ID, choices)
	b.ok("previewing", err)
	return app.PortalOrderDecision{Approved: true, Name: "Sorei Vantesse", Signature: "Sorei Vantesse", DocumentHash: p.Order.DocumentHash, Choices: choices,
		Amount: e.Amount, PromiseAfter: e.Dates.PromiseAfter}
}

func (b *bench) decideOrder(id domain.ID, d app.PortalOrderDecision) (app.OrderPage, error) {
	return b.app.DecideOrder(b.t.Context(), b.client, id, b.key(), d)
}

// An approved order moves authorised amount, tasks, baseline and promise.
func TestAnApprovedOrderMovesEverything(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	before := b.soldJob()
	p := b.send(b.draft(before.Job.ID, patch(t, before)), 14)
	if p.Order.State != domain.OrderSent || p.Order.Effect.Contradiction != nil || p.Order.DocumentHash == "" {
		t.Fatalf("sent: %+v", p.Order)
	}
	got, err := b.decideOrder(p.Order.ID, b.approval(p, []domain.Choice{{ItemKey: "i1", OptionKey: "section"}}))
	b.ok("deciding", err)
	after := b.page(before.Job.ID)
	// 16 h x 77.7775 = 1244.44 at 20 %; 240 + 20 % = 288.00 at 7.25 %: 248.89 and 20.88 of tax.
	if want := dec("1802.21"); !got.Order.Effect.Amount.Equal(want) || !after.Job.AuthorisedAmount.Equal(before.Job.AuthorisedAmount.Add(want)) {
		t.Errorf("amount %s, authorised %s from %s, want %s", got.Order.Effect.Amount, after.Job.AuthorisedAmount, before.Job.AuthorisedAmount, want)
	}
	added := taskCalled(t, after, "C1.1")
	if added.Scope != domain.Authorised || added.OrderID != p.Order.ID || !after.Baseline[added.ID].Hours.Equal(dec("16")) {
		t.Errorf("added task %+v with baseline %+v", added, after.Baseline[added.ID])
	}
	// Two days of eight hours before the weld.
	if got.Order.Effect.Dates.Days != 2 || after.Job.Promise != got.Order.Effect.Dates.PromiseAfter || after.Job.Promise <= before.Job.Promise {
		t.Errorf("dates %+v, promise %s from %s", got.Order.Effect.Dates, after.Job.Promise, before.Job.Promise)
	}
	_, err = b.decideOrder(p.Order.ID, app.PortalOrderDecision{Approved: true, DocumentHash: p.Order.DocumentHash})
	refused(t, "approving twice", err, "order-decided")
	if fault.KindOf(err) != fault.Conflict {
		t.Errorf("approving twice: %v", err)
	}
	doc, err := b.app.ClientOrderDocument(t.Context(), b.client, p.Order.ID, app.AsHTML)
	b.ok("document", err)
	if doc.Hash != got.Order.Decision.DocumentHash {
		t.Errorf("the document as decided has hash %s, the decision keeps %s", doc.Hash, got.Order.Decision.DocumentHash)
	}
}
