package api_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
	"bareframe/internal/testkit"
)

// leftOver sells the other job with 1.2 l of primer, which comes in cans of a
// litre and of five: 0.8 l are left over. It remembers {other_job}.
func leftOver(t *testing.T, w *testkit.World) { leaveOver(t, w) }

func leaveOver(t testing.TB, w *testkit.World) {
	t.Helper()
	w.Set("other_job", w.OtherJob)
	today := domain.DayOf(w.App.Now(), w.PageOf(t, w.Owner, w.OtherJob).Shop.Zone())
	shop := w.PageOf(t, w.Owner, w.OtherJob).Shop
	primer, ok := shop.PriceBook.On(today).Material("primer_2k")
	if !ok {
		t.Fatal("the price book has no primer")
	}
	primer.ValidFrom = today
	primer.Packs = []domain.Pack{{Size: places("1"), Cost: places("31")}, {Size: places("5"), Cost: places("140")}}
	if _, err := w.App.SetPrices(t.Context(), w.Owner.Actor, app.Precondition{Given: true, Version: shop.PriceBookVersion}, app.PriceChange{Set: []domain.PriceRow{{Material: &primer}}}); err != nil {
		t.Fatal(err)
	}
	page := w.PageOf(t, w.Owner, w.OtherJob)
	line := domain.Line{PhaseID: page.Estimate.Phases[2].ID, Kind: pricing.Material, Description: "Primer", Quantity: places("1.2"), Unit: "l", UnitCost: primer.UnitCost,
		MarkupPercent: primer.MarkupPercent, WastePercent: decimal.Zero, DiscountPercent: decimal.Zero, TaxClass: primer.TaxClass, PriceItem: primer.Key}
	page, err := w.App.AddLine(t.Context(), w.Owner.Actor, w.OtherJob, madeOn(page), line)
	if err != nil {
		t.Fatal(err)
	}
	if page, err = w.App.MoveJob(t.Context(), w.Owner.Actor, w.OtherJob, madeOn(page), domain.Surveyed, "Walked round."); err != nil {
		t.Fatal(err)
	}
	q, err := w.App.IssueQuote(t.Context(), w.Owner.Actor, w.OtherJob, madeOn(page), testkit.FreshKey(), 30, "")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.App.DecideQuote(t.Context(), w.OtherClient.Actor, q.ID, testkit.FreshKey(), app.PortalDecision{Accepted: true, Name: "Osric Vane", Signature: "O. Vane", DocumentHash: q.DocumentHash}); err != nil {
		t.Fatal(err)
	}
}

func places(s string) decimal.Decimal { return decimal.RequireFromString(s) }

func madeOn(p app.JobPage) app.Precondition {
	return app.Precondition{Given: true, Version: p.Job.Version}
}

// takenOver has the example job take half a litre of it, and remembers {remainder}.
func takenOver(t *testing.T, w *testkit.World) { takeOver(t, w) }

func takeOver(t testing.TB, w *testkit.World) {
	t.Helper()
	leaveOver(t, w)
	_, err := w.App.UseRemainder(t.Context(), w.Owner.Actor, w.Job, testkit.FreshKey(), app.TakenRemainder{Material: "primer_2k", FromJobID: w.OtherJob, Quantity: places("0.5"), Unit: "l"})
	if err != nil {
		t.Fatal(err)
	}
	all, err := w.App.Remainders(t.Context(), w.Owner.Actor)
	if err != nil || len(all) == 0 || len(all[0].Moves) == 0 {
		t.Fatalf("nothing was taken: %+v, %v", all, err)
	}
	w.Set("remainder", all[0].Moves[0].ID)
}
