package domain

import (
	"testing"

	"pgregory.net/rapid"

	"github.com/shopspring/decimal"
)

// By hand: 0.00005 lies half way and goes away from zero; charges go to the minor
// unit of the currency, 12.34 × 163.25 = 2014.505 yen and 12.34 × 0.3312 = 4.087008
// dinars.
func TestPricesAreConvertedAtOnePoint(t *testing.T) {
	book := PriceBook{Labour: []LabourRate{{Skill: "welder", CostRate: dec("0.0001"), SellRate: dec("104.00")}},
		Materials: []Material{{Key: "tube", UnitCost: dec("17.891"), MarkupPercent: dec("15"), Packs: []Pack{{Size: dec("6"), Cost: dec("99.99")}}}}}
	got := book.At(dec("0.5"))
	if r := got.Labour[0]; !r.CostRate.Equal(dec("0.0001")) || !r.SellRate.Equal(dec("52")) {
		t.Errorf("an hour costs %s and sells at %s, want 0.0001 and 52", r.CostRate, r.SellRate)
	}
	if m := got.Materials[0]; !m.UnitCost.Equal(dec("8.9455")) || !m.MarkupPercent.Equal(dec("15")) || !m.Packs[0].Cost.Equal(dec("49.995")) || !m.Packs[0].Size.Equal(dec("6")) {
		t.Errorf("the tube is %+v", m)
	}
	if !book.Materials[0].Packs[0].Cost.Equal(dec("99.99")) || !book.Labour[0].SellRate.Equal(dec("104")) {
		t.Error("the shop's own book was written to")
	}
	terms := StopTerms{Teardown: dec("12.34"), StorageFreeDays: 7}
	for code, want := range map[string]string{"JPY": "2015", "KWD": "4.087"} {
		rate := map[string]string{"JPY": "163.25", "KWD": "0.3312"}[code]
		if got := terms.In(code, dec(rate)); !got.Teardown.Equal(dec(want)) || got.StorageFreeDays != 7 || !got.Reassembly.IsZero() {
			t.Errorf("teardown in %s is %s, want %s", code, got.Teardown, want)
		}
	}
}

// A converted price is within half of its last place of the exact product, and a
// rate of one changes nothing.
func TestConversionIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		price := decimal.New(rapid.Int64Range(0, 1e12).Draw(t, "price"), -4)
		rate := decimal.New(rapid.Int64Range(1, 1e12).Draw(t, "rate"), -6)
		book := PriceBook{Labour: []LabourRate{{SellRate: price}}}
		got := book.At(rate).Labour[0].SellRate
		if off := got.Sub(price.Mul(rate)).Abs(); off.GreaterThan(decimal.New(5, -5)) {
			t.Fatalf("%s at %s is %s, %s off", price, rate, got, off)
		}
		if same := book.At(decimal.NewFromInt(1)).Labour[0].SellRate; !same.Equal(price) {
			t.Fatalf("%s at 1 is %s", price, same)
		}
	})
}

func TestADayWithoutAPlanHasNoDayToPay(t *testing.T) {
	for _, r := range []struct {
		draw      OfferDraw
		when, pay string
	}{
		{OfferDraw{Due: GateAcceptance, DaysToPay: 14}, "On acceptance; to be paid within 14 days", ""},
		{OfferDraw{Due: GateHandOver, On: "2031-12-20", DaysToPay: 14}, "At hand-over, expected on 20 December 2031; to be paid within 14 days", "2032-01-03"},
		{OfferDraw{Due: GateStripGate, On: "2032-02-28", Reached: true, DaysToPay: 1}, "When the inspection after stripping is released, reached on 28 February 2032; to be paid within 1 day", "2032-02-29"},
		{OfferDraw{Name: "After stripping", DaysToPay: 3}, "To be paid within 3 days", ""},
		{OfferDraw{Name: "After stripping"}, "", ""},
	} {
		if r.draw.When() != r.when || string(r.draw.PayBy()) != r.pay {
			t.Errorf("%+v: %q by %s, want %q by %s", r.draw, r.draw.When(), r.draw.PayBy(), r.when, r.pay)
		}
	}
}
