package pricing

import (
	"sort"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// taxOn is the tax on one net, rounded to the minor unit.
func taxOn(net money.Amount, percent decimal.Decimal) *money.Amount {
	tax := money.Round(net.Decimal().Mul(percent).Shift(-2), net.Currency())
	return &tax
}

// rateKey names a row of the breakdown: exempt is not the same as a rate of zero.
type rateKey struct {
	exempt  bool
	percent string
}

// tax makes the breakdown by rate. Per document the tax of a rate is rounded
// from its base; per line it is the sum of the taxes already rounded.
func (d *document) tax(r *Result, sums classSums) {
	rows := map[rateKey]*TaxResult{}
	for _, class := range TaxClasses() {
		c := sums[class]
		if c == nil {
			continue
		}
		row := d.taxRow(rows, class)
		row.Classes = append(row.Classes, class)
		row.Base = plus(row.Base, c.Base)
	}
	if d.in.TaxBasis == PerLine {
		d.sumTaxes(r, rows)
	}
	r.Taxes = make([]TaxResult, 0, len(rows))
	for _, row := range rows {
		if d.in.TaxBasis == PerDocument {
			row.Tax = *taxOn(row.Base, d.rates[row.Classes[0]])
		}
		r.Taxes = append(r.Taxes, *row)
	}
	sort.Slice(r.Taxes, func(i, j int) bool { return d.before(r.Taxes[i], r.Taxes[j]) })
}

// taxRow returns the row that a class belongs to, made on first use.
func (d *document) taxRow(rows map[rateKey]*TaxResult, class TaxClass) *TaxResult {
	k := rateKey{class == Exempt, d.rates[class].String()}
	if rows[k] == nil {
		rows[k] = &TaxResult{Exempt: k.exempt, Percent: k.percent, Base: d.zero(), Tax: d.zero()}
	}
	return rows[k]
}

// sumTaxes adds the rounded taxes of lines and adjustments to their rows.
func (d *document) sumTaxes(r *Result, rows map[rateKey]*TaxResult) {
	for i := range r.Lines {
		row := d.taxRow(rows, r.Lines[i].TaxClass)
		row.Tax = plus(row.Tax, *r.Lines[i].Tax)
	}
	for _, a := range r.Adjustments {
		for _, share := range a.Shares {
			row := d.taxRow(rows, share.TaxClass)
			if a.Kind == Discount {
				row.Tax = minus(row.Tax, *share.Tax)
			} else {
				row.Tax = plus(row.Tax, *share.Tax)
			}
		}
	}
}

// before orders the breakdown: rates ascending, exempt last.
func (d *document) before(a, b TaxResult) bool {
	if a.Exempt != b.Exempt {
		return b.Exempt
	}
	return d.rates[a.Classes[0]].LessThan(d.rates[b.Classes[0]])
}
