package api

import (
	"bareframe/internal/domain"
)

// named is how the contract writes the gate of a draw whose name alone says when.
const named = DrawGateNamed

func gateView(g domain.Gate) DrawGate {
	if g == domain.GateNamed {
		return named
	}
	return DrawGate(g)
}

func drawRuleView(d domain.DrawRule) DrawRule {
	return DrawRule{Name: d.Name, Percent: plainText(d.Percent), Due: pointer(gateView(d.Due)), Phase: textOrNil(d.Phase), DaysToPay: &d.DaysToPay}
}

// drawRuleFrom reads a draw; one without a gate is named.
func drawRuleFrom(r *reading, at string, w DrawRule) domain.DrawRule {
	d := domain.DrawRule{Name: w.Name, Percent: r.decimal(at+"/percent", w.Percent), Phase: orZero(w.Phase), DaysToPay: orZero(w.DaysToPay)}
	if due := orZero(w.Due); due != named {
		d.Due = domain.Gate(due)
	}
	return d
}

func drawView(d domain.OfferDraw) DrawView {
	return DrawView{Name: d.Name, Percent: d.Percent, Amount: d.Amount, Due: gateView(d.Due), When: d.When(), Expected: dayOrNil(d.On),
		DaysToPay: d.DaysToPay, PayBy: dayOrNil(d.PayBy()), Reached: d.Reached}
}

func textView(t domain.ShopText) ShopText { return ShopText{Key: TextKey(t.Key), Text: t.Text} }

func currencyView(c domain.ShopCurrency) ShopCurrency {
	return ShopCurrency{Code: c.Code, Rate: plainText(c.Rate), On: Day(c.On)}
}

func textKindView(s domain.ShopSettings) func(k domain.TextKind) TextKind {
	return func(k domain.TextKind) TextKind {
		return TextKind{Key: TextKey(k.Key), Name: k.Name, Where: k.Where, OneLine: k.OneLine, Text: s.Text(k.Key), Default: k.Default,
			Variables: each(k.Variables, func(v domain.TextVariable) TextVariable { return TextVariable{Name: v.Name, Means: v.Means} })}
	}
}

func pointer[T any](v T) *T { return &v }
