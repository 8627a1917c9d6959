package domain

import (
	"testing"
	"time"

	"bareframe/internal/fault"
)

// Every step from every state: what it leads to, or with which code it is
// refused. The table is written from the life of an order as the design says it.
func TestEveryStepOfAnOrder(t *testing.T) {
	now := time.Date(2031, 3, 3, 9, 0, 0, 0, time.UTC)
	later, earlier := now.Add(time.Hour), now.Add(-time.Hour)
	at := func(state OrderState) ChangeOrder {
		o := ChangeOrder{Number: 3, Version: 4, Items: []OrderItem{{Key: "i"}}, State: state, ExpiresAt: &later}
		switch state {
		case OrderDraft:
			o.ExpiresAt = nil
		case OrderExpired:
			o.State, o.ExpiresAt = OrderSent, &earlier
		}
		return o
	}
	states := []OrderState{OrderDraft, OrderSent, OrderApproved, OrderDeclined, OrderWithdrawn, OrderExpired}
	steps := []struct {
		name string
		do   func(o *ChangeOrder) error
		want map[OrderState]string // a state, or "!" and a code
	}{
		{"edit", func(o *ChangeOrder) error { return o.MayEdit(now) }, map[OrderState]string{
			OrderDraft: "draft", OrderSent: "!order-not-draft", OrderApproved: "!order-not-draft", OrderDeclined: "!order-not-draft", OrderWithdrawn: "!order-not-draft", OrderExpired: "!order-not-draft"}},
		{"send", func(o *ChangeOrder) error { return o.Send(now, later, "Ilse", "hash", OrderEffect{}) }, map[OrderState]string{
			OrderDraft: "sent", OrderSent: "!order-not-draft", OrderApproved: "!order-not-draft", OrderDeclined: "!order-not-draft", OrderWithdrawn: "!order-not-draft", OrderExpired: "!order-not-draft"}},
		{"send what contradicts itself", func(o *ChangeOrder) error {
			return o.Send(now, later, "Ilse", "hash", OrderEffect{Contradiction: &Contradiction{Detail: "A circle."}})
		}, map[OrderState]string{
			OrderDraft: "!order-contradiction", OrderSent: "!order-not-draft", OrderApproved: "!order-not-draft", OrderDeclined: "!order-not-draft", OrderWithdrawn: "!order-not-draft", OrderExpired: "!order-not-draft"}},
		{"send nothing", func(o *ChangeOrder) error { o.Items = nil; return o.Send(now, later, "Ilse", "hash", OrderEffect{}) }, map[OrderState]string{
			OrderDraft: "!order-empty", OrderSent: "!order-not-draft", OrderApproved: "!order-not-draft", OrderDeclined: "!order-not-draft", OrderWithdrawn: "!order-not-draft", OrderExpired: "!order-not-draft"}},
		{"withdraw", func(o *ChangeOrder) error { return o.Withdraw(now, "Measured again.") }, map[OrderState]string{
			OrderDraft: "withdrawn", OrderSent: "withdrawn", OrderExpired: "withdrawn", OrderApproved: "!order-decided", OrderDeclined: "!order-decided", OrderWithdrawn: "!order-withdrawn"}},
		{"approve", func(o *ChangeOrder) error { return o.Decide(now, OrderDecision{Approved: true}, OrderEffect{}) }, map[OrderState]string{
			OrderSent: "approved", OrderDraft: "!order-not-sent", OrderExpired: "!order-expired", OrderApproved: "!order-decided", OrderDeclined: "!order-decided", OrderWithdrawn: "!order-withdrawn"}},
		{"decline", func(o *ChangeOrder) error { return o.Decide(now, OrderDecision{}, OrderEffect{}) }, map[OrderState]string{
			OrderSent: "declined", OrderDraft: "!order-not-sent", OrderExpired: "!order-expired", OrderApproved: "!order-decided", OrderDeclined: "!order-decided", OrderWithdrawn: "!order-withdrawn"}},
		{"talk", func(o *ChangeOrder) error { return o.MayTalk(now) }, map[OrderState]string{
			OrderSent: "sent", OrderDraft: "!order-not-open", OrderExpired: "!order-not-open", OrderApproved: "!order-not-open", OrderDeclined: "!order-not-open", OrderWithdrawn: "!order-not-open"}},
	}
	for _, step := range steps {
		for _, state := range states {
			o := at(state)
			version := o.Version
			err := step.do(&o)
			got := string(o.StateAt(now))
			if err != nil {
				got = "!" + fault.As(err).Code
				if fault.KindOf(err) != fault.Conflict || fault.As(err).Detail == "" || o.StateAt(now) != state || o.Version != version {
					t.Errorf("%s from %s: %v leaves the order %s at version %d", step.name, state, err, o.StateAt(now), o.Version)
				}
			}
			if want, ok := step.want[state]; !ok || got != want {
				t.Errorf("%s from %s: got %s, want %s", step.name, state, got, want)
			}
		}
	}
}

// A sent order can be decided on up to the last instant before its expiry.
func TestAnOrderExpiresAtAnInstant(t *testing.T) {
	end := time.Date(2031, 3, 18, 0, 0, 0, 0, time.UTC)
	o := ChangeOrder{State: OrderSent, ExpiresAt: &end}
	if got := o.StateAt(end.Add(-time.Nanosecond)); got != OrderSent {
		t.Errorf("just before: %s", got)
	}
	if got := o.StateAt(end); got != OrderExpired {
		t.Errorf("at its expiry: %s", got)
	}
	o.State = OrderApproved
	if got := o.StateAt(end); got != OrderApproved {
		t.Errorf("an approved order past its expiry: %s", got)
	}
}

func TestWhatIsAdvisedAndWhatIsChosen(t *testing.T) {
	option := func(key string, advised bool) OrderOption { return OrderOption{Key: key, Advised: advised} }
	o := ChangeOrder{Items: []OrderItem{
		{Key: "i1", Options: []OrderOption{option("a", false), option("b", true)}},
		{Key: "i2", Options: []OrderOption{option("a", false)}},
		{Key: "i3", MayLeave: true, Options: []OrderOption{option("a", false)}},
	}}
	want := []Choice{{"i1", "b"}, {"i2", "a"}, {"i3", ""}}
	for i, c := range o.Advised() {
		if c != want[i] {
			t.Errorf("advised: %v, want %v", c, want[i])
		}
	}
	for _, c := range []struct {
		name    string
		choices []Choice
		strict  bool
		refused bool
		want    []Choice
	}{
		{"nothing said", nil, false, false, want},
		{"nothing said of a decision", nil, true, true, nil},
		{"some said", []Choice{{"i3", "a"}, {"i1", ""}}, false, false, []Choice{{"i1", ""}, {"i2", "a"}, {"i3", "a"}}},
		{"all said", []Choice{{"i3", "a"}, {"i2", ""}, {"i1", "a"}}, true, false, []Choice{{"i1", "a"}, {"i2", ""}, {"i3", "a"}}},
		{"an item that is not there", []Choice{{"i4", "a"}}, false, true, nil},
		{"an option of another item", []Choice{{"i2", "b"}}, false, true, nil},
		{"one item twice", []Choice{{"i1", "a"}, {"i1", "b"}}, false, true, nil},
	} {
		got, err := o.Selected(c.choices, c.strict)
		if (fault.KindOf(err) == fault.Invalid) != c.refused {
			t.Errorf("%s: %v", c.name, err)
		}
		for i := range c.want {
			if got[i] != c.want[i] {
				t.Errorf("%s: %v, want %v", c.name, got, c.want)
			}
		}
	}
	if err := o.MustTake([]Choice{{"i1", "a"}, {"i2", ""}, {"i3", ""}}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("leaving what cannot be left: %v", err)
	}
	if err := o.MustTake([]Choice{{"i1", "a"}, {"i2", "a"}, {"i3", ""}}); err != nil {
		t.Errorf("leaving what may be left: %v", err)
	}
}
