package billing

import (
	"fmt"
	"sort"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// tax fills in the subtotals by rate, ascending, exempt last. Per document the
// tax of a rate is rounded from its base; per line it is the sum of the taxes
// that were rounded on the lines.
func (b *bill) tax(r *StopNowResult) {
	type key struct {
		exempt  bool
		percent string
	}
	rows := map[key]*RateTotal{}
	charged := b.charged()
	counted := map[string]*RateTotal{}
	for _, class := range b.classes {
		if !charged[class] {
			continue
		}
		k := key{class == Exempt, b.rates[class].String()}
		if rows[k] == nil {
			rows[k] = &RateTotal{Exempt: k.exempt, Percent: k.percent, Base: b.zero(), Tax: b.zero()}
		}
		rows[k].Classes = append(rows[k].Classes, class)
		counted[class] = rows[k]
	}
	for i := range r.Lines {
		l := &r.Lines[i]
		tax := taxOn(l.Net, b.rates[l.TaxClass])
		if r.TaxBasis == PerLine {
			l.Tax = &tax
		}
		if row := counted[l.TaxClass]; row != nil {
			row.Base = plus(row.Base, l.Net)
			row.Tax = plus(row.Tax, tax)
		}
	}
	r.Taxes = make([]RateTotal, 0, len(rows))
	for _, row := range rows {
		if r.TaxBasis == PerDocument {
			row.Tax = taxOn(row.Base, b.rates[row.Classes[0]])
		}
		row.Why = row.sentence(r.TaxBasis)
		r.Taxes = append(r.Taxes, *row)
	}
	sort.Slice(r.Taxes, func(i, j int) bool {
		if r.Taxes[i].Exempt != r.Taxes[j].Exempt {
			return r.Taxes[j].Exempt
		}
		return b.rates[r.Taxes[i].Classes[0]].LessThan(b.rates[r.Taxes[j].Classes[0]])
	})
}

// charged are the classes of which any line is not nothing.
func (b *bill) charged() map[string]bool {
	classes := map[string]bool{}
	for _, l := range b.lines {
		if !l.Net.IsZero() {
			classes[l.TaxClass] = true
		}
	}
	return classes
}

func taxOn(net money.Amount, percent decimal.Decimal) money.Amount {
	return money.Round(net.Decimal().Mul(percent).Shift(-2), net.Currency())
}

func (row RateTotal) sentence(basis TaxBasis) string {
	switch {
	case row.Exempt:
		return fmt.Sprintf("%s is exempt.", row.Base)
	case basis == PerDocument:
		return fmt.Sprintf("%s %% of %s, rounded once, is %s.", row.Percent, row.Base, row.Tax)
	}
	return fmt.Sprintf("%s %% of each line, %s together, rounded line by line, is %s.", row.Percent, row.Base, row.Tax)
}

// total adds the bill up.
func (b *bill) total(r *StopNowResult, authorised *money.Amount) {
	r.Net, r.Tax = b.zero(), b.zero()
	for _, row := range r.Taxes {
		r.Net, r.Tax = plus(r.Net, row.Base), plus(r.Tax, row.Tax)
	}
	r.Total = plus(r.Net, r.Tax)
	r.Balance = minus(r.Total, r.Paid)
	r.Words = []string{
		fmt.Sprintf("Net %s + tax %s = total %s.", r.Net, r.Tax, r.Total),
		fmt.Sprintf("Total %s - paid %s = %s.", r.Total, r.Paid, r.Balance),
	}
	switch r.Balance.Sign() {
	case 1:
		r.Words = append(r.Words, fmt.Sprintf("The client would owe %s %s.", r.Currency, r.Balance))
	case -1:
		r.Words = append(r.Words, fmt.Sprintf("The shop would owe the client %s %s.", r.Currency, r.Balance.Neg()))
	default:
		r.Words = append(r.Words, "Nothing would be owed on either side.")
	}
	if authorised == nil {
		return
	}
	over := minus(r.Total, *authorised)
	if over.Sign() <= 0 {
		over = b.zero()
	} else {
		r.Words = append(r.Words, fmt.Sprintf("The total is %s above the %s that are authorised: what is above needs the client's consent before it may be billed.", over, *authorised))
	}
	r.OverAuthorised = &over
}
