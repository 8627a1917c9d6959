package app

import (
	"context"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// OrderPage is a change order with everything that its page shows. The effect of
// a draft is computed; of what was sent it is what was sent, then what was decided.
type OrderPage struct {
	Order    domain.ChangeOrder
	Job      domain.Job
	Messages []domain.OrderMessage
	Waited   Waited
	Findings map[domain.ID]domain.Finding // those of the order
	Photos   map[domain.ID]domain.Photo   // of the findings
	Zones    map[domain.ID]string
	AsOf     time.Time
}

// Waited is how many working days an order has cost so far and whose they are.
type Waited struct {
	Shop   int // from the first report to the sending
	Client int // from the sending to the decision
}

// QuestionOpen reports whether the last word is the client's.
func (p OrderPage) QuestionOpen() bool {
	n := len(p.Messages)
	return n > 0 && p.Messages[n-1].Role == domain.Client
}

// Orders lists a job's orders, newest first.
func (a *App) Orders(ctx context.Context, actor domain.Actor, jobID domain.ID) (out []OrderPage, err error) {
	err = a.view(ctx, actor, "listOrders", func(r Reader) error {
		out, err = a.orderPages(r, jobID, "")
		return err
	})
	return out, err
}

// Order returns one order for the owner.
func (a *App) Order(ctx context.Context, actor domain.Actor, id domain.ID) (page OrderPage, err error) {
	err = a.view(ctx, actor, "getOrder", func(r Reader) error {
		page, err = a.orderPage(r, id)
		return err
	})
	return page, err
}

// ClientOrders lists the orders of a client's own job that were sent, newest
// first.
func (a *App) ClientOrders(ctx context.Context, actor domain.Actor, jobID domain.ID) (out []OrderPage, err error) {
	err = a.view(ctx, actor, "listClientOrders", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		if err := policy.AllowOn(actor, "listClientOrders", policy.Subject{JobID: job.ID, ClientID: job.ClientID}); err != nil {
			return err
		}
		all, err := a.orderPages(r, jobID, "")
		for _, p := range all {
			if p.Order.SentAt != nil {
				out = append(out, p)
			}
		}
		return err
	})
	return out, err
}

// ClientOrder returns one order that was sent for its client.
func (a *App) ClientOrder(ctx context.Context, actor domain.Actor, id domain.ID) (page OrderPage, err error) {
	err = a.view(ctx, actor, "getClientOrder", func(r Reader) error {
		if _, _, err := orderWithin(r, actor, "getClientOrder", id); err != nil {
			return err
		}
		page, err = a.orderPage(r, id)
		return err
	})
	return page, err
}

func (a *App) orderPage(r Reader, id domain.ID) (OrderPage, error) {
	o, err := r.Order(id)
	if err != nil {
		return OrderPage{}, err
	}
	pages, err := a.orderPages(r, o.JobID, id)
	if err != nil {
		return OrderPage{}, err
	}
	for _, p := range pages {
		if p.Order.ID == id {
			return p, nil
		}
	}
	return OrderPage{}, fault.New(fault.NotFound, "order-not-found", "There is no such order.")
}

// orderPages makes the pages of a job's orders, or of one of them.
func (a *App) orderPages(r Reader, jobID, only domain.ID) ([]OrderPage, error) {
	b, err := a.orderBaseOf(r, jobID)
	if err != nil {
		return nil, err
	}
	findings, err := findingsOf(r, jobID)
	if err != nil {
		return nil, err
	}
	photos, err := photosOf(r, jobID)
	if err != nil {
		return nil, err
	}
	var ids []domain.ID
	for _, o := range b.orders {
		if only == "" || o.ID == only {
			ids = append(ids, o.ID)
		}
	}
	messages, err := r.OrderMessages(ids)
	if err != nil {
		return nil, err
	}
	out := []OrderPage{}
	for _, o := range b.orders {
		if only != "" && o.ID != only {
			continue
		}
		p := OrderPage{Order: o, Job: b.job, Messages: messages[o.ID], Findings: map[domain.ID]domain.Finding{}, Photos: photos, Zones: b.zones, AsOf: b.now}
		if o.State == domain.OrderDraft {
			effect, err := b.effectOf(o, o.Advised(), placeholders())
			if err != nil {
				return nil, err
			}
			p.Order.Effect = effect.effect
		}
		for _, id := range o.FindingIDs() {
			if f, ok := findings[id]; ok {
				p.Findings[id] = f
			}
		}
		p.Waited = b.waited(p.Order, p.Findings)
		out = append(out, p)
	}
	return out, nil
}

func photosOf(r Reader, jobID domain.ID) (map[domain.ID]domain.Photo, error) {
	out := map[domain.ID]domain.Photo{}
	all, err := r.Photos(jobID)
	for _, p := range all {
		out[p.ID] = p
	}
	return out, err
}

// waited counts from the first report, or without findings from the drafting, to
// the sending; and from the sending to the end of the order, or to now.
func (b *orderBase) waited(o domain.ChangeOrder, findings map[domain.ID]domain.Finding) Waited {
	from := o.CreatedAt
	for _, f := range findings {
		if f.At.Before(from) {
			from = f.At
		}
	}
	end := b.now
	switch {
	case o.DecidedAt != nil:
		end = *o.DecidedAt
	case o.ExpiresAt != nil && o.ExpiresAt.Before(end):
		end = *o.ExpiresAt
	}
	if o.SentAt == nil {
		return Waited{Shop: workingDaysUntil(b.cal, b.shop.Zone(), from, end)}
	}
	return Waited{Shop: workingDaysUntil(b.cal, b.shop.Zone(), from, *o.SentAt), Client: workingDaysUntil(b.cal, b.shop.Zone(), *o.SentAt, end)}
}

// workingDaysUntil counts the working days that begin after one instant and not
// after another.
func workingDaysUntil(cal *calendar.Calendar, zone *time.Location, from, to time.Time) int {
	n := 0
	for d := domain.DayOf(from, zone); ; n++ {
		d = domain.DayOf(cal.NextOpen(d.End(zone)), zone)
		if d.Start(zone).After(to) {
			return n
		}
	}
}

// PreviewOrder computes what a selection would do. Nothing is stored.
func (a *App) PreviewOrder(ctx context.Context, actor domain.Actor, id domain.ID, choices []domain.Choice) (domain.OrderEffect, error) {
	return a.preview(ctx, actor, "previewOrder", id, choices)
}

// PreviewClientOrder is PreviewOrder of a client's own order.
func (a *App) PreviewClientOrder(ctx context.Context, actor domain.Actor, id domain.ID, choices []domain.Choice) (domain.OrderEffect, error) {
	return a.preview(ctx, actor, "previewClientOrder", id, choices)
}

func (a *App) preview(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID, choices []domain.Choice) (effect domain.OrderEffect, err error) {
	err = a.view(ctx, actor, action, func(r Reader) error {
		o, _, err := orderWithin(r, actor, action, id)
		if err != nil {
			return err
		}
		if state := o.StateAt(a.now()); state != domain.OrderDraft && state != domain.OrderSent {
			return fault.New(fault.Conflict, "order-over", "Order %d is %s; nothing is chosen on it any more.", o.Number, state)
		}
		chosen, err := o.Selected(choices, false)
		if err != nil {
			return err
		}
		b, err := a.orderBaseOf(r, o.JobID)
		if err != nil {
			return err
		}
		out, err := b.effectOf(o, chosen, placeholders())
		effect = out.effect
		return err
	})
	return effect, err
}
