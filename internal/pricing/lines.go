package pricing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/measure"
	"bareframe/internal/money"
)

// numbers are a line's decimals.
type numbers struct {
	quantity, billed, base, price, cost decimal.Decimal
	discountPercent, discount, rate     decimal.Decimal
}

// readLines reads and prices every line; a line with a fault stays unpriced.
func (d *document) readLines() {
	d.placeLines()
	seen := make(map[string]bool, len(d.in.Lines))
	for i := range d.in.Lines {
		in := &d.in.Lines[i]
		at := "/lines/" + strconv.Itoa(i)
		if d.id(at, "/id", in.ID) && seen[in.ID] {
			d.faults.Add(at+"/id", "another line has this id")
		}
		seen[in.ID] = true
		d.checkLine(at, in)
		if n, ok := d.readLine(at, in); ok {
			*d.lines[i] = d.restate(in, &n)
			d.price(at, in, &n, d.lines[i])
		}
	}
}

// placeLines makes room for each line where it counts, so that none is copied.
func (d *document) placeLines() {
	n := 0
	for i := range d.in.Lines {
		if isTaken(&d.in.Lines[i]) {
			n++
		}
	}
	d.lines = make([]*LineResult, len(d.in.Lines))
	d.taken, d.left = make([]LineResult, n), make([]LineResult, len(d.in.Lines)-n)
	t, l := 0, 0
	for i := range d.in.Lines {
		if isTaken(&d.in.Lines[i]) {
			d.lines[i] = &d.taken[t]
			t++
		} else {
			d.lines[i] = &d.left[l]
			l++
		}
	}
}

func isTaken(line *Line) bool { return line.Option == nil || line.Option.Taken }

// checkLine checks what is not a number.
func (d *document) checkLine(at string, in *Line) {
	d.text(at, "/description", in.Description)
	if in.PhaseID != "" {
		if _, ok := d.phases[in.PhaseID]; !ok {
			d.faults.Add(at+"/phase_id", "there is no such phase; leave it out for a document line")
		}
	}
	if len(in.TaskID) > MaxIDLength {
		d.faults.Add(at+"/task_id", "use at most %d characters", MaxIDLength)
	}
	if !slices.Contains(Kinds(), in.Kind) {
		d.faults.Add(at+"/kind", "the kind must be one of %s", joined(Kinds()))
	}
	if in.Unit != "" && !measure.Unit(in.Unit).Known() {
		d.faults.Add(at+"/unit", "the unit must be one of %s, or empty", joined(measure.Units()))
	}
	d.checkMeaning(at, in)
}

// checkMeaning refuses fields that mean nothing on this kind of line, or that
// say the same thing twice.
func (d *document) checkMeaning(at string, in *Line) {
	refuse := func(when bool, field, detail string) {
		if when {
			d.faults.Add(at+field, "%s", detail)
		}
	}
	discounted := in.DiscountPercent != "" || in.DiscountAmount != ""
	refuse(in.Quantity == "", "/quantity", "a quantity is needed")
	refuse(in.UnitPrice == "" && in.UnitCost == "", "/unit_price", "a unit price is needed, or a unit cost to mark up")
	refuse(in.WastePercent != "" && in.Kind != Material, "/waste_percent", "only material has waste")
	refuse(in.MarkupPercent != "" && in.Kind != Material && in.Kind != Sublet,
		"/markup_percent", "only material and sublet are marked up")
	refuse(in.MarkupPercent != "" && in.UnitPrice != "", "/markup_percent", "give a unit price or a markup, not both")
	refuse(in.DiscountPercent != "" && in.DiscountAmount != "",
		"/discount_amount", "give a discount in percent or as an amount, not both")
	refuse(discounted && in.Kind == Credit, "/kind", "a credit takes no discount; make the credit smaller")
	refuse(in.Reserve != nil && in.Kind != Reserve, "/reserve", "only a reserve line has a reserve rule")
	if r := in.Reserve; r != nil {
		refuse(r.Approval != "" && r.Approval != ByClient && r.Approval != ByOwner,
			"/reserve/approval", `the approval is "client" or "owner"`)
		refuse(r.Carried && in.Option != nil, "/reserve/carried", "a reserve that is part of an option must be a line of its own")
	}
}

// readLine reads the numbers of a line and reports whether all were good.
func (d *document) readLine(at string, in *Line) (n numbers, ok bool) {
	before := d.faults.count
	n.quantity = d.positive(at, "/quantity", in.Quantity, MaxPlaces)
	waste := d.percent(at, "/waste_percent", in.WastePercent, maxPercent)
	markup := d.percent(at, "/markup_percent", in.MarkupPercent, maxMarkup)
	n.cost = d.positive(at, "/unit_cost", in.UnitCost, MaxPlaces)
	n.price = d.positive(at, "/unit_price", in.UnitPrice, MaxPlaces)
	n.base = one
	if in.PriceBaseQuantity != "" {
		n.base = d.positive(at, "/price_base_quantity", in.PriceBaseQuantity, MaxPlaces)
		if n.base.IsZero() {
			d.faults.Add(at+"/price_base_quantity", "the price base quantity must be more than zero")
		}
	}
	n.discountPercent = d.percent(at, "/discount_percent", in.DiscountPercent, maxPercent)
	n.discount = d.amount(at, "/discount_amount", in.DiscountAmount).Decimal()
	n.rate = d.class(at, "/tax_class", in.TaxClass)
	n.billed = more(n.quantity, waste)
	if in.UnitPrice == "" {
		n.price = more(n.cost, markup)
	}
	return n, d.faults.count == before
}

// more returns value plus percent of it, exactly.
func more(value, percent decimal.Decimal) decimal.Decimal {
	if percent.IsZero() {
		return value
	}
	return value.Mul(hundred.Add(percent)).Shift(-2)
}

// restate carries over into the result what the price is computed from.
func (d *document) restate(in *Line, n *numbers) LineResult {
	quantity := shortest(in.Quantity)
	billed, base, price := quantity, "1", shortest(in.UnitPrice)
	if in.WastePercent != "" {
		billed = n.billed.String()
	}
	if in.PriceBaseQuantity != "" {
		base = shortest(in.PriceBaseQuantity)
	}
	if in.UnitPrice == "" {
		price = n.price.String()
	}
	return LineResult{
		ID: in.ID, PhaseID: in.PhaseID, TaskID: in.TaskID, Kind: in.Kind, Description: in.Description,
		Quantity: quantity, BilledQuantity: billed, Unit: in.Unit,
		BaseQuantity: base, WastePercent: in.WastePercent, UnitCost: shortest(in.UnitCost),
		MarkupPercent: in.MarkupPercent, UnitPrice: price, DiscountPercent: in.DiscountPercent,
		TaxClass: in.TaxClass, TaxPercent: d.rateText[in.TaxClass], Option: in.Option, Reserve: in.Reserve,
	}
}

// shortest drops the zeros that a plain decimal does not need: 07.50 is 7.5. It
// works on the text, which has been read, because a quote has thousands of them.
func shortest(text string) string {
	text = strings.TrimPrefix(text, "-") // only -0 gets here with a sign
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	for len(text) > 1 && text[0] == '0' && text[1] != '.' {
		text = text[1:]
	}
	return text
}

// price computes gross, discount, net, cost and, with tax per line, tax.
func (d *document) price(at string, in *Line, n *numbers, line *LineResult) {
	gross := n.billed.Mul(n.price) // for base quantity units
	net := gross
	switch {
	case in.DiscountPercent != "":
		net = gross.Mul(hundred.Sub(n.discountPercent)).Shift(-2)
	case in.DiscountAmount != "":
		net = gross.Sub(n.discount.Mul(n.base))
		if net.IsNegative() {
			d.faults.Add(at+"/discount_amount", "the discount is larger than the line")
		}
	}
	line.Gross = d.quotient(gross, n.base)
	line.Net = d.quotient(net, n.base)
	if in.Kind == Credit {
		line.Gross, line.Net = line.Gross.Neg(), line.Net.Neg()
	}
	line.Discount = minus(line.Gross, line.Net)
	if !line.Gross.Fits() {
		d.faults.Add(at, "the line comes to more than %d digits", money.MaxIntegerDigits)
	}
	d.costLine(at, in, n, line)
	if d.in.TaxBasis == PerLine {
		line.Tax = taxOn(line.Net, n.rate)
	}
}

// costLine computes cost and margin where the unit cost is known.
func (d *document) costLine(at string, in *Line, n *numbers, line *LineResult) {
	if in.UnitCost == "" {
		return
	}
	cost := d.quotient(n.billed.Mul(n.cost), n.base)
	if in.Kind == Credit {
		cost = cost.Neg()
	}
	if !cost.Fits() {
		d.faults.Add(at, "the cost comes to more than %d digits", money.MaxIntegerDigits)
	}
	margin := minus(line.Net, cost)
	line.Cost, line.Margin = &cost, &margin
}

// quotient rounds value/base once to the minor unit.
func (d *document) quotient(value, base decimal.Decimal) money.Amount {
	if base.Equal(one) {
		return money.Round(value, d.currency)
	}
	return money.RoundQuotient(value, base, d.currency)
}

// checkCarried makes sure that each carried reserve has lines to carry it.
func (d *document) checkCarried() {
	for i := range d.lines {
		line := d.lines[i]
		if !carried(line) || line.Net.IsZero() {
			continue
		}
		if !slices.ContainsFunc(d.lines, func(other *LineResult) bool { return carries(other, line) }) {
			d.faults.Add(fmt.Sprintf("/lines/%d/reserve/carried", i),
				"there is no line of the same phase and tax class that could carry the reserve")
		}
	}
}
