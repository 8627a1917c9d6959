package api

import (
	"bareframe/internal/app"
	"bareframe/internal/billing"
	"bareframe/internal/domain"
)

func jobMoneyView(m app.JobMoney) JobMoney {
	w := m.Watch
	return JobMoney{
		Currency: m.Currency.Code(), Agreed: agreedView(m), Authorised: w.Authorised.String(), Worked: w.Worked.String(), Fitted: w.Fitted.String(),
		Ordered: w.Ordered.String(), Invoiced: w.Invoiced.String(), Paid: m.Paid.String(), Exposure: w.Exposure.String(),
		State: WatchState(w.State), WarnAt: w.WarnAt.String(), StopAt: w.StopAbove.String(), Left: w.Left.String(),
		Overrides:  overridesView(m),
		Payments:   each(m.Payments, func(p domain.Payment) Payment { return paymentView(p, m.Currency.Code()) }),
		Supplies:   each(m.Supplies, func(s app.SupplyLine) Supply { return supplyView(s, m.Currency.Code()) }),
		Allowances: each(m.Allowances, allowanceView), StopNow: stopNowView(m.Stop), Draws: each(m.Draws, drawView), Check: m.Check,
	}
}

func agreedView(m app.JobMoney) []AgreedPart {
	return each(m.Agreed, func(p app.AgreedPart) AgreedPart {
		out := AgreedPart{What: p.What, Amount: moneyText(p.Amount, m.Currency.Code()), At: p.At.UTC()}
		if p.Order != nil {
			out.Order = &OrderRef{ID: p.Order.ID, Number: p.Order.Number}
		}
		return out
	})
}

// overridesView lists the latest first: it is the one that holds.
func overridesView(m app.JobMoney) []Override {
	out := make([]Override, 0, len(m.Overrides))
	for i := len(m.Overrides) - 1; i >= 0; i-- {
		o := m.Overrides[i]
		out = append(out, Override{UpTo: moneyText(o.UpTo, m.Currency.Code()), Reason: o.Reason, By: o.By, At: o.At.UTC()})
	}
	return out
}

func paymentView(p domain.Payment, currency string) Payment {
	return Payment{ID: p.ID, Amount: moneyText(p.Amount, currency), PaidOn: Day(p.PaidOn), How: PaymentHow(p.How), Note: p.Note,
		RecordedBy: p.RecordedBy, At: p.At.UTC(), Void: p.Void(), VoidReason: textOrNil(p.VoidReason)}
}

func supplyView(s app.SupplyLine, currency string) Supply {
	out := Supply{LineID: s.Line.ID, Description: s.Line.Description, Quantity: plainText(s.Line.Quantity), Unit: s.Line.Unit, Net: s.Net.String(),
		Returnable: true, RestockingFee: moneyText(domain.Supply{}.RestockingFee, currency)}
	if n := s.Note; n != nil {
		state := SupplyState(n.State)
		out.State, out.Returnable, out.RestockingFee, out.Note, out.At = &state, n.Returnable, moneyText(n.RestockingFee, currency), n.Note, instantOrNil(&n.At)
		out.ExpectedOn = dayOrNil(n.ExpectedOn)
	}
	return out
}

func allowanceView(u app.AllowanceUse) AllowanceUse {
	return AllowanceUse{LineID: u.Line.ID, Description: u.Line.Description, Cap: u.Cap.String(), Used: u.Used.String(), Left: u.Left.String()}
}

func stopNowView(s app.StopNow) StopNow {
	return StopNow{
		AsOf: s.AsOf.UTC(), Net: s.Net.String(), Tax: s.Tax.String(), Total: s.Total.String(), Paid: s.Paid.String(), Balance: s.Balance.String(),
		Words: texts(s.Words),
		Taxes: each(s.Taxes, func(t billing.RateTotal) TaxLine {
			return TaxLine{Percent: t.Percent, Base: t.Base.String(), Tax: t.Tax.String()}
		}),
		Lines: each(s.Lines, func(l billing.Line) StopNowLine {
			return StopNowLine{Kind: string(l.Kind), Description: l.Description, Quantity: l.Quantity, Unit: l.Unit, Net: l.Net.String(), Why: l.Why}
		}),
	}
}

// clientMoneyView shows what was agreed and paid, and nothing of how the shop
// stands.
func clientMoneyView(m app.JobMoney) ClientMoney {
	out := ClientMoney{Currency: m.Currency.Code(), Agreed: agreedView(m), Authorised: m.Watch.Authorised.String(), Paid: m.Paid.String(),
		Payments: []ClientPayment{}, Overrides: overridesView(m),
		Draws: each(m.Draws, drawView)}
	for _, p := range m.Payments {
		if !p.Void() {
			out.Payments = append(out.Payments, ClientPayment{Amount: moneyText(p.Amount, m.Currency.Code()), PaidOn: Day(p.PaidOn), How: PaymentHow(p.How)})
		}
	}
	return out
}
