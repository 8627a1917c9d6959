package paper

import (
	"fmt"
	"regexp"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Edition says for whom a workbook is written.
type Edition uint8

// The editions.
const (
	OwnersEdition  Edition = iota // with cost, waste, markup and margin
	ClientsEdition                // without
)

// WorkbookData is what an estimate's workbook is written from: what was priced
// and what it came to. All decimals are plain decimal text, empty for none;
// amounts are those of package pricing. Document discounts and charges have no
// place in it. Lines are those that are in the price; options stand beside them
// on a sheet of their own, and what is not taken stands only there.
type WorkbookData struct {
	Heading     string   // such as "Estimate 12-3"
	Particulars []string // shop, client, vehicle, day: a row each
	Currency    string   // ISO 4217
	TaxPerLine  bool     // tax is rounded on each line, else once for each rate
	Classes     []WorkbookClass
	Phases      []string // names in order
	Lines       []WorkbookLine
	Taxes       []WorkbookTax // one for each rate that has lines
	LineTotal   money.Amount
	TaxTotal    money.Amount
	Total       money.Amount // with tax
	Prepaid     money.Amount
	Due         money.Amount
	Deposit     *WorkbookDeposit
	Draws       []WorkbookDraw // they divide what the deposit leaves
	Options     []WorkbookOption
}

// WorkbookClass is a tax class with its rate.
type WorkbookClass struct {
	Name    string // letters, digits, blanks, - and _
	Percent string
	Exempt  bool
}

// WorkbookLine is a line of the estimate. Without unit price and unit cost its
// net is a stated sum, as of a client's line that carries part of a reserve;
// without a unit price alone the price is the unit cost with its markup.
type WorkbookLine struct {
	Phase           int // place in Phases, from 1; 0 is none
	Kind            string
	Description     string
	Credit          bool
	Quantity        string
	Unit            string
	WastePercent    string
	UnitCost        string
	MarkupPercent   string
	UnitPrice       string
	PriceBase       string // number of units that price and cost are for; empty is 1
	DiscountPercent string
	DiscountAmount  string
	TaxClass        string

	Net  money.Amount
	Tax  *money.Amount // with tax per line
	Cost *money.Amount // where the unit cost is known
}

// WorkbookTax is one rate of the tax breakdown.
type WorkbookTax struct {
	Percent   string
	Exempt    bool
	Base, Tax money.Amount
}

// WorkbookDeposit is due on acceptance: Percent of the total, or the Amount as
// agreed when Percent is empty.
type WorkbookDeposit struct {
	Percent string
	Amount  money.Amount
}

// WorkbookDraw is a progress invoice. Every draw has a Percent of what the
// deposit leaves, or every draw follows the net of a Phase (its place, from 1).
type WorkbookDraw struct {
	Name    string
	Percent string
	Phase   int
	Amount  money.Amount
}

// Workbook writes an estimate as XLSX with live formulas: who changes a
// quantity, a price or a rate sees nets, subtotals, tax, totals, deposit and
// draws follow, rounded as package pricing does. Every formula keeps our amount
// as its value. Where a spreadsheet's 15 digits could round otherwise than exact
// arithmetic, the amount is a value, with a note that says so.
//
// The client's edition is written from fewer fields: cost, waste and markup of
// the data are not read into it, only the billed quantity and the unit price
// that come of them. Reserves that are carried by other lines must have been
// spread before (pricing's ClientView); this function cannot know them.
//
// Figures that do not tie are a fault.Invalid "workbook-figures". Equal data
// give equal bytes. O(lines).
func Workbook(d WorkbookData, e Edition) ([]byte, error) {
	b, err := newBook(d, e)
	if err != nil {
		return nil, err
	}
	b.lay()
	sheets := []sheet{b.estimateSheet(), b.linesSheet(), b.taxSheet(), b.paymentsSheet()}
	if len(d.Options) > 0 {
		sheets = append(sheets, b.optionsSheet())
	}
	return b.write(sheets...)
}

var className = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9 _-]*$`)

// newBook reads the data into exact figures and makes sure that they tie.
func newBook(d WorkbookData, e Edition) (*book, error) {
	currency, err := money.ParseCurrency(d.Currency)
	if err != nil {
		return nil, err
	}
	b := &book{data: d, edition: e, currency: currency, rates: map[string]*rate{}}
	for _, step := range []func() error{b.readClasses, b.readLines, b.readOptions, b.tie} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// tie makes sure that the sums are those of the lines and of each other, so
// that no formula comes to another figure than the one it stands beside.
func (b *book) tie() error {
	d := b.data
	lines, taxes := b.zero(), b.zero()
	for _, n := range b.phaseNets() {
		lines = b.plus(lines, n)
	}
	for _, t := range b.data.Taxes {
		taxes = b.plus(taxes, t.Tax)
	}
	left := d.Total
	for _, draw := range d.Draws {
		left = b.minus(left, draw.Amount)
		if draw.Phase < 0 || draw.Phase > len(d.Phases) || draw.Percent == "" && draw.Phase == 0 {
			return figures("a draw follows the phase %d, which is not there", draw.Phase)
		}
	}
	if d.Deposit != nil {
		left = b.minus(left, d.Deposit.Amount)
	}
	switch {
	case !lines.Equal(d.LineTotal):
		return figures("the lines come to %s and not to %s", lines, d.LineTotal)
	case !taxes.Equal(d.TaxTotal):
		return figures("the taxes come to %s and not to %s", taxes, d.TaxTotal)
	case !b.plus(d.LineTotal, d.TaxTotal).Equal(d.Total):
		return figures("lines and tax do not come to the total of %s", d.Total)
	case !b.minus(d.Total, d.Prepaid).Equal(d.Due):
		return figures("the total less what is paid is not %s", d.Due)
	case len(d.Draws) > 0 && !left.IsZero():
		return figures("deposit and draws miss the total by %s", left)
	}
	return b.tieTaxes()
}

func figures(detail string, args ...any) error {
	return fault.New(fault.Invalid, "workbook-figures", "%s", fmt.Sprintf(detail, args...))
}
