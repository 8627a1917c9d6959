package paper

import (
	"fmt"
	"strconv"
	"strings"

	"bareframe/internal/money"
)

// Rows of the sheets on which formulas of other sheets rely.
const (
	firstLine  = 4 // on Lines
	firstClass = 4 // on Tax
	firstPhase = 6 // on Estimate, below the particulars
)

// column is a column of the sheet Lines.
type column struct {
	key, title string
	width      float64
	when       func(*book) bool // nil is always
}

func forOwner(b *book) bool { return b.edition == OwnersEdition }
func perLine(b *book) bool  { return b.data.TaxPerLine }

var lineColumns = []column{
	{"phase", "Phase no.", 8, nil}, {"name", "Phase", 22, nil}, {"kind", "Kind", 12, nil}, {"description", "Description", 44, nil},
	{"quantity", "Quantity", 11, nil}, {"unit", "Unit", 7, nil}, {"waste", "Waste %", 9, forOwner}, {"billed", "Quantity billed", 11, forOwner},
	{"cost", "Unit cost", 12, forOwner}, {"markup", "Markup %", 10, forOwner}, {"price", "Unit price", 12, nil}, {"base", "Price is for", 9, nil},
	{"percent", "Discount %", 11, nil}, {"discount", "Discount", 11, nil}, {"net", "Net", 14, nil}, {"class", "Tax class", 18, nil}, {"rate", "Tax %", 8, nil},
	{"tax", "Tax", 12, perLine}, {"linecost", "Cost", 14, forOwner}, {"margin", "Margin", 14, forOwner}, {"note", "Note", 40, nil},
}

// lay decides where everything stands, before any formula is written.
func (b *book) lay() {
	b.columns = map[string]string{}
	for _, c := range lineColumns {
		if c.when == nil || c.when(b) {
			b.columns[c.key] = letters(len(b.columns))
		}
	}
	for i, r := range b.classes {
		r.row = firstClass + i
	}
	b.phaseRows = make([]int, len(b.data.Phases)+1)
	for i := range b.phaseRows {
		b.phaseRows[i] = firstPhase + len(b.data.Particulars) + i
	}
	b.totalRow = b.phaseRows[len(b.data.Phases)] + 1
}

// lineRange is a column of all lines, for formulas of other sheets.
func (b *book) lineRange(key string) string {
	last := firstLine + max(len(b.lines), 1) - 1
	return fmt.Sprintf("Lines!$%s$%d:$%s$%d", b.columns[key], firstLine, b.columns[key], last)
}

func (b *book) linesSheet() sheet {
	s := sheet{name: "Lines", frozen: firstLine - 1}
	titles := make([]string, 0, len(lineColumns))
	for _, c := range lineColumns {
		if c.when == nil || c.when(b) {
			s.widths, titles = append(s.widths, c.width), append(titles, c.title)
		}
	}
	s.add(titleCell("Lines"))
	s.add(asideCell("All amounts in " + b.currency.Code() + ". Figures on blue may be changed; the rest follows from them."))
	s.add(headCells(titles...)...)
	for i := range b.lines {
		s.add(b.lineCells(&b.lines[i], strconv.Itoa(firstLine+i))...)
	}
	return s
}

// at fills a formula: {key} is the cell of that column in the row.
func (b *book) at(row, formula string) string {
	var out strings.Builder
	for {
		before, rest, found := strings.Cut(formula, "{")
		out.WriteString(before)
		if !found {
			return out.String()
		}
		key, after, _ := strings.Cut(rest, "}")
		out.WriteString(b.columns[key] + row)
		formula = after
	}
}

// lineCells writes a line by column; columns that this edition lacks are left out.
func (b *book) lineCells(l *bookLine, row string) []cell {
	remark := ""
	by := map[string]cell{
		"phase": inputCell(strconv.Itoa(l.Phase)), "name": textCell(b.phaseName(l.Phase)), "kind": textCell(words(l.Kind)), "description": textCell(l.Description),
		"quantity": inputCell(l.Quantity), "unit": textCell(l.Unit), "waste": inputCell(l.WastePercent), "billed": figureCell(b.at(row, "{quantity}*(1+{waste}/100)"), l.billed().String()),
		"cost": inputCell(l.UnitCost), "markup": inputCell(l.MarkupPercent), "price": b.unitPrice(l, row), "base": inputCell(l.PriceBase), "percent": inputCell(l.DiscountPercent), "discount": inputCell(l.DiscountAmount),
		"net": b.lineNet(l, row, &remark), "class": textCell(words(l.TaxClass)), "rate": b.lineRate(l, row), "tax": b.lineTax(l, row, &remark), "linecost": b.lineCost(l, row, &remark),
	}
	if l.Cost != nil {
		margin := b.minus(l.Net, *l.Cost)
		by["margin"] = amountCell(b.added(b.at(row, "{net}-{linecost}")), margin)
	}
	by["note"] = asideCell(remark)
	cells := make([]cell, 0, len(lineColumns))
	for _, c := range lineColumns {
		if _, here := b.columns[c.key]; here {
			cells = append(cells, by[c.key])
		}
	}
	return cells
}

func (b *book) phaseName(place int) string {
	if place == 0 {
		return ""
	}
	return b.data.Phases[place-1]
}

func (b *book) unitPrice(l *bookLine, row string) cell {
	switch {
	case l.UnitPrice != "" || !l.priced:
		return inputCell(l.UnitPrice)
	default:
		return figureCell(b.at(row, "{cost}*(1+{markup}/100)"), l.price.String())
	}
}

// billedColumn is where the quantity stands that is charged.
func (b *book) billedColumn() string {
	if b.edition == OwnersEdition {
		return "{billed}"
	}
	return "{quantity}"
}

func sign(l *bookLine) string {
	if l.Credit {
		return "-"
	}
	return ""
}

// stated is a note that an amount is no formula, and why.
const (
	statedSum    = "The net is a stated sum and no formula."
	statedFigure = "A value and no formula, because a spreadsheet's 15 digits could round it otherwise: "
)

func (b *book) lineNet(l *bookLine, row string, remark *string) cell {
	switch {
	case !l.priced:
		*remark = statedSum
	case !b.steady(l.exactNet(), l.Net):
		*remark = statedFigure + "the net."
	default:
		return amountCell(sign(l)+b.rounded(b.at(row, b.billedColumn()+"*{price}/{base}*(1-{percent}/100)-{discount}")), l.Net)
	}
	return amountCell("", l.Net)
}

func (b *book) lineRate(l *bookLine, row string) cell {
	last := firstClass + len(b.classes) - 1
	return figureCell(b.at(row, fmt.Sprintf("INDEX(Tax!$B$%d:$B$%d,MATCH({class},Tax!$A$%d:$A$%d,0))", firstClass, last, firstClass, last)), b.rates[l.TaxClass].percent.String())
}

func (b *book) lineTax(l *bookLine, row string, remark *string) cell {
	if l.Tax == nil {
		return cell{}
	}
	if !b.steady(portion(l.Net, b.rates[l.TaxClass].percent), *l.Tax) {
		*remark = strings.TrimSpace(*remark + " " + statedFigure + "the tax.")
		return amountCell("", *l.Tax)
	}
	return amountCell(b.rounded(b.at(row, "{net}*{rate}/100")), *l.Tax)
}

func (b *book) lineCost(l *bookLine, row string, remark *string) cell {
	if l.Cost == nil {
		return cell{}
	}
	if l.UnitCost == "" || !b.steady(l.exactCost(), *l.Cost) {
		*remark = strings.TrimSpace(*remark + " " + statedFigure + "the cost.")
		return amountCell("", *l.Cost)
	}
	return amountCell(sign(l)+b.rounded(b.at(row, "{billed}*{cost}/{base}")), *l.Cost)
}

// costs are the costs of the phases, and the nets of their lines without a cost.
func (b *book) costs() (known, unknown []money.Amount) {
	known = b.byPhase(func(l WorkbookLine) *money.Amount { return l.Cost })
	unknown = b.byPhase(func(l WorkbookLine) *money.Amount {
		if l.Cost != nil {
			return nil
		}
		return &l.Net
	})
	return known, unknown
}
