package pricing

import (
	"errors"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// same fails unless a prints as the oracle's fraction, to the minor unit.
func same(t *rapid.T, what string, got money.Amount, want *big.Rat, places int) {
	t.Helper()
	if want == nil {
		want = new(big.Rat)
	}
	if rat(got.String()).Cmp(want) != 0 {
		t.Fatalf("%s is %s, want %s", what, got, want.FloatString(places+2))
	}
}

// Random documents price as the oracle prices them, keep the identities of
// EN 16931-1, and tie in both views.
func TestRandomDocumentsAgreeWithTheOracle(t *testing.T) {
	accepted, declined := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		in, places := drawInput(t)
		got, err := Calculate(in)
		want, wantErr := oracle(in, places)
		if (err != nil) != (wantErr != nil) || wantErr != nil && !errors.Is(wantErr, refused) {
			t.Fatalf("Calculate says %v, the oracle %v", err, wantErr)
		}
		if err != nil {
			declined++
			if e := fault.As(err); e == nil || e.Kind != fault.Invalid || len(e.Fields) == 0 {
				t.Fatalf("refused with %v, want Invalid with a field", err)
			}
			return
		}
		accepted++
		compare(t, got, want, places)
		identities(t, in, got, places)
		if err := got.Ties(); err != nil {
			t.Fatal(err)
		}
		if err := got.ClientView().Ties(got); err != nil {
			t.Fatal(err)
		}
	})
	t.Logf("%d documents were priced, %d refused", accepted, declined)
	if accepted*2 < declined {
		t.Errorf("%d documents were priced and %d refused: the generator is too wild", accepted, declined)
	}
}

func compare(t *rapid.T, got Result, want *priced, places int) {
	for _, l := range got.Lines {
		same(t, "net of "+l.ID, l.Net, want.net[l.ID], places)
		if l.Tax != nil {
			same(t, "tax of "+l.ID, *l.Tax, want.tax[l.ID], places)
		}
		if l.Cost != nil {
			same(t, "cost of "+l.ID, *l.Cost, want.cost[l.ID], places)
		}
	}
	if len(got.Lines) != len(want.net) {
		t.Fatalf("%d lines, want %d", len(got.Lines), len(want.net))
	}
	for _, p := range append(got.Phases, got.DocumentLines) {
		same(t, "phase "+p.ID, p.Net, want.phase[p.ID], places)
	}
	same(t, "line total", got.Totals.LineTotal, want.lines, places)
	same(t, "discounts", got.Totals.DiscountTotal, want.discounts, places)
	same(t, "charges", got.Totals.ChargeTotal, want.charges, places)
	same(t, "total without tax", got.Totals.TaxBasisTotal, want.withoutTax, places)
	same(t, "tax", got.Totals.TaxTotal, want.allTax, places)
	same(t, "grand total", got.Totals.GrandTotal, want.grand, places)
	same(t, "due", got.Totals.Due, want.due, places)
	same(t, "margin", got.Margin.Amount, want.margin, places)
	if got.Deposit != nil {
		same(t, "deposit", got.Deposit.Amount, want.deposit, places)
	}
	for i, d := range got.Draws {
		same(t, "draw "+d.ID, d.Amount, want.draws[i], places)
	}
	for _, row := range got.Taxes {
		key := rat(row.Percent).RatString()
		if row.Exempt {
			key = "E"
		}
		same(t, "base at "+key, row.Base, want.base[key], places)
		same(t, "tax at "+key, row.Tax, want.taxOf[key], places)
	}
}

// identities checks the rules of EN 16931-1 on the figures as they are printed.
func identities(t *rapid.T, in Input, r Result, places int) {
	sum := func(amounts ...money.Amount) *big.Rat {
		total := new(big.Rat)
		for _, a := range amounts {
			total = add(total, rat(a.String()))
		}
		return total
	}
	rates := map[TaxClass]string{Exempt: "E"}
	for _, rate := range in.TaxRates {
		rates[rate.Class] = rat(rate.Percent).RatString()
	}
	var nets, discounts, charges, taxes []money.Amount
	bases := map[string]*big.Rat{}
	count := func(class TaxClass, amount *big.Rat) {
		if bases[rates[class]] == nil {
			bases[rates[class]] = new(big.Rat)
		}
		bases[rates[class]] = add(bases[rates[class]], amount)
	}
	for _, l := range r.Lines {
		nets = append(nets, l.Net)
		count(l.TaxClass, rat(l.Net.String()))
	}
	for _, a := range r.Adjustments {
		for _, s := range a.Shares {
			if a.Kind == Discount {
				discounts = append(discounts, s.Amount)
				count(s.TaxClass, rat(s.Amount.Neg().String()))
			} else {
				charges = append(charges, s.Amount)
				count(s.TaxClass, rat(s.Amount.String()))
			}
		}
	}
	for _, row := range r.Taxes {
		taxes = append(taxes, row.Tax)
		key := rat(row.Percent).RatString()
		if row.Exempt {
			key = "E"
		}
		same(t, "BR-S-08 base at "+key, row.Base, bases[key], places)
		if r.TaxBasis == PerDocument {
			// BR-CO-17 and BR-S-09; with tax per line they hold for each line instead.
			same(t, "BR-CO-17 tax at "+key, row.Tax, roundTo(percentOf(rat(row.Base.String()), row.Percent), places), places)
		}
	}
	totals := r.Totals
	same(t, "BR-CO-10", totals.LineTotal, sum(nets...), places)
	same(t, "BR-CO-11", totals.DiscountTotal, sum(discounts...), places)
	same(t, "BR-CO-12", totals.ChargeTotal, sum(charges...), places)
	same(t, "BR-CO-13", totals.TaxBasisTotal, sum(totals.LineTotal, totals.DiscountTotal.Neg(), totals.ChargeTotal), places)
	same(t, "BR-CO-14", totals.TaxTotal, sum(taxes...), places)
	same(t, "BR-CO-15", totals.GrandTotal, sum(totals.TaxBasisTotal, totals.TaxTotal), places)
	same(t, "BR-CO-16", totals.Due, sum(totals.GrandTotal, totals.Prepaid.Neg()), places)
	if r.TaxBasis == PerLine {
		for _, l := range r.Lines {
			same(t, "tax of "+l.ID, *l.Tax, roundTo(percentOf(rat(l.Net.String()), l.TaxPercent), places), places)
		}
	}
}

// The order of the lines changes no total.
func TestOrderOfLinesChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, _ := drawInput(t)
		first, err := Calculate(in)
		if err != nil {
			return
		}
		shuffled := in
		shuffled.Lines = rapid.Permutation(in.Lines).Draw(t, "order")
		second, err := Calculate(shuffled)
		if err != nil {
			t.Fatal(err)
		}
		for what, pair := range map[string][2]any{
			"totals": {first.Totals, second.Totals}, "taxes": {first.Taxes, second.Taxes},
			"phases": {first.Phases, second.Phases}, "draws": {first.Draws, second.Draws},
			"margin": {first.Margin, second.Margin}, "adjustments": {first.Adjustments, second.Adjustments},
		} {
			n := 0
			if d := differences("/"+what, plain(pair[0]), plain(pair[1]), &n); d != nil {
				t.Fatal(d)
			}
		}
	})
}

// With every combination of its options a document keeps the identities of
// EN 16931-1, agrees with the oracle, and is priced as if what is not taken were
// not there.
func TestEveryCombinationOfOptionsKeepsTheIdentities(t *testing.T) {
	combinations := 0
	rapid.Check(t, func(t *rapid.T) {
		in, places := drawInput(t)
		for _, taken := range selections(in.Lines) {
			chosen, bare := in, in
			chosen.Lines, bare.Lines = nil, nil
			for _, l := range in.Lines {
				if o := l.Option; o != nil {
					l.Option = &Option{Group: o.Group, Choice: o.Choice, Taken: taken[keyOf(o)]}
				}
				chosen.Lines = append(chosen.Lines, l)
				if l.Option == nil || l.Option.Taken {
					l.Option = nil
					bare.Lines = append(bare.Lines, l)
				}
			}
			got, err := Calculate(chosen)
			want, wantErr := oracle(chosen, places)
			if (err != nil) != (wantErr != nil) {
				t.Fatalf("with %v Calculate says %v, the oracle %v", taken, err, wantErr)
			}
			if err != nil {
				continue
			}
			combinations++
			compare(t, got, want, places)
			identities(t, chosen, got, places)
			if err := got.ClientView().Ties(got); err != nil {
				t.Fatal(err)
			}
			alone, err := Calculate(bare)
			if err != nil || alone.Totals != got.Totals {
				t.Fatalf("without what is not taken: %+v %v, want %+v", alone.Totals, err, got.Totals)
			}
		}
	})
	t.Logf("%d combinations", combinations)
	if combinations == 0 {
		t.Error("no document had options")
	}
}

// selections are ways to take the options of lines: each choice of the group, with
// no extra, with all, and with each alone; none where there are no options.
func selections(lines []Line) []map[choiceKey]bool {
	var groups, extras []choiceKey
	for _, l := range lines {
		if o := l.Option; o != nil && o.Group != "" && !slices.Contains(groups, keyOf(o)) {
			groups = append(groups, keyOf(o))
		} else if o != nil && o.Group == "" {
			extras = append(extras, keyOf(o))
		}
	}
	if len(groups)+len(extras) == 0 {
		return nil
	}
	if len(groups) == 0 {
		groups = []choiceKey{{}}
	}
	var out []map[choiceKey]bool
	for _, g := range groups {
		none, all := map[choiceKey]bool{g: true}, map[choiceKey]bool{g: true}
		for _, x := range extras {
			all[x] = true
			out = append(out, map[choiceKey]bool{g: true, x: true})
		}
		out = append(out, none, all)
	}
	return out
}
