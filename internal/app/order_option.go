package app

import (
	"context"
	"fmt"
	"slices"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

// OrderOption drafts a change order from an option that the quote left: its tasks,
// links, lines and points. Of a group it comes instead of the one that was taken,
// whose work is taken out where nobody has begun it. What of a task no order can
// hold stays behind: an earliest and a latest day.
func (a *App) OrderOption(ctx context.Context, actor domain.Actor, jobID, optionID domain.ID, key string) (OrderPage, error) {
	id, err := once(ctx, a, actor, "orderOption", key, []any{jobID, optionID}, func(w *work) (domain.ID, error) {
		b, err := w.orderable(jobID)
		if err != nil {
			return "", err
		}
		d, err := b.draftOf(optionID)
		if err != nil {
			return "", err
		}
		return w.addOrder(jobID, d)
	})
	if err != nil {
		return OrderPage{}, err
	}
	return a.Order(ctx, actor, id)
}

// Bounds of an order's option, as the contract has them.
const (
	mostOrderTasks = 40
	mostOrderLines = 60
	mostOrderRefs  = 50
)

// draftOf writes the draft that brings an option in.
func (b *orderBase) draftOf(optionID domain.ID) (OrderDraft, error) {
	o, ok := b.whole.Option(optionID)
	if !ok {
		return OrderDraft{}, optionNotFound()
	}
	if err := b.mayTake(o); err != nil {
		return OrderDraft{}, err
	}
	then, err := b.whole.Choose(b.whole.Toggled(o.ID))
	if err != nil {
		return OrderDraft{}, err
	}
	gains := b.whole.GainsInstead(o)
	option := domain.OrderOption{Key: "o1", Name: cut(o.Name, 120), Note: o.Note, Advised: true, TakesOption: o.ID,
		Originality: gains.Originality, Condition: gains.Condition}
	b.bring(&option, then.InForce())
	stays := "The work stays as the quote says, without this."
	if other, instead := b.insteadOf(o); instead {
		stays = fmt.Sprintf("It stays as the quote says: %s.", other.Name)
		b.leaveOut(&option, other)
	}
	if len(option.Tasks) > mostOrderTasks || len(option.Lines) > mostOrderLines {
		return OrderDraft{}, fault.New(fault.Conflict, "option-too-large", "%s has %d tasks and %d lines; one option of an order holds %d and %d. Put it into orders by hand.",
			o.Label(), len(option.Tasks), len(option.Lines), mostOrderTasks, mostOrderLines)
	}
	label := cut(o.Label(), 120)
	return OrderDraft{Kind: domain.FromClientWish, Title: label, Reason: "The quote left this open, and the client would now like it done after all.",
		Items: []domain.OrderItem{{Key: "i1", Title: label, IfNot: stays, FindingIDs: []domain.ID{}, Options: []domain.OrderOption{option}}}}, nil
}

// mayTake refuses an option that is agreed already, or waits in another order.
func (b *orderBase) mayTake(o domain.Option) error {
	if o.Taken {
		return fault.New(fault.Conflict, "option-taken", "%s was taken with the quote.", o.Label())
	}
	if why := b.tookBefore(o.ID); why != nil {
		return fault.New(fault.Conflict, "option-taken", "%s", why.Detail)
	}
	for _, other := range b.orders {
		state := other.StateAt(b.now)
		if (state == domain.OrderDraft || state == domain.OrderSent) && other.TakesOption(o.ID) {
			return fault.New(fault.Conflict, "option-in-order", "%s is in change order %d already, which is %s.", o.Label(), other.Number, state)
		}
	}
	return nil
}

// tookBefore says why an option cannot be brought in any more: an approved order
// has brought in it, or another of its group.
func (b *orderBase) tookBefore(id domain.ID) *domain.Contradiction {
	o, ok := b.e.Option(id)
	if !ok {
		return &domain.Contradiction{Detail: "The option that this brings in is not there any more.", Tasks: []string{}}
	}
	for came, order := range domain.TakenBy(b.orders) {
		other, _ := b.e.Option(came)
		if came == id || o.Group != "" && other.Group == o.Group {
			return &domain.Contradiction{Detail: fmt.Sprintf("%s was taken with change order %d.", other.Label(), order.Number), Tasks: []string{}}
		}
	}
	return nil
}

func (b *orderBase) insteadOf(o domain.Option) (domain.Option, bool) {
	for _, other := range b.whole.Options {
		if o.Group != "" && other.Group == o.Group && other.Taken {
			return other, true
		}
	}
	return domain.Option{}, false
}

// bring puts the tasks, links and lines into an order's option that are in force
// only once it is taken.
func (b *orderBase) bring(option *domain.OrderOption, then domain.Estimate) {
	keys, zones := map[domain.ID]string{}, map[string]domain.ID{}
	for id, name := range b.zones {
		zones[name] = id
	}
	for _, t := range then.Tasks {
		if _, agreed := b.e.Task(t.ID); !agreed {
			keys[t.ID] = fmt.Sprintf("t%d", len(option.Tasks)+1)
			option.Tasks = append(option.Tasks, domain.OrderTask{Key: keys[t.ID], PhaseID: t.PhaseID, Name: t.Name, Note: t.Note, Kind: t.Kind, Hours: t.Hours,
				ElapsedHours: t.ElapsedHours, LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, Station: t.Station, ZoneID: zones[t.Zone],
				Cautions: t.Cautions, HoldPoint: t.HoldPoint, TaxClass: t.TaxClass})
		}
	}
	for _, l := range then.Links {
		b.bringLink(option, l, keys)
	}
	agreed := func(id domain.ID) bool {
		return slices.ContainsFunc(b.e.Lines, func(l domain.Line) bool { return l.ID == id })
	}
	for _, l := range then.Lines {
		if agreed(l.ID) {
			continue
		}
		option.Lines = append(option.Lines, domain.OrderLine{PhaseID: l.PhaseID, TaskKey: keys[l.TaskID], Kind: l.Kind, Description: l.Description, Quantity: l.Quantity,
			Unit: l.Unit, UnitCost: l.UnitCost, MarkupPercent: l.MarkupPercent, WastePercent: l.WastePercent, DiscountPercent: l.DiscountPercent, TaxClass: l.TaxClass})
	}
}

// bringLink writes a link of a new task, where an order can say it as following or
// coming before.
func (b *orderBase) bringLink(option *domain.OrderOption, l domain.Link, keys map[domain.ID]string) {
	from, fromNew := keys[l.FromID]
	to, toNew := keys[l.ToID]
	if !fromNew && !toNew {
		return
	}
	if !fromNew {
		from = l.FromID
	}
	if !toNew {
		to = l.ToID
	}
	at := func(key string) *domain.OrderTask {
		i := slices.IndexFunc(option.Tasks, func(t domain.OrderTask) bool { return t.Key == key })
		return &option.Tasks[i]
	}
	plain := l.Type == network.FS && l.LagHours.IsZero() && l.MaxLagHours == nil
	switch {
	case plain && toNew && len(at(to).After) < mostOrderRefs:
		at(to).After = append(at(to).After, from)
	case plain && !toNew && len(at(from).Before) < mostOrderRefs:
		at(from).Before = append(at(from).Before, to)
	default:
		option.Links = append(option.Links, domain.OrderLink{From: from, To: to, Type: l.Type, LagHours: l.LagHours, LagKind: l.LagKind, MaxLagHours: l.MaxLagHours})
	}
}

// leaveOut takes out what was agreed of another option, but for what was begun.
func (b *orderBase) leaveOut(option *domain.OrderOption, other domain.Option) {
	begun := map[domain.ID]bool{}
	for _, t := range b.e.Tasks {
		if t.OptionID != other.ID || t.Scope != domain.Authorised {
			continue
		}
		if begun[t.ID] = b.begun[t.ID] || t.ReleasedAt != nil; !begun[t.ID] {
			option.RemovesTasks = append(option.RemovesTasks, t.ID)
		}
	}
	for _, l := range b.e.Lines {
		gone := slices.Contains(option.RemovesTasks, l.TaskID)
		if l.OptionID == other.ID && l.Scope == domain.Authorised && !gone && !begun[l.TaskID] {
			option.RemovesLines = append(option.RemovesLines, l.ID)
		}
	}
}

// OptionOrdered is a change order that brings in an option: open, or approved.
type OptionOrdered struct {
	OptionID domain.ID
	Order    domain.OrderRef
	State    domain.OrderState
}

// orderedOptions lists the orders of a job's options; the approved one wins.
func (a *App) orderedOptions(r Reader, e domain.Estimate, jobID domain.ID) ([]OptionOrdered, error) {
	all, err := r.Orders([]domain.ID{jobID})
	if err != nil {
		return nil, err
	}
	out, by := []OptionOrdered{}, domain.TakenBy(all[jobID])
	for _, o := range e.Options {
		if order, came := by[o.ID]; came {
			out = append(out, OptionOrdered{o.ID, domain.OrderRef{ID: order.ID, Number: order.Number}, order.State})
			continue
		}
		for _, order := range all[jobID] {
			if state := order.StateAt(a.now()); (state == domain.OrderDraft || state == domain.OrderSent) && order.TakesOption(o.ID) {
				out = append(out, OptionOrdered{o.ID, domain.OrderRef{ID: order.ID, Number: order.Number}, state})
				break
			}
		}
	}
	return out, nil
}
