package app

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// outcome is an effect with the schedule and the changes behind it.
type outcome struct {
	effect  domain.OrderEffect
	applied applied
	after   Plan
	ok      bool // nothing contradicts it
}

// effectOf computes what a selection of an order's options does: price, dates,
// points, alone and with the other orders that are with the client. next gives
// the identifiers of what would be added. The schedule is worked out once as it
// stands, once for the selection, once for each option and once with the others.
func (b *orderBase) effectOf(o domain.ChangeOrder, choices []domain.Choice, next func() domain.ID) (outcome, error) {
	out := outcome{effect: domain.OrderEffect{Currency: b.job.Currency, Choices: choices, AuthorisedBefore: b.job.AuthorisedAmount,
		Lines: []domain.EffectLine{}, Options: []domain.OptionEffect{}, Taxes: []domain.OfferTax{}, Phases: []domain.PhaseMove{}}}
	before, err := b.planBefore()
	if err != nil {
		return out, err
	}
	parts, err := b.partsOf(o, next)
	if err != nil {
		return out, err
	}
	chosen := chosenOf(parts, choices)
	if err := b.money(&out.effect, chosen); err != nil {
		return out, err
	}
	out.effect.Originality, out.effect.Condition = o.Points(choices)
	var why *domain.Contradiction
	if out.applied, why = b.apply(sameNumber(o.Number, len(chosen)), chosen, next); why == nil {
		out.after, why, err = b.planAfter(out.applied.e, next)
		if err != nil {
			return out, err
		}
	}
	if why == nil && b.job.AuthorisedAmount.Add(out.effect.Amount).IsNegative() {
		why = &domain.Contradiction{Detail: "More would be taken back than was agreed.", Tasks: []string{}}
	}
	out.effect.Contradiction, out.ok = why, why == nil
	out.effect.Dates = b.dates(before, out.after, why, out.applied)
	if out.effect.Options, err = b.optionEffects(o, parts, before, next); err != nil {
		return out, err
	}
	if out.ok {
		out.effect.Phases = b.phaseMoves(endsOf(before), endsOf(out.after), out.applied.e)
		if err := b.settleDates(o, choices, &out, next); err != nil {
			return out, err
		}
	}
	if out.effect.Others, err = b.withOthers(o, out, chosen, next); err != nil {
		return out, err
	}
	return out, b.consent(&out.effect)
}

// settleDates says what the dates of an effect come from, and takes them from the
// floor where they do.
func (b *orderBase) settleDates(o domain.ChangeOrder, choices []domain.Choice, out *outcome, next func() domain.ID) error {
	e := &out.effect
	switch {
	case b.standsAsSent(o, choices):
		e.Dates, e.Phases, e.Floor = o.Effect.Dates, o.Effect.Phases, o.Effect.Floor
		return nil
	case b.asksFloor(o):
		m, err := b.datesFrom(e.Dates, selection(o, choices), out.applied, next)
		if err != nil {
			return err
		}
		e.Dates, e.Floor = m.dates, m.floor
		if m.floor != nil {
			e.Phases = m.phases
		}
		return nil
	}
	e.Dates.Source, e.Dates.Words = domain.FromOwnSchedule, cmp.Or(o.Effect.Dates.Words, aloneAsSent)
	return nil
}

// asksFloor reports whether an order's dates come from the floor. What was sent with
// the dates of its car's own schedule keeps to it.
func (b *orderBase) asksFloor(o domain.ChangeOrder) bool {
	return !b.ownOnly && (o.StateAt(b.now) != domain.OrderSent || o.Effect.Dates.Source == domain.FromFloor)
}

func (b *orderBase) partsOf(o domain.ChangeOrder, next func() domain.ID) ([]part, error) {
	var parts []part
	for _, item := range o.Items {
		for _, option := range item.Options {
			p, err := b.partOf(o, item, option, next)
			if err != nil {
				return nil, err
			}
			parts = append(parts, p)
		}
	}
	return parts, nil
}

func chosenOf(parts []part, choices []domain.Choice) []part {
	var out []part
	for _, p := range parts {
		if slices.Contains(choices, p.choice) {
			out = append(out, p)
		}
	}
	return out
}

func sameNumber(n, times int) []int {
	out := make([]int, times)
	for i := range out {
		out[i] = n
	}
	return out
}

// money prices the chosen parts as one document.
func (b *orderBase) money(e *domain.OrderEffect, chosen []part) error {
	var lines []pricing.Line
	for _, p := range chosen {
		lines = append(lines, p.priced...)
		e.Hours = e.Hours.Add(p.mean)
	}
	r, err := b.priced(lines)
	if err != nil {
		return err
	}
	e.Net, e.Tax, e.Amount = r.Totals.TaxBasisTotal.Decimal(), r.Totals.TaxTotal.Decimal(), r.Totals.GrandTotal.Decimal()
	e.Cost = r.Margin.Cost.Decimal()
	for _, x := range r.Taxes {
		e.Taxes = append(e.Taxes, domain.OfferTax{Percent: x.Percent, Base: x.Base.String(), Tax: x.Tax.String()})
	}
	i := 0
	for _, p := range chosen {
		for k, shown := range p.shown {
			e.Lines = append(e.Lines, domain.EffectLine{ItemKey: p.choice.ItemKey, OptionKey: p.choice.OptionKey, PhaseID: p.priced[k].PhaseID,
				Description: shown.description, Kind: shown.kind, Quantity: shown.quantity, Unit: shown.unit, Net: r.Lines[i].Net.String()})
			i++
		}
	}
	return nil
}

// optionEffects is what each option does by itself.
func (b *orderBase) optionEffects(o domain.ChangeOrder, parts []part, before Plan, next func() domain.ID) ([]domain.OptionEffect, error) {
	out := []domain.OptionEffect{}
	for _, p := range parts {
		var money domain.OrderEffect
		if err := b.money(&money, []part{p}); err != nil {
			return nil, err
		}
		x := domain.OptionEffect{ItemKey: p.choice.ItemKey, OptionKey: p.choice.OptionKey, Net: money.Net, Amount: money.Amount, Hours: p.mean}
		x.Originality, x.Condition = o.Points([]domain.Choice{p.choice})
		if len(p.tasks)+len(p.hours)+len(p.removeTasks) > 0 {
			a, why := b.apply([]int{o.Number}, []part{p}, next)
			if why == nil {
				after, why, err := b.planAfter(a.e, next)
				if err != nil {
					return nil, err
				}
				if why == nil {
					if x.Days, err = b.optionDays(o, p, b.daysBetween(before.Finish, after.Finish), a, next); err != nil {
						return nil, err
					}
				}
			}
		}
		out = append(out, x)
	}
	return out, nil
}

// optionDays is by how many days an option moves the finish by itself; own, by the
// schedule of the car alone.
func (b *orderBase) optionDays(o domain.ChangeOrder, p part, own int, a applied, next func() domain.ID) (int, error) {
	if o.StateAt(b.now) == domain.OrderSent { // as the client was told
		for _, x := range o.Effect.Options {
			if x.ItemKey == p.choice.ItemKey && x.OptionKey == p.choice.OptionKey && o.Effect.Dates.Source == domain.FromFloor {
				return x.Days, nil
			}
		}
	}
	if !b.asksFloor(o) {
		return own, nil
	}
	m, err := b.datesFrom(domain.DateEffect{Days: own}, selection(o, []domain.Choice{p.choice}), a, next)
	return m.dates.Days, err
}

// withOthers is the effect together with every other order that is with the
// client, each as the shop advises.
func (b *orderBase) withOthers(o domain.ChangeOrder, alone outcome, chosen []part, next func() domain.ID) (domain.OtherOrders, error) {
	out := domain.OtherOrders{Orders: []domain.OrderRef{}, Amount: alone.effect.Amount, Dates: alone.effect.Dates}
	all, numbers := slices.Clone(chosen), sameNumber(o.Number, len(chosen))
	of := selection(o, alone.effect.Choices)
	for _, other := range slices.Backward(b.orders) { // oldest first
		if other.ID == o.ID || other.StateAt(b.now) != domain.OrderSent {
			continue
		}
		parts, err := b.partsOf(other, next)
		if err != nil {
			return out, err
		}
		advised := chosenOf(parts, other.Advised())
		var money domain.OrderEffect
		if err := b.money(&money, advised); err != nil {
			return out, err
		}
		out.Orders = append(out.Orders, domain.OrderRef{ID: other.ID, Number: other.Number})
		out.Amount = out.Amount.Add(money.Amount)
		of += selection(other, other.Advised())
		all, numbers = append(all, advised...), append(numbers, sameNumber(other.Number, len(advised))...)
	}
	if len(out.Orders) == 0 {
		return out, nil
	}
	a, why := b.apply(numbers, all, next)
	var after Plan
	if why == nil {
		var err error
		if after, why, err = b.planAfter(a.e, next); err != nil {
			return out, err
		}
	}
	out.Dates = b.dates(*b.before, after, why, a)
	if why == nil && b.asksFloor(o) {
		m, err := b.datesFrom(out.Dates, of, a, next)
		out.Dates = m.dates
		return out, err
	}
	return out, nil
}

// authorisedAfter is what will be authorised once the effect is agreed to.
func authorisedAfter(e domain.OrderEffect) decimal.Decimal { return e.AuthorisedBefore.Add(e.Amount) }

// written is an amount with the places of the job's currency.
func (b *orderBase) written(d decimal.Decimal) string {
	c, err := money.ParseCurrency(b.job.Currency)
	if err != nil {
		return d.String()
	}
	return money.Round(d, c).String()
}
