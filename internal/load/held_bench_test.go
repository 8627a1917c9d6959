package load

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/demo"
	"bareframe/internal/domain"
	"bareframe/internal/password"
	"bareframe/internal/store"
)

// writer is a store that notes how long the only writer of SQLite is held.
type writer struct {
	*store.Store
	held []time.Duration // since it was emptied
}

func (s *writer) Update(ctx context.Context, shop domain.ID, fn func(tx app.Tx) error) error {
	var began time.Time
	err := s.Store.Update(ctx, shop, func(tx app.Tx) error {
		began = time.Now()
		return fn(tx)
	})
	s.held = append(s.held, time.Since(began))
	return err
}

// most is the longest hold since the last time it was asked.
func (s *writer) most() time.Duration {
	longest := slices.Max(s.held)
	s.held = nil
	return longest
}

// BenchmarkWriterHeld issues quotes, and sends and approves change orders, on a planned
// floor of 20 cars of 75 tasks, and says for how long others wait to write meanwhile.
func BenchmarkWriterHeld(b *testing.B) {
	o := store.Options{SQLitePath: filepath.Join(b.TempDir(), "bareframe.db")}
	shop, err := Make(b.Context(), Making{Store: o, Technicians: 12, Jobs: slices.Repeat([]int{tasksOfMany}, 20)})
	if err != nil {
		b.Fatal(err)
	}
	st, err := store.Open(b.Context(), o)
	if err != nil {
		b.Fatal(err)
	}
	defer func() { _ = st.Close() }()
	root, err := Root()
	if err != nil {
		b.Fatal(err)
	}
	rules, err := demo.ReadRules(os.DirFS(filepath.Join(root, "seeds")))
	if err != nil {
		b.Fatal(err)
	}
	w := &writer{Store: st}
	k := &maker{shop: &shop, owner: domain.Actor{ShopID: shop.ID, Name: "Onna Ferrow", Role: domain.Owner, From: "load"}, keys: 1 << 20,
		app: app.New(app.Options{Store: w, Passwords: password.NewKeeper(), Secret: secret, Rules: rules, Now: func() time.Time { return time.Now().UTC() },
			NewID: func() domain.ID { return uuid.Must(uuid.NewV7()).String() }})}
	k.planOnce(b)
	quotes, sent, approved := []float64{}, []float64{}, []float64{}
	for n := 0; b.Loop(); n++ {
		job := k.surveyed(b, shop.Jobs[0].Job)
		order := k.drafted(b, shop.Jobs[n%20].Job.ID)
		w.held = nil
		_, err := k.app.IssueQuote(b.Context(), k.owner, job.Job.ID, app.Precondition{Given: true, Version: job.Job.Version}, k.key(), 30, "")
		k.ok(b, "a quote", err)
		quotes = append(quotes, milliseconds(w.most()))
		p, err := k.app.SendOrder(b.Context(), k.owner, order.ID, app.Precondition{Given: true, Version: order.Version}, k.key(), 14)
		k.ok(b, "an order", err)
		sent = append(sent, milliseconds(w.most()))
		_, err = k.app.RecordOrderDecision(b.Context(), k.owner, order.ID, k.key(), domain.OrderDecision{Approved: true, How: domain.InPerson, Name: "Lio Marrant",
			Said: "Yes.", DecidedAt: time.Now().UTC(), Amount: p.Order.Effect.Amount, AddedParts: "none", AddedLabour: "6 h",
			RevisedTotal: p.Order.Effect.AuthorisedBefore.Add(p.Order.Effect.Amount), Choices: p.Order.Advised()})
		k.ok(b, "a decision", err)
		approved = append(approved, milliseconds(w.most()))
	}
	b.ReportMetric(Median(quotes), "quote-ms")
	b.ReportMetric(Median(sent), "order-sent-ms")
	b.ReportMetric(Median(approved), "order-approved-ms")
}

func (k *maker) ok(b *testing.B, what string, err error) {
	b.Helper()
	if err != nil {
		b.Fatalf("%s: %v", what, err)
	}
}

// planOnce plans the floor with few schedules: how good the plan is does not matter here.
func (k *maker) planOnce(b *testing.B) {
	b.Helper()
	shop, err := k.app.Shop(b.Context(), k.owner)
	k.ok(b, "the shop", err)
	shop.Settings.Floor = &domain.FloorRules{PlanSeconds: 1}
	_, err = k.app.ChangeShop(b.Context(), k.owner, app.Precondition{Given: true, Version: shop.Version}, shop.Settings)
	k.ok(b, "the settings", err)
	_, err = k.app.MakePlans(b.Context(), true)
	k.ok(b, "planning", err)
}

// surveyed is a job like another, not quoted yet.
func (k *maker) surveyed(b *testing.B, like domain.Job) app.JobPage {
	b.Helper()
	page, err := k.app.CreateJob(b.Context(), k.owner, k.key(), app.NewJob{Title: "One more", TemplateID: like.TemplateID, ClientID: like.ClientID, Vehicle: like.Vehicle})
	k.ok(b, "a job", err)
	page, err = k.app.MoveJob(b.Context(), k.owner, page.Job.ID, app.Precondition{Given: true, Version: page.Job.Version}, domain.Surveyed, "Walked round the car.")
	k.ok(b, "surveying", err)
	return page
}

// drafted is an order of one more task on a job.
func (k *maker) drafted(b *testing.B, job domain.ID) domain.ChangeOrder {
	b.Helper()
	h := decimal.NewFromInt(6)
	page, err := k.app.JobPage(b.Context(), k.owner, job)
	k.ok(b, "the job", err)
	tasks := page.Estimate.Tasks
	p, err := k.app.AddOrder(b.Context(), k.owner, job, k.key(), app.OrderDraft{Kind: domain.FromFinding, Title: "One more patch", Reason: "Rusted through.", Items: []domain.OrderItem{{
		Key: "i1", Title: "Patch", Why: "It carries.", IfNot: "It may fold.", Options: []domain.OrderOption{{Key: "patch", Name: "Patch", Advised: true,
			Tasks: []domain.OrderTask{{Key: "t1", PhaseID: tasks[3].PhaseID, Name: "Patch", Kind: domain.Work, Skill: "fitter", Crew: 1, TaxClass: "repair_labour",
				Hours: domain.ThreePoint{Low: h, Likely: h, High: h}, After: []string{tasks[3].ID}, Before: []string{tasks[10].ID}}}}}}}})
	k.ok(b, "drafting", err)
	return p.Order
}
