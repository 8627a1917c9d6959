package paper

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// tieTaxes gives each rate's tax, as it was priced, to the first class with the
// rate, and makes sure that the bases are those of the lines.
func (b *book) tieTaxes() error {
	for i, first := range b.classes {
		if b.leader(i) != first {
			continue
		}
		base, used := b.baseOf(i)
		priced, found := b.priced(first)
		if used != found || found && !priced.Base.Equal(base) {
			return figures("the base at %s %% is %s by the lines", first.Percent, base)
		}
	}
	return nil
}

// leader is the first class with the rate of class i; each exempt class stands
// for itself.
func (b *book) leader(i int) *rate {
	if !b.classes[i].Exempt {
		for _, r := range b.classes {
			if !r.Exempt && r.percent.Equal(b.classes[i].percent) {
				return r
			}
		}
	}
	return b.classes[i]
}

// baseOf is the net of all classes that class i leads.
func (b *book) baseOf(i int) (base money.Amount, used bool) {
	base = b.zero()
	for j, r := range b.classes {
		if b.leader(j) == b.classes[i] {
			base, used = b.plus(base, r.net), used || r.used
		}
	}
	return base, used
}

// priced finds the tax of a rate as it was priced.
func (b *book) priced(r *rate) (WorkbookTax, bool) {
	for _, t := range b.data.Taxes {
		percent, err := decimal.NewFromString(t.Percent)
		if err == nil && t.Exempt == r.Exempt && percent.Equal(r.percent) {
			return t, true
		}
	}
	return WorkbookTax{Base: b.zero(), Tax: b.zero()}, false
}

// taxSheet adds up by class and rounds once for each rate, or adds the rounded
// taxes of lines. Classes of one rate are taxed together, at the first of them.
func (b *book) taxSheet() sheet {
	s := sheet{name: "Tax", frozen: firstClass - 1, widths: []float64{22, 9, 16, 22, 16, 16, 16}}
	s.add(titleCell("Tax"))
	how := "Tax is rounded once for each rate, on all that is taxed at it."
	last := "Tax of the rate"
	if b.data.TaxPerLine {
		how = "Tax is rounded on each line and added up for each rate."
	}
	s.add(asideCell(how + " Figures on blue may be changed."))
	titles := []string{"Tax class", "Tax %", "Net", "Taxed together with", "Net at this rate", last}
	if b.data.TaxPerLine {
		titles = append(titles, "Tax of the lines")
	}
	s.add(headCells(titles...)...)
	for i := range b.classes {
		s.add(b.classCells(i)...)
	}
	return s
}

func (b *book) classCells(i int) []cell {
	r := b.classes[i]
	end := firstClass + len(b.classes) - 1
	taxed := firstClass - 1
	for _, c := range b.classes {
		if !c.Exempt {
			taxed = c.row
		}
	}
	ofClass := func(key string) string {
		return b.added(fmt.Sprintf("SUMPRODUCT((%s=A%d)*%s)", b.lineRange("class"), r.row, b.lineRange(key)))
	}
	together := func(column string) string {
		return b.added(fmt.Sprintf("SUMPRODUCT(($D$%d:$D$%d=A%d)*$%s$%d:$%s$%d)", firstClass, end, r.row, column, firstClass, column, end))
	}
	with := cell{look: lookText, text: words(b.leader(i).Name), formula: fmt.Sprintf("INDEX($A$%d:$A$%d,MATCH(B%d,$B$%d:$B$%d,0))", firstClass, taxed, r.row, firstClass, taxed)}
	if r.Exempt {
		with.formula = ""
	}
	base, priced := b.zero(), WorkbookTax{Tax: b.zero()}
	if b.leader(i) == r {
		base, _ = b.baseOf(i)
		priced, _ = b.priced(r)
	}
	leads := func(formula string) string { return fmt.Sprintf("IF(D%d=A%d,%s,0)", r.row, r.row, formula) }
	rate := inputCell(r.percent.String())
	if r.Exempt {
		rate = figureCell("", "0")
	}
	cells := []cell{textCell(words(r.Name)), rate, amountCell(ofClass("net"), r.net), with, amountCell(leads(together("C")), base)}
	switch {
	case b.data.TaxPerLine:
		return append(cells, sumCell(leads(together("G")), priced.Tax), amountCell(ofClass("tax"), r.tax))
	case !b.steady(portion(base, r.percent), priced.Tax):
		return append(cells, sumCell("", priced.Tax), asideCell(statedFigure+"the tax."))
	}
	return append(cells, sumCell(leads(b.rounded(fmt.Sprintf("E%d*B%d/100", r.row, r.row))), priced.Tax))
}

// estimateSheet is the first sheet: subtotals by phase and the totals.
func (b *book) estimateSheet() sheet {
	s := sheet{name: "Estimate", widths: []float64{9, 44, 16, 16, 18, 16, 10}}
	s.add(titleCell(b.data.Heading))
	for _, p := range b.data.Particulars {
		s.add(textCell(""), textCell(p))
	}
	s.add(asideCell("All amounts in " + b.currency.Code() + ". They follow from the sheets Lines, Tax and Payments."))
	s.add()
	s.add()
	titles := []string{"Phase no.", "Phase", "Net"}
	if b.edition == OwnersEdition {
		titles = append(titles, "Cost", "Net without a known cost", "Margin", "Margin %")
	}
	s.add(headCells(titles...)...)
	nets := b.phaseNets()
	known, unknown := b.costs()
	for i, row := range b.phaseRows {
		number, name := i+1, ""
		if i == len(b.data.Phases) {
			number, name = 0, "Without a phase"
		} else {
			name = b.data.Phases[i]
		}
		cells := []cell{figureCell("", fmt.Sprint(number)), textCell(name), amountCell(b.ofPhase(row, b.lineRange("net")), nets[i])}
		if b.edition == OwnersEdition {
			cells = append(cells, amountCell(b.ofPhase(row, b.lineRange("linecost")), known[i]),
				amountCell(b.ofPhase(row, "("+b.lineRange("linecost")+`="")*`+b.lineRange("net")), unknown[i]))
			cells = append(cells, b.margin(row, nets[i], known[i], unknown[i])...)
		}
		s.add(cells...)
	}
	b.totals(&s, known, unknown)
	return s
}

func (b *book) ofPhase(row int, what string) string {
	return b.added(fmt.Sprintf("SUMPRODUCT((%s=A%d)*%s)", b.lineRange("phase"), row, what))
}

// margin is net less cost, where the cost is known, and in percent of that net.
func (b *book) margin(row int, net, known, unknown money.Amount) []cell {
	costed := b.minus(net, unknown)
	margin := b.minus(costed, known)
	cells := []cell{amountCell(b.added(fmt.Sprintf("C%d-E%d-D%d", row, row, row)), margin)}
	if costed.Sign() <= 0 {
		return append(cells, figureCell("", ""))
	}
	percent := margin.Decimal().Shift(2).DivRound(costed.Decimal(), 1)
	return append(cells, figureCell(fmt.Sprintf("IF(C%d-E%d>0,ROUND(ROUND(1000*F%d/(C%d-E%d),6),0)/10,0)", row, row, row, row, row), percent.String()))
}

func (b *book) totals(s *sheet, known, unknown []money.Amount) {
	first, last := b.phaseRows[0], b.phaseRows[len(b.phaseRows)-1]
	adding := func(column string) string { return b.added(fmt.Sprintf("SUM(%s%d:%s%d)", column, first, column, last)) }
	line := []cell{{}, textCell("Total of the lines"), sumCell(adding("C"), b.data.LineTotal)}
	if b.edition == OwnersEdition {
		cost, uncosted := b.all(known), b.all(unknown)
		line = append(line, sumCell(adding("D"), cost), sumCell(adding("E"), uncosted))
		line = append(line, b.margin(b.totalRow, b.data.LineTotal, cost, uncosted)...)
	}
	row := s.add(line...)
	s.add(cell{}, textCell("Tax"), sumCell(b.added(fmt.Sprintf("SUM(Tax!F%d:F%d)", firstClass, firstClass+max(len(b.classes), 1)-1)), b.data.TaxTotal))
	s.add(cell{}, textCell("Total with tax"), sumCell(b.added(fmt.Sprintf("C%d+C%d", row, row+1)), b.data.Total))
	s.add(cell{}, textCell("Already paid"), inputCell(b.plus(b.zero(), b.data.Prepaid).String()))
	s.add(cell{}, textCell("Due"), sumCell(b.added(fmt.Sprintf("C%d-C%d", row+2, row+3)), b.data.Due))
}

func (b *book) all(amounts []money.Amount) money.Amount {
	total := b.zero()
	for _, a := range amounts {
		total = b.plus(total, a)
	}
	return total
}
