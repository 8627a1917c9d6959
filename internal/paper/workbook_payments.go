package paper

import (
	"fmt"
	"math/big"
	"strconv"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// Rows of the sheet Payments.
const (
	totalAt     = 3 // total with tax
	depositAt   = 5
	balanceAt   = 6
	minorAt     = 7 // the balance in whole minor units; below it its thousands and the rest
	firstDrawAt = 12
)

// share is how a draw divides the balance: by a whole number of weights, in two
// steps of long division so that no product passes 15 digits.
type share struct {
	weight, thousands, rest, whole, remainder *big.Int
	place                                     int // 0 is the largest remainder
}

// paymentsSheet states deposit and draws. Draws divide the balance by largest
// remainder: each gets its share without fractions of a minor unit, and those
// left over go one each to the largest remainders, of equal ones to the first.
func (b *book) paymentsSheet() sheet {
	s := sheet{name: "Payments", widths: []float64{38, 14, 14, 14, 16, 16, 16, 12, 16}}
	s.add(titleCell("Payments"))
	s.add(asideCell("Figures on blue may be changed. The columns from C on divide what the deposit leaves to the last minor unit."))
	s.add(textCell("Total with tax"), sumCell(fmt.Sprintf("Estimate!C%d", b.totalRow+2), b.data.Total))
	left := b.data.Total
	percent, deposit := cell{}, amountCell("", b.zero())
	if d := b.data.Deposit; d != nil {
		left = b.minus(left, d.Amount)
		percent, deposit = b.depositCells(d)
	}
	s.add(textCell("Deposit, percent of the total"), percent)
	s.add(textCell("Deposit"), deposit)
	s.add(textCell("Left for the draws"), sumCell(b.added(fmt.Sprintf("B%d-B%d", totalAt, depositAt)), left))
	shares, live := b.divide(left)
	if len(b.data.Draws) == 0 {
		return s
	}
	b.inMinorUnits(&s, left)
	b.drawRows(&s, shares, live)
	return s
}

func (b *book) depositCells(d *WorkbookDeposit) (percent, deposit cell) {
	if d.Percent == "" {
		return textCell("as agreed"), cell{look: lookInput, figure: d.Amount.String()}
	}
	deposit = amountCell("", d.Amount)
	p, err := decimal.NewFromString(d.Percent)
	base := b.data.Total
	if base.Sign() < 0 {
		base = b.zero()
	}
	if err == nil && b.steady(portion(base, p), d.Amount) {
		deposit = amountCell(b.rounded(fmt.Sprintf("MAX(0,B%d)*B%d/100", totalAt, depositAt-1)), d.Amount)
	}
	return inputCell(d.Percent), deposit
}

// inMinorUnits states the balance as a whole number, in thousands and the rest.
func (b *book) inMinorUnits(s *sheet, left money.Amount) {
	minor := new(big.Int).Abs(big.NewInt(left.Minor()))
	thousands, rest := new(big.Int).QuoRem(minor, big.NewInt(1000), new(big.Int))
	s.add(textCell("In whole minor units"), figureCell(fmt.Sprintf("ROUND(ABS(B%d)*%s,0)", balanceAt, b.scale()), minor.String()))
	s.add(textCell("Thousands of them"), figureCell(fmt.Sprintf("INT(B%d/1000)", minorAt), thousands.String()))
	s.add(textCell("The rest"), figureCell(fmt.Sprintf("B%d-1000*B%d", minorAt, minorAt+1), rest.String()))
	s.add()
}

// divide works the shares out as the formulas do, and reports whether formulas
// surely come to our draws.
func (b *book) divide(left money.Amount) ([]share, bool) {
	weights, _, ok := b.weights()
	if !ok || left.IsZero() {
		return nil, false
	}
	total := new(big.Int)
	for _, w := range weights {
		total.Add(total, w)
	}
	if total.Sign() == 0 || !left.Fits() {
		return nil, false
	}
	minor := new(big.Int).Abs(big.NewInt(left.Minor()))
	high, low := new(big.Int).QuoRem(minor, big.NewInt(1000), new(big.Int))
	shares := make([]share, len(weights))
	over := new(big.Int).Set(minor)
	for i, w := range weights {
		shares[i] = longDivision(w, high, low, total)
		over.Sub(over, shares[i].whole)
	}
	for i := range shares {
		shares[i].place = b.placeOf(shares, i)
		got := new(big.Int).Set(shares[i].whole)
		if int64(shares[i].place) < over.Int64() {
			got.Add(got, big.NewInt(1))
		}
		if left.Sign() < 0 {
			got.Neg(got)
		}
		if got.Cmp(big.NewInt(b.data.Draws[i].Amount.Minor())) != 0 {
			return nil, false
		}
	}
	// Quotients are floored at 15 significant digits by some programs.
	limit := big.NewInt(100_000_000_000_000)
	first := new(big.Int).Mul(high, total)
	second := new(big.Int).Mul(total, big.NewInt(2000))
	return shares, first.Cmp(limit) < 0 && second.Cmp(limit) < 0
}

func longDivision(w, high, low, total *big.Int) share {
	s := share{weight: w}
	s.thousands, s.rest = new(big.Int).QuoRem(new(big.Int).Mul(high, w), total, new(big.Int))
	next := new(big.Int).Add(new(big.Int).Mul(s.rest, big.NewInt(1000)), new(big.Int).Mul(low, w))
	quotient, remainder := new(big.Int).QuoRem(next, total, new(big.Int))
	s.whole = quotient.Add(quotient, new(big.Int).Mul(s.thousands, big.NewInt(1000)))
	s.remainder = remainder
	return s
}

// placeOf counts the shares that come before one when units are left over.
func (b *book) placeOf(shares []share, i int) int {
	place := 0
	for j := range shares {
		if c := shares[j].remainder.Cmp(shares[i].remainder); c > 0 || c == 0 && j < i {
			place++
		}
	}
	return place
}

// weights are the draws' weights as whole numbers, and what one unit of what
// stands in the column Share counts: percents by their places, nets in minor units.
func (b *book) weights() (weights []*big.Int, unit string, ok bool) {
	nets := b.phaseNets()
	values := make([]decimal.Decimal, len(b.data.Draws))
	places := b.currency.Places()
	for i, d := range b.data.Draws {
		if d.Percent == "" {
			values[i] = decimal.Max(decimal.Zero, nets[d.Phase-1].Decimal())
			continue
		}
		p, err := money.ParseDecimal(d.Percent, 3, 6)
		if err != nil {
			return nil, "", false
		}
		values[i], places = p, max(places, -p.Exponent())
	}
	for _, v := range values {
		weights = append(weights, v.Shift(places).BigInt())
	}
	return weights, decimal.New(1, places).String(), true
}

func (b *book) drawRows(s *sheet, shares []share, live bool) {
	if !live {
		s.add(headCells("Draw", "Share", "Amount")...)
		for i, d := range b.data.Draws {
			s.add(textCell(d.Name), b.shareCell(i), amountCell("", d.Amount))
		}
		s.add(asideCell("The draws are values and no formulas, because there is nothing to divide, or a spreadsheet's 15 digits could divide it otherwise."))
		return
	}
	s.add(headCells("Draw", "Share", "Share in whole numbers", "Thousands", "Left of them", "Whole minor units", "Remainder", "Place", "Amount")...)
	_, unit, _ := b.weights()
	last := firstDrawAt + len(shares) - 1
	for i, sh := range shares {
		s.add(b.drawCells(i, sh, unit, last)...)
	}
	all := strconv.Itoa(last + 1)
	total, whole := new(big.Int), new(big.Int)
	sums := b.zero()
	for i, sh := range shares {
		total.Add(total, sh.weight)
		whole.Add(whole, sh.whole)
		sums = b.plus(sums, b.data.Draws[i].Amount)
	}
	adding := func(column string) string { return fmt.Sprintf("SUM(%s%d:%s%d)", column, firstDrawAt, column, last) }
	s.add(textCell("All draws"), cell{}, figureCell(adding("C"), total.String()), cell{}, cell{}, figureCell(adding("F"), whole.String()), cell{}, cell{}, sumCell(b.added(adding("I")), sums))
	s.add(textCell("Deposit and draws"), cell{}, cell{}, cell{}, cell{}, cell{}, cell{}, cell{}, sumCell(b.added(fmt.Sprintf("B%d+I%s", depositAt, all)), b.data.Total))
}

func (b *book) shareCell(i int) cell {
	d := b.data.Draws[i]
	if d.Percent != "" {
		return inputCell(d.Percent)
	}
	net := b.phaseNets()[d.Phase-1]
	if net.Sign() < 0 {
		net = b.zero()
	}
	return amountCell(fmt.Sprintf("MAX(0,Estimate!C%d)", b.phaseRows[d.Phase-1]), net)
}

func (b *book) drawCells(i int, sh share, unit string, last int) []cell {
	r, first := firstDrawAt+i, firstDrawAt
	total := fmt.Sprintf("$C$%d", last+1)
	guarded := func(formula string) string { return fmt.Sprintf("IF(%s=0,0,%s)", total, formula) }
	return []cell{
		textCell(b.data.Draws[i].Name), b.shareCell(i),
		figureCell(fmt.Sprintf("ROUND(B%d*%s,0)", r, unit), sh.weight.String()),
		figureCell(guarded(fmt.Sprintf("INT($B$%d*C%d/%s)", minorAt+1, r, total)), sh.thousands.String()),
		figureCell(fmt.Sprintf("$B$%d*C%d-D%d*%s", minorAt+1, r, r, total), sh.rest.String()),
		figureCell(guarded(fmt.Sprintf("D%d*1000+INT((E%d*1000+$B$%d*C%d)/%s)", r, r, minorAt+2, r, total)), sh.whole.String()),
		figureCell(fmt.Sprintf("E%d*1000+$B$%d*C%d-(F%d-D%d*1000)*%s", r, minorAt+2, r, r, r, total), sh.remainder.String()),
		figureCell(fmt.Sprintf("SUMPRODUCT(($G$%d:$G$%d>G%d)*1)+SUMPRODUCT(($G$%d:G%d=G%d)*1)", first, last, r, first, r, r), strconv.Itoa(sh.place+1)),
		sumCell(fmt.Sprintf("SIGN($B$%d)*(F%d+IF(H%d<=$B$%d-$F$%d,1,0))/%s", balanceAt, r, r, minorAt, last+1, b.scale()), b.data.Draws[i].Amount),
	}
}
