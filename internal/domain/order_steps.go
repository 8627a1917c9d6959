package domain

import (
	"time"

	"bareframe/internal/fault"
)

// The life of a change order, with every step that there is:
//
//	draft → draft (edited), sent, withdrawn
//	sent  → approved, declined, withdrawn; expired by the passing of its day
//	expired → withdrawn, so that its findings can be put into another order
//
// Approved, declined and withdrawn are ends.

// MayEdit refuses the edit of anything but a draft: what was sent stands.
func (o ChangeOrder) MayEdit(now time.Time) error {
	if o.StateAt(now) == OrderDraft {
		return nil
	}
	return fault.New(fault.Conflict, "order-not-draft", "Order %d is %s and is not changed any more; withdraw it and draft another.", o.Number, o.StateAt(now))
}

// Send puts a draft before the client until it expires.
func (o *ChangeOrder) Send(now, expires time.Time, by, hash string, effect OrderEffect) error {
	if state := o.StateAt(now); state != OrderDraft {
		return fault.New(fault.Conflict, "order-not-draft", "Order %d is %s; only a draft is sent.", o.Number, state)
	}
	if len(o.Items) == 0 {
		return fault.New(fault.Conflict, "order-empty", "Order %d has nothing in it yet.", o.Number)
	}
	if effect.Contradiction != nil {
		return fault.New(fault.Conflict, "order-contradiction", "Order %d cannot be sent: %s", o.Number, effect.Contradiction.Detail)
	}
	o.State, o.SentAt, o.SentBy, o.ExpiresAt = OrderSent, &now, by, &expires
	o.DocumentHash, o.Effect = hash, effect
	o.Revision++
	o.Version++
	return nil
}

// Withdraw takes back a draft or what the client has not decided on.
func (o *ChangeOrder) Withdraw(now time.Time, reason string) error {
	switch state := o.StateAt(now); state {
	case OrderDraft, OrderSent, OrderExpired:
	case OrderWithdrawn:
		return fault.New(fault.Conflict, "order-withdrawn", "Order %d was withdrawn already.", o.Number)
	default:
		return fault.New(fault.Conflict, "order-decided", "Order %d is already %s; it stands.", o.Number, state)
	}
	o.State, o.Withdrawn, o.DecidedAt = OrderWithdrawn, reason, &now
	o.Version++
	return nil
}

// Decidable refuses a decision on anything but an order that is with the client,
// and says what became of it.
func (o ChangeOrder) Decidable(now time.Time) error {
	switch state := o.StateAt(now); state {
	case OrderSent:
		return nil
	case OrderDraft:
		return fault.New(fault.Conflict, "order-not-sent", "Order %d is a draft; it is decided on once it was sent.", o.Number)
	case OrderExpired:
		return fault.New(fault.Conflict, "order-expired", "Order %d has expired; ask the shop for a new one.", o.Number)
	case OrderWithdrawn:
		return fault.New(fault.Conflict, "order-withdrawn", "Order %d was withdrawn by the shop: %s", o.Number, o.Withdrawn)
	default:
		return fault.New(fault.Conflict, "order-decided", "Order %d is already %s.", o.Number, state)
	}
}

// Decide records a decision with its effect. It fails with Conflict as
// Decidable does.
func (o *ChangeOrder) Decide(now time.Time, d OrderDecision, effect OrderEffect) error {
	if err := o.Decidable(now); err != nil {
		return err
	}
	o.State = OrderDeclined
	if d.Approved {
		o.State = OrderApproved
	}
	o.Decision, o.DecidedAt, o.Effect = &d, &now, effect
	o.Version++
	return nil
}

// MayTalk refuses questions and answers about an order that is not with the
// client.
func (o ChangeOrder) MayTalk(now time.Time) error {
	if state := o.StateAt(now); state != OrderSent {
		return fault.New(fault.Conflict, "order-not-open", "Order %d is %s; questions belong to an order that waits for a decision.", o.Number, state)
	}
	return nil
}

// Advised is what the shop advises of each item: the option marked so, without
// one the first, or nothing where the item may be left.
func (o ChangeOrder) Advised() []Choice {
	out := make([]Choice, 0, len(o.Items))
	for _, item := range o.Items {
		out = append(out, Choice{ItemKey: item.Key, OptionKey: item.advised()})
	}
	return out
}

func (i OrderItem) advised() string {
	for _, option := range i.Options {
		if option.Advised {
			return option.Key
		}
	}
	if i.MayLeave || len(i.Options) == 0 {
		return ""
	}
	return i.Options[0].Key
}

// LeavesAll reports whether no item is taken.
func LeavesAll(choices []Choice) bool {
	for _, c := range choices {
		if c.OptionKey != "" {
			return false
		}
	}
	return true
}

// NothingTaken leaves every item.
func (o ChangeOrder) NothingTaken() []Choice {
	out := make([]Choice, 0, len(o.Items))
	for _, item := range o.Items {
		out = append(out, Choice{ItemKey: item.Key})
	}
	return out
}
