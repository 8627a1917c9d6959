package store

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

// orderRow is an order with something in every column.
func orderRow(f furniture, id domain.ID, number int, state domain.OrderState) domain.ChangeOrder {
	o := domain.ChangeOrder{ID: id, JobID: f.job.ID, Number: number, Version: 3, Kind: domain.FromFinding, Title: "Left rail", Reason: "Thin.", Note: "n",
		Items: []domain.OrderItem{{Key: "i1", Title: "Rail", Why: "w", IfNot: "n", MayLeave: true, FindingIDs: []domain.ID{"a-f"}, Options: []domain.OrderOption{{Key: "o1", Name: "Patch", Advised: true,
			Tasks:        []domain.OrderTask{{Key: "t1", PhaseID: "a-p1", Name: "Weld", Kind: domain.Work, Hours: domain.ThreePoint{Low: dec("1.5"), Likely: dec("2"), High: dec("3.25")}, Skill: "welder", Crew: 1, Cautions: []string{"hot_work"}, TaxClass: pricing.FabricationLabour, After: []string{"a-t1"}, Before: []string{}}},
			HoursChanges: []domain.HoursChange{{TaskID: "a-t1", Hours: domain.ThreePoint{Low: dec("1"), Likely: dec("1"), High: dec("1")}}}, RemovesTasks: []domain.ID{}, RemovesLines: []domain.ID{},
			Lines: []domain.OrderLine{{PhaseID: "a-p1", Kind: pricing.Fee, Description: "Fee", Quantity: dec("1"), Unit: "lot", UnitCost: dec("7.7775"), TaxClass: pricing.Part}}, Condition: dec("1.5")}}}},
		State: state, CreatedAt: at(10), CreatedBy: "Ada",
		Opening: "Dear ~Ada~ <b>",
		Effect: domain.OrderEffect{Currency: "EUR", Choices: []domain.Choice{{ItemKey: "i1", OptionKey: "o1"}}, Amount: dec("-12.34"), AuthorisedBefore: dec("119.12"),
			Taxes: []domain.OfferTax{}, Lines: []domain.EffectLine{}, Options: []domain.OptionEffect{}, Phases: []domain.PhaseMove{}, Others: domain.OtherOrders{Orders: []domain.OrderRef{}}}}
	if state != domain.OrderDraft {
		o.Revision, o.SentAt, o.SentBy, o.ExpiresAt, o.DocumentHash = 1, ptr(at(20)), "Ada", ptr(at(900)), "hash"
	}
	if state == domain.OrderApproved {
		o.DecidedAt = ptr(at(40))
		o.Decision = &domain.OrderDecision{Approved: true, How: domain.ByTelephone, Name: "Ada Ohm", Contact: "+00", Said: "Yes.", DecidedAt: at(39), RecordedAt: at(40), RecordedBy: "Ada",
			Amount: dec("-12.34"), RevisedTotal: dec("106.78"), Choices: []domain.Choice{{ItemKey: "i1", OptionKey: "o1"}}, DocumentHash: "h2"}
	}
	return o
}

// order stores a draft, a sent and an approved order with a question and a
// document.
func order(t *testing.T, s *Store, f furniture) (draft, sent, over domain.ChangeOrder) {
	t.Helper()
	draft, sent, over = orderRow(f, "a-draft", 1, domain.OrderDraft), orderRow(f, "a-sent", 2, domain.OrderSent), orderRow(f, "a-over", 3, domain.OrderApproved)
	update(t, s, "a", func(tx app.Tx) error {
		return must(tx.AddOrder(draft), tx.AddOrder(sent), tx.AddOrder(over),
			tx.AddOrderMessage(domain.OrderMessage{ID: "a-m1", OrderID: "a-sent", By: "Mirel", Role: domain.Client, At: at(25), Text: "Seen?"}),
			tx.AddOrderDocument("a-sent", 1, false, domain.Document{ContentType: "text/html", Hash: "hash", Body: []byte("sent")}),
			tx.AddOrderDocument("a-over", 1, true, domain.Document{ContentType: "text/html", Hash: "h2", Body: []byte("decided"), Sheet: `{"title":"T"}`}))
	})
	return draft, sent, over
}

func TestOrdersAreReadAsTheyWereWritten(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		furnish(t, s, "b")
		draft, sent, over := order(t, s, f)
		view(t, s, "a", func(r app.Reader) {
			all, err := r.Orders([]domain.ID{f.job.ID, "none"})
			same(t, "Orders", all[f.job.ID], []domain.ChangeOrder{over, sent, draft}, err)
			same(t, "Orders of nothing", all["none"], []domain.ChangeOrder{}, nil)
			one, err := r.Order("a-over")
			same(t, "Order", one, over, err)
			numbers, err := r.OrderNumbers(f.job.ID)
			same(t, "OrderNumbers", numbers, map[domain.ID]int{"a-draft": 1, "a-sent": 2, "a-over": 3}, err)
			said, err := r.OrderMessages([]domain.ID{"a-sent", "a-draft"})
			same(t, "OrderMessages", said, map[domain.ID][]domain.OrderMessage{"a-sent": {{ID: "a-m1", OrderID: "a-sent", By: "Mirel", Role: domain.Client, At: at(25), Text: "Seen?"}}}, err)
			doc, err := r.OrderDocument("a-over", 1, true)
			same(t, "OrderDocument", doc, domain.Document{ID: "a-over", ContentType: "text/html", Hash: "h2", Body: []byte("decided"), Sheet: `{"title":"T"}`}, err)
			_, err = r.OrderDocument("a-over", 1, false)
			refused(t, "a document that is not there", err, fault.NotFound, "document-not-found")
		})
		view(t, s, "b", func(r app.Reader) {
			_, err := r.Order("a-sent")
			refused(t, "another shop's order", err, fault.NotFound, "order-not-found")
		})
		// A draft is edited, then sent, then decided: each step may move what it may.
		draft.Title, draft.Items = "Right rail", draft.Items[:0]
		update(t, s, "a", func(tx app.Tx) error { return tx.SaveOrder(draft) })
		sent.State, sent.Withdrawn, sent.Version = domain.OrderWithdrawn, "Measured again.", 4
		update(t, s, "a", func(tx app.Tx) error { return tx.SaveOrder(sent) })
		view(t, s, "a", func(r app.Reader) {
			got, err := r.Order("a-draft")
			same(t, "the edited draft", got, draft, err)
			got, err = r.Order("a-sent")
			same(t, "the withdrawn order", got, sent, err)
			next := 0
			update(t, s, "a", func(tx app.Tx) (err error) { next, err = tx.NextOrderNumber(f.job.ID); return err })
			same(t, "NextOrderNumber", next, 4, nil)
		})
		over.Title = "Another title"
		refused(t, "changing what is over", s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.SaveOrder(over) }), fault.Conflict, "append-only")
		refused(t, "a number twice", s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.AddOrder(orderRow(f, "a-x", 1, domain.OrderDraft)) }), fault.Conflict, "order-number-taken")
	})
}
