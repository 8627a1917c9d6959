package app_test

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// slow reckons the same document the slow way: fractions of math/big, rounded
// half away from zero where the terms of package pricing say so, nothing shared
// with the engines. Everything is in minor units.
type slow struct {
	places int
	byLine bool
	rates  map[pricing.TaxClass]*big.Rat
	phases map[domain.ID]*big.Int
	bases  map[string]*big.Int // by rate
	taxes  map[string]*big.Int // by rate, rounded by line
	net    *big.Int
}

func rat(d decimal.Decimal) *big.Rat {
	r, ok := new(big.Rat).SetString(d.String())
	if !ok {
		panic("not a fraction: " + d.String())
	}
	return r
}

func times(r *big.Rat, more ...*big.Rat) *big.Rat {
	out := new(big.Rat).Set(r)
	for _, m := range more {
		out.Mul(out, m)
	}
	return out
}

// whole rounds a fraction half away from zero.
func whole(r *big.Rat) *big.Int {
	num, den := new(big.Int).Abs(r.Num()), r.Denom()
	q, rest := new(big.Int).QuoRem(num, den, new(big.Int))
	if rest.Lsh(rest, 1).Cmp(den) >= 0 {
		q.Add(q, big.NewInt(1))
	}
	if r.Sign() < 0 {
		q.Neg(q)
	}
	return q
}

func tenTo(n int) *big.Rat {
	return new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil))
}

// percentMore is 1 + p/100.
func percentMore(p decimal.Decimal) *big.Rat {
	return new(big.Rat).Add(big.NewRat(1, 1), new(big.Rat).Quo(rat(p), big.NewRat(100, 1)))
}

// add takes a line of an exact value into phase, base and tax.
func (s *slow) add(phase domain.ID, class pricing.TaxClass, value *big.Rat) {
	net := whole(times(value, tenTo(s.places)))
	rate := s.rates[class]
	key := rate.String()
	if class == pricing.Exempt {
		key = "exempt"
	}
	for _, sum := range []*big.Int{into(s.phases, phase), into(s.bases, key), s.net} {
		sum.Add(sum, net)
	}
	tax := into(s.taxes, key)
	tax.Add(tax, whole(times(new(big.Rat).SetInt(net), rate, big.NewRat(1, 100))))
}

func into[K comparable](sums map[K]*big.Int, key K) *big.Int {
	if sums[key] == nil {
		sums[key] = new(big.Int)
	}
	return sums[key]
}

func (s *slow) tax() *big.Int {
	total := new(big.Int)
	for rate, base := range s.bases {
		if s.byLine {
			total.Add(total, s.taxes[rate])
		} else if rate != "exempt" {
			r, _ := new(big.Rat).SetString(rate)
			total.Add(total, whole(times(new(big.Rat).SetInt(base), r, big.NewRat(1, 100))))
		}
	}
	return total
}

func reckon(p app.JobPage, places int) *slow {
	s := &slow{places: places, byLine: p.Shop.Settings.TaxBasis == pricing.PerLine, rates: map[pricing.TaxClass]*big.Rat{}, phases: map[domain.ID]*big.Int{},
		bases: map[string]*big.Int{}, taxes: map[string]*big.Int{}, net: new(big.Int)}
	for _, r := range p.Shop.Settings.TaxRates {
		s.rates[r.Class] = rat(r.Percent)
	}
	for _, ph := range p.Estimate.Phases {
		into(s.phases, ph.ID)
	}
	for _, t := range p.Estimate.Tasks {
		hours := new(big.Rat).Add(rat(t.Hours.Low), rat(t.Hours.High))
		hours.Add(hours, times(rat(t.Hours.Likely), big.NewRat(4, 1)))
		hundredths := whole(times(hours, big.NewRat(100, 6)))
		for _, r := range p.Shop.PriceBook.Labour {
			if r.Skill == t.Skill && hundredths.Sign() > 0 {
				s.add(t.PhaseID, t.TaxClass, times(big.NewRat(hundredths.Int64(), 100), rat(r.SellRate)))
			}
		}
	}
	for _, l := range p.Estimate.Lines {
		off := new(big.Rat).Sub(big.NewRat(2, 1), percentMore(l.DiscountPercent)) // 1 - d/100
		value := times(rat(l.Quantity), percentMore(l.WastePercent), rat(l.UnitCost), percentMore(l.MarkupPercent), off)
		if l.Kind == pricing.Credit {
			value.Neg(value)
		}
		s.add(l.PhaseID, l.TaxClass, value)
	}
	return s
}

// minor is an amount in minor units.
func minor(t interface{ Fatalf(string, ...any) }, amount decimal.Decimal, places int) *big.Int {
	shifted := amount.Shift(int32(places))
	if !shifted.IsInteger() {
		t.Fatalf("%s is not a whole number of minor units", amount)
	}
	return shifted.BigInt()
}

// fill puts random work and lines into an empty job.
func fill(t *rapid.T, b *bench, p app.JobPage) app.JobPage {
	ctx := b.t.Context()
	classes := rapid.SampledFrom(pricing.TaxClasses())
	phase := rapid.Custom(func(t *rapid.T) domain.ID { return rapid.SampledFrom(p.Estimate.Phases).Draw(t, "phase").ID })
	amount := func(name string, most int64, places int32) decimal.Decimal {
		return decimal.New(rapid.Int64Range(1, most).Draw(t, name), -places)
	}
	var err error
	for i := range rapid.IntRange(1, 5).Draw(t, "tasks") {
		low := rapid.Int64Range(1, 2000).Draw(t, "low")
		likely := low + rapid.Int64Range(0, 1500).Draw(t, "likely")
		high := likely + rapid.Int64Range(0, 3000).Draw(t, "high")
		task := domain.Task{PhaseID: phase.Draw(t, "phase"), Code: fmt.Sprintf("T%d", i), Name: fmt.Sprintf("Task %d", i), Kind: domain.Work, Crew: 1,
			Hours: domain.ThreePoint{Low: decimal.New(low, -2), Likely: decimal.New(likely, -2), High: decimal.New(high, -2)},
			Skill: rapid.SampledFrom([]string{"fitter", "welder"}).Draw(t, "skill"), TaxClass: classes.Draw(t, "class")}
		p, err = b.app.AddTask(ctx, b.owner, p.Job.ID, made(p), task, nil, nil)
		b.ok("adding a task", err)
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "lines") {
		l := domain.Line{PhaseID: phase.Draw(t, "phase"), Description: fmt.Sprintf("Line %d", i), Unit: "pc",
			Kind:     rapid.SampledFrom([]pricing.Kind{pricing.Material, pricing.Material, pricing.Sublet, pricing.Fee, pricing.Allowance, pricing.Credit}).Draw(t, "kind"),
			Quantity: amount("quantity", 99_9999, 4), UnitCost: amount("cost", 99_9999, 4), TaxClass: classes.Draw(t, "class")}
		if l.Kind == pricing.Credit {
			l.Quantity, l.UnitCost = dec("1"), amount("credit", 99, 2)
		} else {
			l.DiscountPercent = amount("discount", 9999, 2)
		}
		if l.Kind == pricing.Material {
			l.WastePercent = amount("waste", 3333, 2)
		}
		if l.Kind == pricing.Material || l.Kind == pricing.Sublet {
			l.MarkupPercent = amount("markup", 7777, 2)
		}
		p, err = b.app.AddLine(ctx, b.owner, p.Job.ID, made(p), l)
		b.ok("adding a line", err)
	}
	return p
}

// Line to phase to quote to authorised amount to draws: each sum is exact, to
// the minor unit, against fractions reckoned the slow way; the owner's and the
// client's side and the printed document say the same.
func TestTheChainTiesToTheMinorUnit(t *testing.T) {
	fewerDraws(t, 12)
	for _, currency := range []string{"JPY", "EUR", "KWD"} {
		for _, basis := range []pricing.TaxBasis{pricing.PerDocument, pricing.PerLine} {
			t.Run(fmt.Sprint(currency, " ", basis), func(t *testing.T) {
				b := open(t, settings(currency, basis))
				empty := b.templateCalled("empty")
				c, err := money.ParseCurrency(currency)
				b.ok("currency", err)
				rapid.Check(t, func(t *rapid.T) { ties(t, b, fill(t, b, b.job(empty)), int(c.Places())) })
			})
		}
	}
}

func ties(t *rapid.T, b *bench, p app.JobPage, places int) {
	want := reckon(p, places)
	if p.Price.Totals.GrandTotal.Sign() <= 0 {
		t.Skip("credits ate the price")
	}
	same := func(what string, got decimal.Decimal, want *big.Int) {
		t.Helper()
		if minor(t, got, places).Cmp(want) != 0 {
			t.Fatalf("%s: %s, want %s minor units", what, got, want)
		}
	}
	for _, ph := range p.Phases {
		same("phase "+ph.Phase.Name, ph.Net.Decimal(), want.phases[ph.Phase.ID])
	}
	total := new(big.Int).Add(want.net, want.tax())
	same("net", p.Price.Totals.TaxBasisTotal.Decimal(), want.net)
	same("tax", p.Price.Totals.TaxTotal.Decimal(), want.tax())
	same("total", p.Price.Totals.GrandTotal.Decimal(), total)
	if err := p.Price.ClientView().Ties(p.Price); err != nil {
		t.Fatalf("the client's view does not tie to the owner's: %v", err)
	}
	q := b.accept(b.issue(p))
	same("quoted net", q.Net, want.net)
	same("quoted tax", q.Tax, want.tax())
	same("quoted total", q.Total, total)
	offerTies(t, p, q, want, same)
	sold := b.page(p.Job.ID)
	same("authorised amount", sold.Job.AuthorisedAmount, total)
	same("agreed amount", q.Decision.Amount, total)
	same("draws", drawn(sold.Draws), total)
	documentSays(t, b, q, p)
}

// offerTies checks the client's side of the quote: lines to phases to net,
// taxes to tax, draws to total.
func offerTies(t *rapid.T, p app.JobPage, q domain.Quote, want *slow, same func(string, decimal.Decimal, *big.Int)) {
	net, tax := decimal.Zero, decimal.Zero
	for i, ph := range q.Offer.Phases {
		lines := decimal.Zero
		for _, l := range ph.Lines {
			lines = lines.Add(dec(l.Net))
		}
		same("lines of "+ph.Name, lines, want.phases[p.Estimate.Phases[i].ID])
		same("offered "+ph.Name, dec(ph.Net), want.phases[p.Estimate.Phases[i].ID])
		net = net.Add(dec(ph.Net))
	}
	for _, x := range q.Offer.Taxes {
		tax = tax.Add(dec(x.Tax))
	}
	if !net.Equal(q.Net) || !tax.Equal(q.Tax) || !drawn(q.Offer.Draws).Equal(q.Total) || !q.Net.Add(q.Tax).Equal(q.Total) {
		t.Fatalf("phases %s, taxes %s, draws %s; the quote has net %s, tax %s, total %s", net, tax, drawn(q.Offer.Draws), q.Net, q.Tax, q.Total)
	}
}

func drawn(draws []domain.OfferDraw) decimal.Decimal {
	sum := decimal.Zero
	for _, d := range draws {
		sum = sum.Add(dec(d.Amount))
	}
	return sum
}

// documentSays reads the amounts off the printed document.
func documentSays(t *rapid.T, b *bench, q domain.Quote, p app.JobPage) {
	doc, err := b.app.ClientQuoteDocument(b.t.Context(), b.client, q.ID, app.AsHTML)
	b.ok("document", err)
	text := strings.ReplaceAll(strings.ReplaceAll(string(doc.Body), ",", ""), "−", "-")
	net, tax, total := p.Price.Totals.TaxBasisTotal, p.Price.Totals.TaxTotal, p.Price.Totals.GrandTotal
	for _, want := range []string{
		fmt.Sprintf(`<tr><td>Before tax</td><td class="n">%s</td></tr>`, net),
		fmt.Sprintf(`<td>To pay in all</td><td class="n">%s %s</td>`, total, q.Currency),
		fmt.Sprintf(`<strong>%s %s</strong> including tax of %s %s`, total, q.Currency, tax, q.Currency),
	} {
		if !strings.Contains(text, want) {
			t.Fatalf("the document does not say %q", want)
		}
	}
	for _, ph := range p.Phases {
		if row := fmt.Sprintf(`<td colspan="2">%s</td><td class="n">%s</td>`, ph.Phase.Name, ph.Net); !ph.Net.IsZero() && !strings.Contains(text, row) {
			t.Fatalf("the document does not say %q", row)
		}
	}
	for _, d := range q.Offer.Draws {
		if row := fmt.Sprintf(`<td class="n">%s</td></tr>`, d.Amount); !strings.Contains(text, row) {
			t.Fatalf("the document lacks the draw %s of %s", d.Name, d.Amount)
		}
	}
}

// The slow way itself, against figures worked by hand: 7/6 h is 1.17 h, at
// 68.35 is 79.9695 and 79.97 euro, 80 yen, 79.970 dinar (79.9695 lies half way and goes up).
func TestTheSlowWay(t *testing.T) {
	for places, want := range map[int]int64{0: 80, 2: 7997, 3: 79970} {
		if got := whole(times(rat(dec("1.17")), rat(dec("68.35")), tenTo(places))); got.Int64() != want {
			t.Errorf("to %d places: %s minor units, want %d", places, got, want)
		}
	}
	for text, want := range map[string]int64{"0.5": 1, "-0.5": -1, "0.49": 0, "1.5": 2, "2.5": 3, "-2.5": -3, "-2.49": -2} {
		if got := whole(rat(dec(text))); got.Int64() != want {
			t.Errorf("%s rounds to %s, want %d", text, got, want)
		}
	}
}
