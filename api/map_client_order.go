package api

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// Nothing in this file reads a cost or a margin; a test looks for them in what
// it makes.

func clientOrderSummary(p app.OrderPage) ClientOrderSummary {
	s := orderSummary(p)
	return ClientOrderSummary{ID: s.ID, Number: s.Number, Title: s.Title, State: s.State, SentAt: orZero(s.SentAt), ExpiresAt: orZero(s.ExpiresAt),
		DecidedAt: s.DecidedAt, Amount: s.Amount, Days: s.Days, QuestionsOpen: s.QuestionsOpen}
}

func clientOrder(p app.OrderPage) ClientOrder {
	o := p.Order
	return ClientOrder{Summary: clientOrderSummary(p), JobID: o.JobID, Kind: OrderKind(o.Kind), Reason: o.Reason, Note: o.Note, DocumentHash: o.DocumentHash,
		Items:  each(o.Items, func(i domain.OrderItem) ClientOrderItem { return clientOrderItem(p, i) }),
		Effect: clientEffect(o.Effect), Messages: each(p.Messages, orderMessage), Decision: orderDecision(o, p.Job.Currency), WithdrawnReason: textOrNil(o.Withdrawn)}
}

func clientOrderItem(p app.OrderPage, i domain.OrderItem) ClientOrderItem {
	out := ClientOrderItem{Key: i.Key, Title: i.Title, Why: i.Why, IfNot: i.IfNot, MayLeave: i.MayLeave, Findings: []ClientFinding{}}
	for _, id := range i.FindingIDs {
		if f, ok := p.Findings[id]; ok {
			out.Findings = append(out.Findings, orderedFinding(p, f))
		}
	}
	does := map[domain.Choice]domain.OptionEffect{}
	for _, x := range p.Order.Effect.Options {
		does[domain.Choice{ItemKey: x.ItemKey, OptionKey: x.OptionKey}] = x
	}
	out.Options = each(i.Options, func(o domain.OrderOption) ClientOrderOption {
		x := does[domain.Choice{ItemKey: i.Key, OptionKey: o.Key}]
		return ClientOrderOption{Key: o.Key, Name: o.Name, Note: o.Note, Advised: o.Advised, Net: moneyText(x.Net, p.Job.Currency), Amount: moneyText(x.Amount, p.Job.Currency),
			Days: x.Days, PointsOriginality: plainText(o.Originality), PointsCondition: plainText(o.Condition)}
	})
	return out
}

// orderedFinding is a finding with its pictures, as the client reads it in an
// order.
func orderedFinding(p app.OrderPage, f domain.Finding) ClientFinding {
	out := ClientFinding{ID: f.ID, Number: f.Number, ZoneID: f.ZoneID, Zone: p.Zones[f.ZoneID], What: FindingWhat(f.What), Count: f.Count, Note: f.Note,
		State: FindingState(f.State), At: f.At.UTC(), Order: &OrderRef{ID: p.Order.ID, Number: p.Order.Number}, Photos: []ClientPhoto{}}
	if f.Condition != "" {
		condition := SteelCondition(f.Condition)
		out.Condition = &condition
	}
	if f.LengthMM > 0 {
		out.LengthMm = &f.LengthMM
	}
	if f.WidthMM > 0 {
		out.WidthMm = &f.WidthMM
	}
	for _, id := range f.PhotoIDs {
		if photo, ok := p.Photos[id]; ok {
			out.Photos = append(out.Photos, ClientPhoto{ID: photo.ID, Width: photo.Width, Height: photo.Height})
		}
	}
	return out
}

// clientEffect maps an effect for the client: no cost, no margin, no hours.
func clientEffect(e domain.OrderEffect) ClientEffect {
	return ClientEffect{Currency: e.Currency, Choices: choicesView(e.Choices), Net: moneyText(e.Net, e.Currency), Tax: moneyText(e.Tax, e.Currency),
		Taxes:  each(e.Taxes, func(t domain.OfferTax) TaxLine { return TaxLine{Percent: t.Percent, Base: t.Base, Tax: t.Tax} }),
		Amount: moneyText(e.Amount, e.Currency), AuthorisedBefore: moneyText(e.AuthorisedBefore, e.Currency), AuthorisedAfter: moneyText(e.AuthorisedBefore.Add(e.Amount), e.Currency),
		Lines: each(e.Lines, effectLine), Dates: dateEffect(e.Dates), Phases: each(e.Phases, phaseMove),
		WithOthers: WithOthers{Orders: each(e.Others.Orders, func(o domain.OrderRef) OrderRef { return OrderRef{ID: o.ID, Number: o.Number} }),
			Amount: moneyText(e.Others.Amount, e.Currency), AuthorisedAfter: moneyText(e.AuthorisedBefore.Add(e.Others.Amount), e.Currency), Dates: dateEffect(e.Others.Dates)},
		PointsOriginality: plainText(e.Originality), PointsCondition: plainText(e.Condition), Confidence: ConfidenceNotComputed}
}

func effectLine(l domain.EffectLine) EffectLine {
	return EffectLine{ItemKey: l.ItemKey, OptionKey: l.OptionKey, Description: l.Description, Kind: string(l.Kind), Quantity: quantityShown(l.Quantity), Unit: l.Unit, Net: l.Net}
}

func phaseMove(m domain.PhaseMove) PhaseMove {
	return PhaseMove{Phase: m.Phase, Before: dayOrNil(m.Before), After: dayOrNil(m.After), Days: m.Days}
}
