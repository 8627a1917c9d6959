package paper

import (
	"math/big"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// book is a workbook on its way: the data as exact figures, and where on its
// sheets everything stands.
type book struct {
	data     WorkbookData
	edition  Edition
	currency money.Currency
	classes  []*rate          // taxed ones first
	rates    map[string]*rate // by class name
	lines    []bookLine

	columns   map[string]string // letters on the sheet Lines, by key
	phaseRows []int             // on the sheet Estimate; the last is for lines without a phase
	totalRow  int               // of the total of lines there; tax and total follow
}

// rate is a class with its rate and what falls on it.
type rate struct {
	WorkbookClass
	percent  decimal.Decimal
	row      int // on the sheet Tax
	net, tax money.Amount
	used     bool
}

// bookLine is a line with its figures read; in the client's edition already
// without what the client does not see.
type bookLine struct {
	WorkbookLine
	quantity, waste, cost, markup, price, base, discountPercent, discount decimal.Decimal
	priced                                                                bool // net follows from quantity and price
}

// decimals gathers the first fault of many readings.
type decimals struct{ err error }

func (r *decimals) read(text string) decimal.Decimal {
	if text == "" {
		return decimal.Decimal{}
	}
	d, err := money.ParseDecimal(text, 15, 15)
	if err != nil && r.err == nil {
		r.err = err
	}
	return d
}

func (b *book) readClasses() error {
	var read decimals
	for _, c := range b.data.Classes {
		if !className.MatchString(c.Name) || b.rates[c.Name] != nil {
			return figures("the tax class %q is there twice or has signs that formulas read", c.Name)
		}
		r := &rate{WorkbookClass: c, percent: read.read(c.Percent), net: b.zero(), tax: b.zero()}
		b.rates[c.Name] = r
		b.classes = append(b.classes, r)
	}
	slices.SortStableFunc(b.classes, func(x, y *rate) int {
		switch {
		case x.Exempt == y.Exempt:
			return 0
		case y.Exempt:
			return -1
		}
		return 1
	})
	return read.err
}

func (b *book) readLines() error {
	for i, l := range b.data.Lines {
		r := b.rates[l.TaxClass]
		if r == nil || l.Phase < 0 || l.Phase > len(b.data.Phases) {
			return figures("line %d has a tax class or a phase that is not there", i+1)
		}
		if b.data.TaxPerLine == (l.Tax == nil) || !l.Net.Fits() {
			return figures("line %d needs its tax with tax per line, and only then", i+1)
		}
		line, err := readLine(l)
		if err != nil {
			return err
		}
		if b.edition == ClientsEdition {
			line = forClient(line)
		}
		b.lines = append(b.lines, line)
		r.net, r.used = b.plus(r.net, l.Net), true
		if l.Tax != nil {
			r.tax = b.plus(r.tax, *l.Tax)
		}
	}
	return nil
}

func readLine(l WorkbookLine) (bookLine, error) {
	var read decimals
	if l.PriceBase == "" {
		l.PriceBase = "1"
	}
	line := bookLine{WorkbookLine: l, quantity: read.read(l.Quantity), waste: read.read(l.WastePercent), cost: read.read(l.UnitCost), markup: read.read(l.MarkupPercent),
		price: read.read(l.UnitPrice), base: read.read(l.PriceBase), discountPercent: read.read(l.DiscountPercent), discount: read.read(l.DiscountAmount),
		priced: l.UnitPrice != "" || l.UnitCost != ""}
	if read.err == nil && line.base.IsZero() {
		return line, figures("the price of a line is for no units")
	}
	if l.UnitPrice == "" {
		line.price = withPercent(line.cost, line.markup)
	}
	return line, read.err
}

// forClient leaves of a line what the client sees: the quantity that is billed
// and the price of a unit.
func forClient(l bookLine) bookLine {
	out := l
	out.quantity, out.waste, out.WastePercent = l.billed(), decimal.Decimal{}, ""
	out.Quantity, out.UnitPrice = out.quantity.String(), ""
	if l.priced {
		out.UnitPrice = l.price.String()
	}
	out.cost, out.UnitCost, out.markup, out.MarkupPercent, out.Cost = decimal.Decimal{}, "", decimal.Decimal{}, "", nil
	return out
}

var hundred = decimal.NewFromInt(100)

func withPercent(value, percent decimal.Decimal) decimal.Decimal {
	return value.Mul(hundred.Add(percent)).Shift(-2)
}

func (l bookLine) billed() decimal.Decimal { return withPercent(l.quantity, l.waste) }

// exactNet is the net before it is rounded.
func (l bookLine) exactNet() *big.Rat {
	net := l.billed().Mul(l.price).Mul(hundred.Sub(l.discountPercent)).Shift(-2).Sub(l.discount.Mul(l.base))
	return l.signed(net)
}

func (l bookLine) exactCost() *big.Rat { return l.signed(l.billed().Mul(l.cost)) }

func (l bookLine) signed(value decimal.Decimal) *big.Rat {
	if l.Credit {
		value = value.Neg()
	}
	return new(big.Rat).Quo(value.Rat(), l.base.Rat())
}

// steady reports whether a spreadsheet's arithmetic surely rounds an exact value
// to the amount. Our formulas first round to a millionth of the minor unit,
// which takes off what doubles add: under 6e-16 of a product of five factors.
// So up to 4e8 minor units only values within a millionth of a half, and not on
// it, could go the other way.
func (b *book) steady(exact *big.Rat, amount money.Amount) bool {
	minor := new(big.Rat).Mul(exact, decimal.New(1, b.currency.Places()).Rat())
	size := new(big.Rat).Abs(minor)
	if size.Cmp(big.NewRat(400_000_000, 1)) > 0 || !amount.Fits() {
		return false
	}
	doubled := new(big.Rat).Add(new(big.Rat).Mul(size, big.NewRat(2, 1)), big.NewRat(1, 1))
	whole := new(big.Int).Div(doubled.Num(), new(big.Int).Mul(doubled.Denom(), big.NewInt(2))) // floor(size + 1/2)
	if minor.Sign() < 0 {
		whole.Neg(whole)
	}
	if !whole.IsInt64() || whole.Int64() != amount.Minor() {
		return false
	}
	off := new(big.Rat).Sub(size, new(big.Rat).SetInt(new(big.Int).Div(size.Num(), size.Denom())))
	off.Sub(off, big.NewRat(1, 2)).Abs(off)
	return off.Sign() == 0 || off.Cmp(big.NewRat(1, 1_000_000)) > 0
}

// portion is a percentage of an amount, exactly.
func portion(a money.Amount, percent decimal.Decimal) *big.Rat {
	return a.Decimal().Mul(percent).Shift(-2).Rat()
}

// phaseNets are the nets of the phases, and last that of lines without one.
func (b *book) phaseNets() []money.Amount {
	return b.byPhase(func(l WorkbookLine) *money.Amount { return &l.Net })
}

func (b *book) byPhase(of func(WorkbookLine) *money.Amount) []money.Amount {
	sums := make([]money.Amount, len(b.data.Phases)+1)
	for i := range sums {
		sums[i] = b.zero()
	}
	for _, l := range b.data.Lines {
		if a := of(l); a != nil {
			at := (l.Phase + len(sums) - 1) % len(sums)
			sums[at] = b.plus(sums[at], *a)
		}
	}
	return sums
}

func (b *book) zero() money.Amount { return money.Zero(b.currency) }

// plus adds amounts. Those of another currency would be a defect of the caller;
// they are left out, and then the figures do not tie.
func (b *book) plus(x, y money.Amount) money.Amount {
	if sum, err := x.Add(y); err == nil {
		return sum
	}
	return x
}

func (b *book) minus(x, y money.Amount) money.Amount { return b.plus(x, y.Neg()) }

// scale is the number of minor units, "100" for cents.
func (b *book) scale() string { return "1" + strings.Repeat("0", int(b.currency.Places())) }

// rounded is a formula that rounds an expression to the minor unit, half away
// from zero. The rounding is done on whole minor units because a half is exact
// there and 1.005 is not; LibreOffice's ROUND allows for that, others need not.
func (b *book) rounded(expression string) string {
	if b.currency.Places() == 0 {
		return "ROUND(ROUND(" + expression + ",6),0)"
	}
	return "ROUND(ROUND(" + b.scale() + "*(" + expression + "),6),0)/" + b.scale()
}

// added is a formula that takes off what adding doubles leaves.
func (b *book) added(expression string) string {
	return "ROUND(" + expression + "," + strconv.Itoa(int(b.currency.Places())) + ")"
}
