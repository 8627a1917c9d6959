package billing

import (
	"fmt"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"bareframe/internal/pricing"
)

var classes = []string{"repair_labour", "fabrication_labour", "part", "material", "storage", "fee", Exempt}

func drawRates(t *rapid.T) []TaxRate {
	rates := []TaxRate{}
	for _, c := range classes[:len(classes)-1] {
		rates = append(rates, TaxRate{c, rapid.SampledFrom([]string{"0", "7.25", "8.875", "21"}).Draw(t, "rate")})
	}
	return rates
}

func cents(n int64) string { return fmt.Sprintf("%d.%02d", n/100, n%100) }

func draw(t *rapid.T) StopNowInput {
	class := rapid.SampledFrom(classes)
	amount := func(name string) string { return cents(rapid.Int64Range(0, 500_000).Draw(t, name)) }
	in := StopNowInput{Currency: "USD", TaxBasis: rapid.SampledFrom([]TaxBasis{PerDocument, PerLine}).Draw(t, "basis"), TaxRates: drawRates(t)}
	for range rapid.IntRange(0, 6).Draw(t, "labour") {
		in.Labour = append(in.Labour, Labour{Description: "l", Minutes: rapid.IntRange(0, 5000).Draw(t, "minutes"), Rate: amount("rate"), TaxClass: class.Draw(t, "class")})
	}
	item := func() Item { return Item{Description: "i", Net: amount("net"), TaxClass: class.Draw(t, "class")} }
	for range rapid.IntRange(0, 4).Draw(t, "fitted") {
		in.Fitted = append(in.Fitted, item())
	}
	for range rapid.IntRange(0, 4).Draw(t, "orders") {
		o := Order{Item: item(), Returnable: rapid.Bool().Draw(t, "returnable")}
		if o.Returnable {
			o.RestockingFee, o.FeeTaxClass = amount("fee"), class.Draw(t, "fee class")
		}
		in.Orders = append(in.Orders, o)
	}
	for range rapid.IntRange(0, 2).Draw(t, "credits") {
		in.Credits = append(in.Credits, item())
	}
	in.Storage = &Storage{OnEstimate: rapid.Bool().Draw(t, "storage on estimate"), Days: rapid.IntRange(0, 60).Draw(t, "days"),
		FreeDays: rapid.IntRange(0, 30).Draw(t, "free"), PerDay: amount("per day"), TaxClass: "storage"}
	charge := func() *Charge {
		return &Charge{OnEstimate: rapid.Bool().Draw(t, "on estimate"), Amount: amount("amount"), TaxClass: class.Draw(t, "class")}
	}
	in.Teardown, in.Reassembly = charge(), charge()
	for range rapid.IntRange(0, 3).Draw(t, "payments") {
		in.Payments = append(in.Payments, Payment{Amount: amount("paid")})
	}
	return in
}

// owed is a line as rationals see it.
type owed struct {
	net   *big.Rat
	class string
}

// Held against rationals that share no code with the engine.
func TestStopNowAgainstRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := draw(t)
		got, err := StopNow(in)
		if err != nil {
			t.Fatal(err)
		}
		lines := owedLines(in)
		net, tax := new(big.Rat), new(big.Rat)
		bases := map[string]*big.Rat{}
		for _, l := range lines {
			net.Add(net, l.net)
			rate := rateOf(in, l.class)
			if bases[rate] == nil {
				bases[rate] = new(big.Rat)
			}
			bases[rate].Add(bases[rate], l.net)
			if in.TaxBasis == PerLine {
				tax.Add(tax, percentOf(l.net, rate))
			}
		}
		if in.TaxBasis == PerDocument {
			for rate, base := range bases {
				tax.Add(tax, percentOf(base, rate))
			}
		}
		paid := new(big.Rat)
		for _, p := range in.Payments {
			paid.Add(paid, rat(p.Amount))
		}
		total := new(big.Rat).Add(net, tax)
		for _, v := range []struct {
			name string
			got  string
			want *big.Rat
		}{{"net", got.Net.String(), net}, {"tax", got.Tax.String(), tax}, {"total", got.Total.String(), total},
			{"paid", got.Paid.String(), paid}, {"balance", got.Balance.String(), new(big.Rat).Sub(total, paid)}} {
			if rat(v.got).Cmp(v.want) != 0 {
				t.Fatalf("%s %s, want %s\n%+v", v.name, v.got, v.want.FloatString(4), in)
			}
		}
		if len(got.Lines) != len(lines) {
			t.Fatalf("%d lines, want %d", len(got.Lines), len(lines))
		}
	})
}

func owedLines(in StopNowInput) []owed {
	lines := []owed{}
	for _, l := range in.Labour {
		lines = append(lines, owed{cent(new(big.Rat).Mul(rat(l.Rate), big.NewRat(int64(l.Minutes), 60))), l.TaxClass})
	}
	for _, i := range in.Fitted {
		lines = append(lines, owed{rat(i.Net), i.TaxClass})
	}
	for _, o := range in.Orders {
		if o.Returnable {
			lines = append(lines, owed{rat(o.RestockingFee), o.FeeTaxClass})
		} else {
			lines = append(lines, owed{rat(o.Net), o.TaxClass})
		}
	}
	stored := new(big.Rat)
	if in.Storage.OnEstimate && in.Storage.Days > in.Storage.FreeDays {
		stored.Mul(rat(in.Storage.PerDay), big.NewRat(int64(in.Storage.Days-in.Storage.FreeDays), 1))
	}
	lines = append(lines, owed{stored, "storage"})
	for _, c := range []*Charge{in.Teardown, in.Reassembly} {
		amount := new(big.Rat)
		if c.OnEstimate {
			amount = rat(c.Amount)
		}
		lines = append(lines, owed{amount, c.TaxClass})
	}
	for _, i := range in.Credits {
		lines = append(lines, owed{new(big.Rat).Neg(rat(i.Net)), i.TaxClass})
	}
	return lines
}

func rateOf(in StopNowInput, class string) string {
	for _, r := range in.TaxRates {
		if r.Class == class {
			return r.Percent
		}
	}
	return "0"
}

func percentOf(base *big.Rat, percent string) *big.Rat {
	p := new(big.Rat).Mul(base, rat(percent))
	return cent(p.Quo(p, big.NewRat(100, 1)))
}

// cent rounds to a hundredth, half away from zero.
func cent(r *big.Rat) *big.Rat {
	double := new(big.Rat).Mul(r, big.NewRat(200, 1))
	whole := new(big.Int).Quo(new(big.Int).Add(new(big.Int).Abs(double.Num()), double.Denom()), new(big.Int).Mul(big.NewInt(2), double.Denom()))
	out := new(big.Rat).SetFrac(whole, big.NewInt(100))
	if r.Sign() < 0 {
		out.Neg(out)
	}
	return out
}

func rat(s string) *big.Rat {
	if s == "" {
		return new(big.Rat)
	}
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("not a number: " + s)
	}
	return r
}

// The quote, priced by package pricing, and the bill tax the same lines alike.
func TestTaxAsInPricing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := draw(t)
		got, err := StopNow(in)
		if err != nil {
			t.Fatal(err)
		}
		quote := pricing.Input{Currency: in.Currency, TaxBasis: pricing.TaxBasis(in.TaxBasis), Phases: []pricing.Phase{}}
		for _, r := range in.TaxRates {
			quote.TaxRates = append(quote.TaxRates, pricing.TaxRate{Class: pricing.TaxClass(r.Class), Percent: r.Percent})
		}
		for i, l := range got.Lines {
			if l.Net.IsZero() {
				continue
			}
			line := pricing.Line{ID: fmt.Sprint(i), Kind: pricing.Fee, Description: l.Description, Quantity: "1", UnitPrice: l.Net.String(), TaxClass: pricing.TaxClass(l.TaxClass)}
			if l.Net.Sign() < 0 {
				line.Kind, line.UnitPrice = pricing.Credit, l.Net.Neg().String()
			}
			quote.Lines = append(quote.Lines, line)
		}
		priced, err := pricing.Calculate(quote)
		if err != nil {
			t.Fatal(err)
		}
		if !priced.Totals.TaxTotal.Equal(got.Tax) || !priced.Totals.GrandTotal.Equal(got.Total) || len(priced.Taxes) != len(got.Taxes) {
			t.Fatalf("quote %s + %s, bill %s + %s", priced.Totals.TaxBasisTotal, priced.Totals.TaxTotal, got.Net, got.Tax)
		}
		for i, row := range priced.Taxes {
			if g := got.Taxes[i]; g.Percent != row.Percent || g.Exempt != row.Exempt || !g.Base.Equal(row.Base) || !g.Tax.Equal(row.Tax) {
				t.Fatalf("rate %d: quote %+v, bill %+v", i, row, g)
			}
		}
	})
}

func TestWatchAgainstRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		figure := func(name string) int64 { return rapid.Int64Range(0, 3_000_000).Draw(t, name) }
		authorised, worked, fitted, ordered, invoiced := figure("authorised"), figure("worked"), figure("fitted"), figure("ordered"), figure("invoiced")
		warn, tolerance := rapid.Int64Range(1, 10_000).Draw(t, "warn"), rapid.Int64Range(0, 10_000).Draw(t, "tolerance")
		if rapid.Bool().Draw(t, "near a bound") {
			worked, fitted, ordered = authorised*(10_000+tolerance)/10_000+rapid.Int64Range(-1, 1).Draw(t, "off"), 0, 0
			worked, invoiced = max(worked, 0), 0
		}
		got, err := Watch(WatchInput{Currency: "USD", Authorised: cents(authorised), Worked: cents(worked), Fitted: cents(fitted), Ordered: cents(ordered), Invoiced: cents(invoiced),
			WarnPercent: cents(warn), TolerancePercent: cents(tolerance)})
		if err != nil {
			t.Fatal(err)
		}
		exposure := max(worked+fitted+ordered, invoiced)
		// In hundredths of a cent times a hundred: both sides are whole numbers.
		want := WatchOK
		if exposure*10_000 >= authorised*warn && exposure > 0 {
			want = WatchWarn
		}
		if exposure*10_000 > authorised*(10_000+tolerance) {
			want = WatchStop
		}
		if got.State != want || got.Exposure.Minor() != exposure {
			t.Fatalf("%s at %s, want %s at %d: %+v", got.State, got.Exposure, want, exposure, got)
		}
		if got.LeftToStop.Minor() != got.StopAbove.Minor()-exposure || got.LeftToWarn.Minor() != got.WarnAt.Minor()-exposure {
			t.Fatalf("what is left does not add up: %+v", got)
		}
	})
}
