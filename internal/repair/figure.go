package repair

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/measure"
)

const (
	hourPlaces     = 2
	quantityPlaces = 3
)

var (
	squareMillimetres = decimal.NewFromInt(10_000) // in 1 dm2
	millimetres       = decimal.NewFromInt(1000)   // in 1 m
	one               = decimal.NewFromInt(1)
)

// size tells how large the repair is and how that follows, or why it cannot.
func (rule Rule) size(f Finding) (size decimal.Decimal, words, why string) {
	count := max(f.Count, 1)
	n := decimal.NewFromInt(int64(count))
	length, width := decimal.NewFromInt(int64(f.LengthMM)), decimal.NewFromInt(int64(f.WidthMM))
	of := spots(count)
	switch {
	case rule.Unit == Piece:
		return n, fmt.Sprintf("Size: %s.", of), ""
	case f.LengthMM == 0 || rule.Unit == SquareDecimetre && f.WidthMM == 0:
		return size, "", "measure it: this repair is sized by " + map[Unit]string{SquareDecimetre: "length and width", Metre: "length"}[rule.Unit]
	case rule.Unit == Metre:
		size = n.Mul(length).DivRound(millimetres, quantityPlaces)
		return size, fmt.Sprintf("Size: %s, %d mm long, is %s m.", of, f.LengthMM, size), ""
	}
	size = n.Mul(length).Mul(width).DivRound(squareMillimetres, 4) // exact: whole mm2
	return size, fmt.Sprintf("Size: %s of %d x %d mm is %s dm2.", of, f.LengthMM, f.WidthMM, size), ""
}

func spots(count int) string {
	if count == 1 {
		return "one place"
	}
	return fmt.Sprintf("%d places", count)
}

// apply works out hours and materials of a rule that was validated.
func (rule Rule) apply(size decimal.Decimal, c Condition) Suggestion {
	s := Suggestion{Code: rule.Code, Name: rule.Name, Work: rule.Work, Note: rule.Note, Size: size, Unit: rule.Unit,
		Skill: rule.Skill, Crew: rule.Crew, Station: rule.Station, TaxClass: rule.TaxClass, Materials: []Need{}, Cautions: []Caution{}}
	factor := one
	if text, ok := rule.Factors[c]; ok {
		factor = plain(text)
	}
	for _, point := range []struct {
		name string
		line Line
		into *decimal.Decimal
	}{{"Low", rule.Hours.Low, &s.Hours.Low}, {"Likely", rule.Hours.Likely, &s.Hours.Likely}, {"High", rule.Hours.High, &s.Hours.High}} {
		var words string
		*point.into, words = rule.hours(point.line, size, factor, c)
		s.Words = append(s.Words, point.name+" hours: "+words)
	}
	for _, m := range rule.Materials {
		s.Materials = append(s.Materials, m.need(size, rule.Unit))
	}
	return s
}

func (rule Rule) hours(l Line, size, factor decimal.Decimal, c Condition) (decimal.Decimal, string) {
	exact := l.at(size)
	words := fmt.Sprintf("%s h + %s h a %s x %s = %s h", plain(l.Fixed), plain(l.PerUnit), rule.Unit, size, exact)
	if !factor.Equal(one) {
		exact = exact.Mul(factor)
		words += fmt.Sprintf(", x %s for steel that is %s = %s h", factor, c.spoken(), exact)
	}
	rounded := exact.Round(hourPlaces)
	if !rounded.Equal(exact) {
		words += ", rounded to " + rounded.StringFixed(hourPlaces) + " h"
	}
	return rounded, words + "."
}

func (m Material) need(size decimal.Decimal, unit Unit) Need {
	exact := m.Line.at(size)
	words := fmt.Sprintf("%s %s + %s %s a %s x %s = %s %s", plain(m.Fixed), m.Unit, plain(m.PerUnit), m.Unit, unit, size, exact, m.Unit)
	quantity := exact.Round(quantityPlaces)
	if whole(m.Unit) {
		quantity = exact.Ceil()
	}
	switch {
	case quantity.Equal(exact):
	case whole(m.Unit):
		words += fmt.Sprintf(", bought whole: %s", quantity)
	default:
		words += fmt.Sprintf(", rounded to %s", quantity)
	}
	return Need{Item: m.Item, Quantity: quantity, Unit: m.Unit, PriceItem: m.PriceItem, UnitPrice: m.UnitPrice, TaxClass: m.TaxClass, Words: words + "."}
}

// at is the value of the line at a size.
func (l Line) at(size decimal.Decimal) decimal.Decimal {
	return plain(l.Fixed).Add(plain(l.PerUnit).Mul(size))
}

// whole reports whether a unit is only bought in whole numbers.
func whole(unit string) bool {
	return unit == string(measure.Piece) || unit == string(measure.Set) || unit == string(measure.Lot)
}

func plain(s string) decimal.Decimal { return decimal.RequireFromString(s) }

// spoken is the condition as it is said: grade C, pitted.
func (c Condition) spoken() string {
	switch c {
	case GradeA, GradeB, GradeC, GradeD:
		return "grade " + string(c[0]-'a'+'A')
	}
	return string(c)
}
