package app_test

import (
	"fmt"
	"math/big"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// What a client combines is previewed, agreed, authorised and drawn to the minor
// unit as fractions reckoned the slow way say of the work and lines that are left
// when what was not chosen is struck out by hand; and each part of the selection
// ties to the next (EN 16931-1: BR-CO-10, 13, 14, 15 and, with tax per document,
// BR-CO-17).
func TestAnyCombinationIsAgreedAsPreviewed(t *testing.T) {
	fewerDraws(t, 12)
	for _, currency := range []string{"JPY", "EUR", "KWD"} {
		for _, basis := range []pricing.TaxBasis{pricing.PerDocument, pricing.PerLine} {
			t.Run(fmt.Sprint(currency, " ", basis), func(t *testing.T) {
				b := open(t, settings(currency, basis))
				empty := b.templateCalled("empty")
				c, err := money.ParseCurrency(currency)
				b.ok("currency", err)
				rapid.Check(t, func(t *rapid.T) { combine(t, b, strew(t, b, fill(t, b, b.job(empty))), int(c.Places())) })
			})
		}
	}
}

// strew adds options to a job and hangs its work and lines on them at random.
func strew(t *rapid.T, b *bench, p app.JobPage) app.JobPage {
	ctx := b.t.Context()
	var err error
	for i := range rapid.IntRange(1, 5).Draw(t, "options") {
		o := domain.Option{Name: fmt.Sprintf("Option %d", i), Group: rapid.SampledFrom([]string{"", "", "Rail", "Mount"}).Draw(t, "group"),
			Taken: rapid.Bool().Draw(t, "taken"), Points: []domain.PointEffect{{ItemKey: "frame", Condition: decimal.NewFromInt(int64(i))}}}
		p, err = b.app.AddOption(ctx, b.owner, p.Job.ID, made(p), o)
		b.ok("adding an option", err)
	}
	some := func() domain.ID {
		if k := rapid.IntRange(-2, len(p.All.Options)-1).Draw(t, "belongs to"); k >= 0 {
			return p.All.Options[k].ID
		}
		return ""
	}
	for _, x := range p.All.Tasks {
		x.OptionID = some()
		p, err = b.app.ChangeTask(ctx, b.owner, p.Job.ID, x.ID, made(p), x, nil)
		b.ok("changing a task", err)
	}
	for _, x := range p.All.Lines {
		x.OptionID = some()
		p, err = b.app.ChangeLine(ctx, b.owner, p.Job.ID, x.ID, made(p), x)
		b.ok("changing a line", err)
	}
	return p
}

// pick draws a selection: one of each group, extras or not.
func pick(t *rapid.T, options []domain.Option) []domain.ID {
	out, groups := []domain.ID{}, map[string][]domain.ID{}
	for _, o := range options {
		switch {
		case o.Group != "":
			groups[o.Group] = append(groups[o.Group], o.ID)
		case rapid.Bool().Draw(t, "extra"):
			out = append(out, o.ID)
		}
	}
	for _, g := range []string{"Rail", "Mount"} {
		if len(groups[g]) > 0 {
			out = append(out, rapid.SampledFrom(groups[g]).Draw(t, g))
		}
	}
	return out
}

// struck is a page whose estimate has lost what was not chosen, by hand.
func struck(p app.JobPage, chosen []domain.ID) app.JobPage {
	out := p
	out.Estimate = domain.Estimate{Phases: p.All.Phases}
	for _, x := range p.All.Tasks {
		if x.OptionID == "" || slices.Contains(chosen, x.OptionID) {
			out.Estimate.Tasks = append(out.Estimate.Tasks, x)
		}
	}
	for _, x := range p.All.Lines {
		if x.OptionID == "" || slices.Contains(chosen, x.OptionID) {
			out.Estimate.Lines = append(out.Estimate.Lines, x)
		}
	}
	return out
}

func combine(t *rapid.T, b *bench, p app.JobPage, places int) {
	ctx := b.t.Context()
	chosen := pick(t, p.All.Options)
	want := reckon(struck(p, chosen), places)
	total := new(big.Int).Add(want.net, want.tax())
	if p.Price.Totals.GrandTotal.Sign() <= 0 || total.Sign() <= 0 || len(p.Estimate.Tasks) == 0 {
		t.Skip("credits ate the price, or no work is left")
	}
	same := func(what string, got decimal.Decimal, want *big.Int) {
		t.Helper()
		if minor(t, got, places).Cmp(want) != 0 {
			t.Fatalf("%s: %s, want %s minor units", what, got, want)
		}
	}
	q := b.issue(p)
	s, err := b.app.PreviewQuote(ctx, b.client, q.ID, chosen)
	b.ok("previewing", err)
	same("previewed net", s.Net, want.net)
	same("previewed tax", s.Tax, want.tax())
	same("previewed total", s.Total, total)
	tied(t, s, b.page(p.Job.ID).Shop.Settings.TaxBasis, int32(places))
	differences(t, b, q, p, s, places)
	q, err = b.app.DecideQuote(ctx, b.client, q.ID, b.key(), app.PortalDecision{Accepted: true, Name: "Sorei Vantesse", Signature: "Sorei Vantesse",
		DocumentHash: q.DocumentHash, OptionIDs: chosen, Amount: &s.Total, Finish: s.Offer.Finish})
	b.ok("accepting", err)
	sold := b.page(p.Job.ID)
	same("authorised amount", sold.Job.AuthorisedAmount, total)
	same("agreed amount", q.Decision.Amount, total)
	same("price of what is in force", sold.Price.Totals.GrandTotal.Decimal(), total)
	same("draws", drawn(sold.Draws), total)
	if sold.Job.Promise != s.Offer.Finish {
		t.Fatalf("promised %s, want %s as previewed", sold.Job.Promise, s.Offer.Finish)
	}
	left := struck(sold, chosen)
	if len(sold.Baseline) != len(left.Estimate.Tasks) || len(sold.Estimate.Tasks) != len(left.Estimate.Tasks) || len(sold.Estimate.Lines) != len(left.Estimate.Lines) {
		t.Fatalf("%d tasks and %d lines are in force and %d planned, want %d, %d and %d", len(sold.Estimate.Tasks), len(sold.Estimate.Lines), len(sold.Baseline),
			len(left.Estimate.Tasks), len(left.Estimate.Lines), len(left.Estimate.Tasks))
	}
	for _, x := range sold.All.Tasks {
		in := x.OptionID == "" || slices.Contains(chosen, x.OptionID)
		if (x.Scope == domain.Authorised) != in {
			t.Fatalf("%s is %s, chosen %v", x.Code, x.Scope, in)
		}
	}
}

// tied checks the parts of a selection against each other.
func tied(t *rapid.T, s app.Selection, basis pricing.TaxBasis, places int32) {
	phases, taxes := decimal.Zero, decimal.Zero
	for _, ph := range s.Offer.Phases {
		lines := decimal.Zero
		for _, l := range ph.Lines {
			lines = lines.Add(dec(l.Net))
		}
		if !lines.Equal(dec(ph.Net)) { // BR-CO-10 by phase
			t.Fatalf("lines of %s come to %s, the phase to %s", ph.Name, lines, ph.Net)
		}
		phases = phases.Add(dec(ph.Net))
	}
	base := decimal.Zero
	for _, x := range s.Offer.Taxes {
		taxes, base = taxes.Add(dec(x.Tax)), base.Add(dec(x.Base))
		if want := dec(x.Base).Mul(dec(x.Percent)).Shift(-2).Round(places); basis == pricing.PerDocument && !want.Equal(dec(x.Tax)) { // BR-CO-17
			t.Fatalf("tax at %s of %s is %s, want %s", x.Percent, x.Base, x.Tax, want)
		}
	}
	if !phases.Equal(s.Net) || !base.Equal(s.Net) || !taxes.Equal(s.Tax) || !s.Net.Add(s.Tax).Equal(s.Total) || !drawn(s.Offer.Draws).Equal(s.Total) {
		t.Fatalf("phases %s, bases %s, taxes %s, draws %s; the selection has net %s, tax %s, total %s", phases, base, taxes, drawn(s.Offer.Draws), s.Net, s.Tax, s.Total)
	}
}

// differences checks what each option says that it changes: the total of the
// selection that differs in it, reckoned the slow way, less the total of this one.
func differences(t *rapid.T, b *bench, q domain.Quote, p app.JobPage, s app.Selection, places int) {
	for _, o := range s.Offer.Options {
		var other []domain.ID
		for _, x := range s.Offer.Options {
			taken := x.Taken
			if x.ID == o.ID {
				taken = o.Group != "" || !x.Taken
			} else if o.Group != "" && x.Group == o.Group {
				taken = false
			}
			if taken {
				other = append(other, x.ID)
			}
		}
		want := reckon(struck(p, other), places)
		total := decimal.NewFromBigInt(new(big.Int).Add(want.net, want.tax()), -int32(places))
		if got := dec(o.Difference); !got.Equal(total.Sub(s.Total)) {
			t.Fatalf("%s changes the total by %s, want %s - %s", o.Name, got, total, s.Total)
		}
		then, err := b.app.PreviewQuote(b.t.Context(), b.client, q.ID, other)
		if err != nil || !then.Total.Equal(total) {
			t.Fatalf("with %s: %s %v, want %s", o.Name, then.Total, err, total)
		}
	}
}
