package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// OrderDraft is what an owner writes of an order.
type OrderDraft struct {
	Kind   domain.OrderKind
	Title  string
	Reason string
	Note   string
	Items  []domain.OrderItem
}

// mostOrders bounds the orders of one job.
const mostOrders = 200

// AddOrder drafts a change order. Its findings, if any, are gathered into it.
func (a *App) AddOrder(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, d OrderDraft) (OrderPage, error) {
	id, err := once(ctx, a, actor, "addOrder", key, []any{jobID, d}, func(w *work) (domain.ID, error) { return w.addOrder(jobID, d) })
	if err != nil {
		return OrderPage{}, err
	}
	return a.Order(ctx, actor, id)
}

func (w *work) addOrder(jobID domain.ID, d OrderDraft) (domain.ID, error) {
	b, err := w.orderable(jobID)
	if err != nil {
		return "", err
	}
	if len(b.orders) >= mostOrders {
		return "", fault.New(fault.Conflict, "too-many-orders", "A job has at most %d change orders.", mostOrders)
	}
	number, err := w.NextOrderNumber(jobID)
	if err != nil {
		return "", err
	}
	o := domain.ChangeOrder{ID: w.app.newID(), JobID: jobID, Number: number, Version: 1, State: domain.OrderDraft, CreatedAt: w.now, CreatedBy: w.actor.Name}
	write(&o, d)
	if err := w.mayDraft(b, o); err != nil {
		return "", err
	}
	if err := w.AddOrder(o); err != nil {
		return "", err
	}
	if err := w.gather(o, nil); err != nil {
		return "", err
	}
	w.tell(b.job, "order")
	return o.ID, w.trail("order "+o.ID, jobID, nil, o)
}

// ChangeOrder edits a draft. Findings that are left out of it wait again.
func (a *App) ChangeOrder(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, d OrderDraft) (OrderPage, error) {
	err := a.change(ctx, actor, "changeOrder", func(w *work) error {
		before, err := w.Order(id)
		if err != nil {
			return err
		}
		if err := w.orderStillAt(before, made); err != nil {
			return err
		}
		if err := before.MayEdit(w.now); err != nil {
			return err
		}
		b, err := w.orderable(before.JobID)
		if err != nil {
			return err
		}
		o := before
		write(&o, d)
		o.Version++
		if err := w.mayDraft(b, o); err != nil {
			return err
		}
		if err := w.SaveOrder(o); err != nil {
			return err
		}
		if err := w.gather(o, before.FindingIDs()); err != nil {
			return err
		}
		w.tell(b.job, "order")
		return w.trail("order "+o.ID, o.JobID, before, o)
	})
	if err != nil {
		return OrderPage{}, err
	}
	return a.Order(ctx, actor, id)
}

func write(o *domain.ChangeOrder, d OrderDraft) {
	o.Kind, o.Title, o.Reason, o.Note, o.Items = d.Kind, d.Title, d.Reason, d.Note, d.Items
}

// orderable loads the base of a job that orders may be drafted for: sold, so
// that there is a price to change, and not over.
func (w *work) orderable(jobID domain.ID) (*orderBase, error) {
	b, err := w.app.orderBaseOf(w, jobID)
	if err != nil {
		return nil, err
	}
	return b, workable(b.job)
}

func workable(job domain.Job) error {
	if !job.Sold() || !job.Workable() {
		return fault.New(fault.Conflict, "job-not-in-work", "Job %d is %s; change orders belong to a job whose quote was accepted and whose work is not over.", job.Number, job.State)
	}
	return nil
}

// mayDraft refuses a draft that names what is not there or cannot be priced. A
// draft that cannot be scheduled is kept: its effect shows why.
func (w *work) mayDraft(b *orderBase, o domain.ChangeOrder) error {
	if err := o.Validate(b.shop, b.e); err != nil {
		return err
	}
	if err := w.knownZones(b, o); err != nil {
		return err
	}
	if err := w.mayGather(o); err != nil {
		return err
	}
	b.ownOnly = true
	_, err := b.effectOf(o, o.Advised(), placeholders())
	return err
}

func (w *work) orderStillAt(o domain.ChangeOrder, made Precondition) error {
	if made.Given && made.Version == o.Version {
		return nil
	}
	page, err := w.app.orderPage(w, o.ID)
	if err != nil {
		return err
	}
	return made.check(o.Version, page)
}

// WithdrawOrder takes back a draft or an order that waits for a decision; its
// findings wait again.
func (a *App) WithdrawOrder(ctx context.Context, actor domain.Actor, id domain.ID, key, reason string) (OrderPage, error) {
	_, err := once(ctx, a, actor, "withdrawOrder", key, []string{id, reason}, func(w *work) (domain.ID, error) {
		o, job, err := w.orderOf("withdrawOrder", id)
		if err != nil {
			return "", err
		}
		was := o.StateAt(w.now)
		if err := o.Withdraw(w.now, reason); err != nil {
			return "", err
		}
		if err := w.SaveOrder(o); err != nil {
			return "", err
		}
		if err := w.freeFindings(o.FindingIDs()); err != nil {
			return "", err
		}
		w.tell(job, "order")
		return id, w.trail("order "+o.ID, job.ID, map[string]any{"state": was}, map[string]any{"state": o.State, "reason": reason})
	})
	if err != nil {
		return OrderPage{}, err
	}
	return a.Order(ctx, actor, id)
}

// orderOf loads an order with its job and holds the actor's reach against it. A
// client sees an order from its sending on.
func (w *work) orderOf(action policy.Action, id domain.ID) (domain.ChangeOrder, domain.Job, error) {
	return orderWithin(w, w.actor, action, id)
}

func orderWithin(r Reader, actor domain.Actor, action policy.Action, id domain.ID) (domain.ChangeOrder, domain.Job, error) {
	o, err := r.Order(id)
	if err != nil {
		return o, domain.Job{}, err
	}
	job, err := r.Job(o.JobID)
	if err != nil {
		return o, job, err
	}
	if err := policy.AllowOn(actor, action, policy.Subject{JobID: job.ID, ClientID: job.ClientID}); err != nil {
		return o, job, err
	}
	if actor.Role == domain.Client && o.SentAt == nil {
		return o, job, fault.New(fault.NotFound, "not-found", "There is no such thing here.")
	}
	return o, job, nil
}
