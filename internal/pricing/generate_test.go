package pricing

import (
	"fmt"
	"slices"
	"strconv"

	"pgregory.net/rapid"
)

// number draws a plain decimal of up to most units with up to places decimals.
func number(t *rapid.T, label string, most int64, places int) string {
	whole := strconv.FormatInt(rapid.Int64Range(0, most).Draw(t, label), 10)
	n := rapid.IntRange(0, places).Draw(t, label+" places")
	if n == 0 {
		return whole
	}
	limit := int64(1)
	for range n {
		limit *= 10
	}
	return fmt.Sprintf("%s.%0*d", whole, n, rapid.Int64Range(0, limit-1).Draw(t, label+" fraction"))
}

// maybe draws a value, or nothing one time in two.
func maybe(t *rapid.T, label string, draw func() string) string {
	if rapid.Bool().Draw(t, label+"?") {
		return draw()
	}
	return ""
}

// drawInput draws a document that is well-formed; its numbers may still be
// refused, for example when discounts exceed lines.
func drawInput(t *rapid.T) (in Input, places int) {
	currencies := map[string]int{"USD": 2, "EUR": 2, "JPY": 0, "KWD": 3}
	in.Currency = rapid.SampledFrom([]string{"USD", "EUR", "JPY", "KWD"}).Draw(t, "currency")
	places = currencies[in.Currency]
	in.TaxBasis = rapid.SampledFrom([]TaxBasis{PerDocument, PerLine}).Draw(t, "basis")
	for _, class := range TaxClasses() {
		if class != Exempt {
			percent := rapid.SampledFrom([]string{"0", "7.25", "8.25", "19", "21", "25", "6.6250"}).Draw(t, "rate")
			in.TaxRates = append(in.TaxRates, TaxRate{class, percent})
		}
	}
	for i := range rapid.IntRange(0, 4).Draw(t, "phases") {
		in.Phases = append(in.Phases, Phase{ID: fmt.Sprintf("p%d", i), Name: "Phase"})
	}
	for i := range rapid.IntRange(0, 15).Draw(t, "lines") {
		in.Lines = append(in.Lines, drawLine(t, in, i, places))
	}
	drawOptions(t, in.Lines)
	for i := range rapid.IntRange(0, 3).Draw(t, "adjustments") {
		in.Adjustments = append(in.Adjustments, drawAdjustment(t, i, places))
	}
	if rapid.Bool().Draw(t, "deposit?") {
		in.Deposit = &Deposit{Percent: number(t, "deposit", 99, 2)}
		if rapid.IntRange(0, 3).Draw(t, "deposit amount?") == 0 {
			in.Deposit = &Deposit{Amount: number(t, "deposit", 100, places)}
		}
	}
	in.Draws = drawDraws(t, in.Phases)
	in.Prepaid = maybe(t, "prepaid", func() string { return number(t, "prepaid", 5000, places) })
	return in, places
}

func drawLine(t *rapid.T, in Input, i, places int) Line {
	l := Line{ID: fmt.Sprintf("L%d", i), Kind: rapid.SampledFrom(Kinds()).Draw(t, "kind"),
		TaxClass: rapid.SampledFrom(TaxClasses()).Draw(t, "class"), Description: "Line"}
	l.Quantity = number(t, "quantity", 60, 4)
	if n := len(in.Phases); n > 0 && rapid.IntRange(0, 4).Draw(t, "phased?") > 0 {
		l.PhaseID = in.Phases[rapid.IntRange(0, n-1).Draw(t, "phase")].ID
	}
	l.UnitCost = maybe(t, "cost", func() string { return number(t, "cost", 300, 5) })
	if l.UnitCost == "" || rapid.Bool().Draw(t, "priced?") {
		l.UnitPrice = number(t, "price", 400, 5)
	}
	if l.Kind == Material {
		l.WastePercent = maybe(t, "waste", func() string { return number(t, "waste", 20, 2) })
	}
	if l.UnitPrice == "" && (l.Kind == Material || l.Kind == Sublet) {
		l.MarkupPercent = maybe(t, "markup", func() string { return number(t, "markup", 80, 2) })
	}
	l.PriceBaseQuantity = rapid.SampledFrom([]string{"", "", "", "1", "7", "12", "100", "0.3"}).Draw(t, "base")
	if l.Kind == Credit {
		return l
	}
	switch rapid.IntRange(0, 5).Draw(t, "discount?") {
	case 0:
		l.DiscountPercent = number(t, "discount", 99, 2)
	case 1:
		l.DiscountAmount = number(t, "discount", 20, places)
	}
	return l
}

// drawOptions turns some lines into a choose-one group and some into extras.
func drawOptions(t *rapid.T, lines []Line) {
	if len(lines) < 4 {
		return
	}
	taken := rapid.IntRange(0, 1).Draw(t, "taken choice")
	if rapid.Bool().Draw(t, "group?") {
		for i := range 4 { // two choices of two lines
			lines[i].Option = &Option{Group: "rail", Choice: strconv.Itoa(i % 2), Taken: i%2 == taken}
		}
	}
	for i := 4; i < len(lines); i++ {
		if rapid.IntRange(0, 6).Draw(t, "extra?") == 0 {
			lines[i].Option = &Option{Choice: lines[i].ID, Taken: rapid.Bool().Draw(t, "taken")}
		}
	}
	// A reserve is carried only where a line can carry it.
	for i := range lines {
		l := &lines[i]
		if l.Kind != Reserve || l.Option != nil || !rapid.Bool().Draw(t, "carried?") {
			continue
		}
		if slices.ContainsFunc(lines, func(o Line) bool {
			return o.Kind == Labour && o.Option == nil && o.PhaseID == l.PhaseID && o.TaxClass == l.TaxClass &&
				o.DiscountPercent == "" && o.DiscountAmount == "" && len(o.Quantity) > 0 && o.Quantity[0] > '0' &&
				(o.UnitPrice + o.UnitCost)[0] > '0' && o.PriceBaseQuantity != "100"
		}) {
			l.Reserve = &ReserveRule{Carried: true}
		}
	}
}

func drawAdjustment(t *rapid.T, i, places int) Adjustment {
	a := Adjustment{ID: fmt.Sprintf("A%d", i), Reason: "Agreed",
		Kind: rapid.SampledFrom([]AdjustmentKind{Discount, Discount, Charge}).Draw(t, "adjustment")}
	if rapid.Bool().Draw(t, "classed?") {
		a.TaxClass = rapid.SampledFrom(TaxClasses()).Draw(t, "adjustment class")
	}
	if rapid.IntRange(0, 2).Draw(t, "by percent?") > 0 {
		a.Percent = number(t, "adjustment", 40, 3)
	} else {
		a.Amount = number(t, "adjustment", 50, places)
	}
	return a
}

func drawDraws(t *rapid.T, phases []Phase) []Draw {
	var draws []Draw
	if rapid.Bool().Draw(t, "by phase?") {
		for _, p := range phases {
			draws = append(draws, Draw{ID: p.ID, Name: "Draw", PhaseID: p.ID})
		}
		return draws
	}
	left := 100
	for i := range rapid.IntRange(0, 4).Draw(t, "draws") {
		share := rapid.IntRange(0, left).Draw(t, "share")
		left -= share
		draws = append(draws, Draw{ID: strconv.Itoa(i), Name: "Draw", Percent: strconv.Itoa(share)})
	}
	return append(draws, Draw{ID: "last", Name: "Draw", Percent: strconv.Itoa(left)})
}
