package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// orderedJob makes a sold job of 200 tasks with one order with the client and a
// draft of two items with two options each, and returns the draft.
func orderedJob(b *testing.B, k *bench, mark string) domain.ID {
	b.Helper()
	must := func(err error) {
		b.Helper()
		if err != nil {
			b.Fatal(err)
		}
	}
	templates, err := k.app.Templates(b.Context(), k.owner)
	must(err)
	demo, err := k.app.JobPage(b.Context(), k.owner, k.job)
	must(err)
	var template domain.Template
	for _, x := range templates {
		if x.Plan.Name == demo.Job.TemplateName {
			template = x
		}
	}
	page, err := k.app.CreateJob(b.Context(), k.owner, "bench-order-job-1"+mark, app.NewJob{Title: "Two hundred tasks", TemplateID: template.ID, ClientID: demo.Job.ClientID, Vehicle: demo.Job.Vehicle})
	must(err)
	hours := domain.ThreePoint{Low: decimal.NewFromInt(1), Likely: decimal.NewFromInt(2), High: decimal.NewFromInt(4)}
	skill := page.Shop.PriceBook.Labour[0].Skill
	for i := 0; len(page.Estimate.Tasks) < 200; i++ {
		phase := page.Estimate.Phases[i%len(page.Estimate.Phases)]
		after := []domain.ID{page.Estimate.Tasks[(i*7)%40].ID}
		page, err = k.app.AddTask(b.Context(), k.owner, page.Job.ID, app.Precondition{Given: true, Version: page.Job.Version},
			domain.Task{PhaseID: phase.ID, Code: fmt.Sprintf("Z%d", i), Name: "More work", Kind: domain.Work, Hours: hours, Skill: skill, Crew: 1, TaxClass: "repair_labour", Cautions: []string{}}, after, nil)
		must(err)
	}
	q, err := k.app.IssueQuote(b.Context(), k.owner, page.Job.ID, app.Precondition{Given: true, Version: page.Job.Version}, "bench-order-quote"+mark, 30, "")
	must(err)
	client := domain.Actor{ShopID: k.owner.ShopID, PersonID: demo.Job.ClientID, Name: "bench", Role: domain.Client}
	_, err = k.app.DecideQuote(b.Context(), client, q.ID, "bench-order-accept"+mark, app.PortalDecision{Accepted: true, Name: "b", Signature: "b", DocumentHash: q.DocumentHash})
	must(err)
	draft := app.OrderDraft{Kind: domain.FromFinding, Title: "Two places", Reason: "Found."}
	for i := range 2 {
		item := domain.OrderItem{Key: fmt.Sprintf("i%d", i), Title: "A place", MayLeave: true}
		for n := range 2 {
			item.Options = append(item.Options, domain.OrderOption{Key: fmt.Sprintf("o%d", n), Name: "One way", Tasks: []domain.OrderTask{{Key: "t", PhaseID: page.Estimate.Phases[2].ID, Name: "Repair",
				Kind: domain.Work, Hours: hours, Skill: skill, Crew: 1, TaxClass: "repair_labour", After: []string{page.Estimate.Tasks[20+i].ID}, Before: []string{page.Estimate.Tasks[60+n].ID}}},
				HoursChanges: []domain.HoursChange{{TaskID: page.Estimate.Tasks[30+i].ID, Hours: hours}}})
		}
		draft.Items = append(draft.Items, item)
	}
	waits, err := k.app.AddOrder(b.Context(), k.owner, page.Job.ID, "bench-order-first"+mark, draft)
	must(err)
	if waits.Order.Effect.Contradiction != nil {
		b.Fatal(waits.Order.Effect.Contradiction)
	}
	_, err = k.app.SendOrder(b.Context(), k.owner, waits.Order.ID, app.Precondition{Given: true, Version: 1}, "bench-order-send"+mark, 14)
	must(err)
	draft.Items[0].Options[0].HoursChanges, draft.Items[0].Options[1].HoursChanges, draft.Items[1].Options[0].HoursChanges = nil, nil, nil
	p, err := k.app.AddOrder(b.Context(), k.owner, page.Job.ID, "bench-order-second"+mark, draft)
	must(err)
	return p.Order.ID
}

// BenchmarkOrderEffect is the effect of a change order on a job of 200 tasks
// through sign-in, contract, use case, store and JSON: two items of two options,
// alone and with another order that waits. Budget: 50 ms.
func BenchmarkOrderEffect(b *testing.B) {
	k := newBench(b)
	id := orderedJob(b, k, "")
	b.ReportAllocs()
	for b.Loop() {
		askEffect(b, k, id)
	}
}

// BenchmarkOrderEffectOnFloor is the same with the dates of a floor that was planned:
// six schedules of the whole shop when it is asked first (first-ms), none when nothing
// has happened since.
func BenchmarkOrderEffectOnFloor(b *testing.B) {
	for _, jobs := range []int{1, 7} {
		b.Run(fmt.Sprintf("%d jobs of 200 tasks", jobs), func(b *testing.B) {
			k := newBench(b)
			var id domain.ID
			for n := range jobs {
				id = orderedJob(b, k, fmt.Sprint(n))
			}
			if _, err := k.app.MakePlans(b.Context(), true); err != nil {
				b.Fatal(err)
			}
			began := time.Now()
			if source := askEffect(b, k, id); source != "floor" {
				b.Fatalf("the dates come from %q", source)
			}
			first := time.Since(began)
			b.ReportAllocs()
			for b.Loop() {
				askEffect(b, k, id)
			}
			b.ReportMetric(float64(first.Microseconds())/1000, "first-ms")
		})
	}
}

// askEffect asks for an effect and says where its dates come from.
func askEffect(b *testing.B, k *bench, id domain.ID) string {
	b.Helper()
	r := httptest.NewRequest(http.MethodPost, "/api/orders/"+id+"/effect", strings.NewReader(`{"choices":[{"item_key":"i0","option_key":"o0"},{"item_key":"i1","option_key":"o1"}]}`))
	r.Header.Set("Cookie", k.cookie)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	w := httptest.NewRecorder()
	k.handler.ServeHTTP(w, r)
	if w.Code != http.StatusOK {
		b.Fatalf("%d %s", w.Code, w.Body)
	}
	var e struct {
		Others struct{ Orders []any } `json:"with_others"`
		Dates  struct{ Source string }
	}
	if err := json.Unmarshal(w.Body.Bytes(), &e); err != nil || len(e.Others.Orders) != 1 {
		b.Fatalf("%v: %s", err, w.Body)
	}
	return e.Dates.Source
}
