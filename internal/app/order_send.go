package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/paper"
	"bareframe/internal/policy"
)

// SendOrder puts a draft before the client: effect and document are fixed and
// the client's waiting begins.
func (a *App) SendOrder(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, key string, validDays int) (OrderPage, error) {
	err := reckoning(func() error {
		ahead, err := a.orderAhead(ctx, actor, "sendOrder", id, func(o domain.ChangeOrder) ([]domain.Choice, bool) {
			return o.Advised(), made.Version == o.Version && o.MayEdit(a.now()) == nil
		})
		if err != nil {
			return err
		}
		_, err = once(ctx, a, actor, "sendOrder", key, []any{id, made, validDays}, func(w *work) (domain.ID, error) {
			return id, w.sendOrder(id, made, validDays, ahead)
		})
		return err
	})
	if err != nil {
		return OrderPage{}, err
	}
	return a.Order(ctx, actor, id)
}

func (w *work) sendOrder(id domain.ID, made Precondition, validDays int, ahead *floorAhead) error {
	o, err := w.Order(id)
	if err != nil {
		return err
	}
	if err := w.orderStillAt(o, made); err != nil {
		return err
	}
	if err := o.MayEdit(w.now); err != nil {
		return err
	}
	b, err := w.orderable(o.JobID)
	if err != nil {
		return err
	}
	b.beside, b.ahead = true, ahead
	out, err := b.effectOf(o, o.Advised(), placeholders())
	if err != nil {
		return err
	}
	zone := b.shop.Zone()
	expires := domain.DayOf(w.now, zone).Start(zone).AddDate(0, 0, validDays+1).UTC()
	if err := o.Send(w.now, expires, w.actor.Name, "", out.effect); err != nil {
		if refusal := fault.As(err); refusal != nil && out.effect.Contradiction != nil {
			return refusal.With(*out.effect.Contradiction)
		}
		return err
	}
	if o.Opening, err = openingOf(w, b, o); err != nil {
		return err
	}
	doc, err := w.orderDocument(b, o)
	if err != nil {
		return err
	}
	o.DocumentHash = doc.Hash
	if err := w.SaveOrder(o); err != nil {
		return err
	}
	if err := w.AddOrderDocument(o.ID, o.Revision, false, doc); err != nil {
		return err
	}
	if err := w.moveFindings(o.FindingIDs(), o.ID, domain.FindingSent, ""); err != nil {
		return err
	}
	if err := w.postOrder(b, o); err != nil {
		return err
	}
	w.tell(b.job, "order")
	return w.trail("order "+o.ID, o.JobID, map[string]any{"state": domain.OrderDraft},
		map[string]any{"state": o.State, "expires_at": expires, "document": doc.Hash, "effect": o.Effect})
}

func (w *work) orderDocument(b *orderBase, o domain.ChangeOrder) (domain.Document, error) {
	return documentOf(w, b, o)
}

// documentOf writes the exact document of an order as it stands, and its hash.
func documentOf(r Reader, b *orderBase, o domain.ChangeOrder) (domain.Document, error) {
	client, err := r.Person(b.job.ClientID)
	if err != nil {
		return domain.Document{}, err
	}
	findings, err := findingsOf(r, b.job.ID)
	if err != nil {
		return domain.Document{}, err
	}
	s, err := paper.Order(paper.OrderData{Shop: b.shop, Job: b.job, Client: client, Order: o, Findings: findings, Zones: b.zones})
	if err != nil {
		return domain.Document{}, err
	}
	return issued(o.ID, s)
}

// OrderDocument returns the document as decided, else as sent; of a draft how it
// would read today.
func (a *App) OrderDocument(ctx context.Context, actor domain.Actor, id domain.ID, form Form) (domain.Document, error) {
	return a.documentFor(ctx, actor, "getOrderDocument", id, form)
}

// ClientOrderDocument returns the document to its client.
func (a *App) ClientOrderDocument(ctx context.Context, actor domain.Actor, id domain.ID, form Form) (domain.Document, error) {
	return a.documentFor(ctx, actor, "getClientOrderDocument", id, form)
}

func (a *App) documentFor(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID, form Form) (doc domain.Document, err error) {
	err = a.view(ctx, actor, action, func(r Reader) error {
		o, _, err := orderWithin(r, actor, action, id)
		if err != nil {
			return err
		}
		if o.SentAt != nil {
			doc, err = r.OrderDocument(id, o.Revision, o.Decision != nil)
			return err
		}
		b, err := a.orderBaseOf(r, o.JobID)
		if err != nil {
			return err
		}
		out, err := b.effectOf(o, o.Advised(), placeholders())
		if err != nil {
			return err
		}
		o.Effect = out.effect
		if o.Opening, err = openingOf(r, b, o); err != nil {
			return err
		}
		doc, err = documentOf(r, b, o)
		doc.Hash = "" // it was not issued
		return err
	})
	if err != nil {
		return doc, err
	}
	return a.inForm(ctx, doc, form)
}
