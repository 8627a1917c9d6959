package pricing

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/measure"
	"bareframe/internal/money"
)

// pricedLine is a line's result beside the decimals that it came from.
type pricedLine struct {
	LineResult
	billed, base, price, cost       decimal.Decimal
	discountPercent, discount, rate decimal.Decimal
}

// readLines reads and prices every line; a line with a fault stays unpriced.
func (d *document) readLines() {
	d.lines = make([]pricedLine, len(d.in.Lines))
	seen := make(map[string]bool, len(d.in.Lines))
	for i := range d.in.Lines {
		in := &d.in.Lines[i]
		at := "/lines/" + strconv.Itoa(i)
		if d.id(at+"/id", in.ID) && seen[in.ID] {
			d.faults.Add(at+"/id", "another line has this id")
		}
		seen[in.ID] = true
		d.checkLine(at, in)
		if line, ok := d.readLine(at, in); ok {
			d.price(at, in, &line)
			d.lines[i] = line
		}
	}
}

// checkLine checks what is not a number.
func (d *document) checkLine(at string, in *Line) {
	d.text(at+"/description", in.Description)
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
func (d *document) readLine(at string, in *Line) (line pricedLine, ok bool) {
	var c document // collects by itself, to know whether this line is good
	c.currency, c.rates = d.currency, d.rates
	quantity := c.positive(at+"/quantity", in.Quantity, MaxPlaces)
	waste := c.percent(at+"/waste_percent", in.WastePercent, maxPercent)
	markup := c.percent(at+"/markup_percent", in.MarkupPercent, maxMarkup)
	line.cost = c.positive(at+"/unit_cost", in.UnitCost, MaxPlaces)
	line.price = c.positive(at+"/unit_price", in.UnitPrice, MaxPlaces)
	line.base = one
	if in.PriceBaseQuantity != "" {
		line.base = c.positive(at+"/price_base_quantity", in.PriceBaseQuantity, MaxPlaces)
		if line.base.IsZero() {
			c.faults.Add(at+"/price_base_quantity", "the price base quantity must be more than zero")
		}
	}
	line.discountPercent = c.percent(at+"/discount_percent", in.DiscountPercent, maxPercent)
	line.discount = c.amount(at+"/discount_amount", in.DiscountAmount).Decimal()
	line.rate = c.class(at+"/tax_class", in.TaxClass)
	if err := fault.As(c.faults.Err(code)); err != nil {
		for _, f := range err.Fields {
			d.faults.Add(f.Pointer, "%s", f.Detail)
		}
		return line, false
	}
	line.billed = more(quantity, waste)
	if in.UnitPrice == "" {
		line.price = more(line.cost, markup)
	}
	line.LineResult = d.restate(in, &line, quantity)
	return line, true
}

var one = decimal.NewFromInt(1)

// more returns value plus percent of it, exactly.
func more(value, percent decimal.Decimal) decimal.Decimal {
	if percent.IsZero() {
		return value
	}
	return value.Mul(hundred.Add(percent)).Shift(-2)
}

// restate carries over into the result what the price is computed from.
func (d *document) restate(in *Line, line *pricedLine, quantity decimal.Decimal) LineResult {
	return LineResult{
		ID: in.ID, PhaseID: in.PhaseID, TaskID: in.TaskID, Kind: in.Kind, Description: in.Description,
		Quantity: quantity.String(), BilledQuantity: line.billed.String(), Unit: in.Unit,
		BaseQuantity: line.base.String(), WastePercent: in.WastePercent, UnitCost: given(in.UnitCost, line.cost),
		MarkupPercent: in.MarkupPercent, UnitPrice: line.price.String(), DiscountPercent: in.DiscountPercent,
		TaxClass: in.TaxClass, TaxPercent: line.rate.String(), Option: in.Option, Reserve: in.Reserve,
	}
}

// given returns the decimal in its shortest form, or nothing when it was not given.
func given(text string, value decimal.Decimal) string {
	if text == "" {
		return ""
	}
	return value.String()
}

// price computes gross, discount, net, cost and, with tax per line, tax.
func (d *document) price(at string, in *Line, line *pricedLine) {
	gross := line.billed.Mul(line.price) // for base quantity units
	net := gross
	switch {
	case in.DiscountPercent != "":
		net = gross.Mul(hundred.Sub(line.discountPercent)).Shift(-2)
	case in.DiscountAmount != "":
		net = gross.Sub(line.discount.Mul(line.base))
		if net.IsNegative() {
			d.faults.Add(at+"/discount_amount", "the discount is larger than the line")
		}
	}
	line.Gross = d.quotient(gross, line.base)
	line.Net = d.quotient(net, line.base)
	if in.Kind == Credit {
		line.Gross, line.Net = line.Gross.Neg(), line.Net.Neg()
	}
	line.Discount = minus(line.Gross, line.Net)
	if !line.Gross.Fits() {
		d.faults.Add(at, "the line comes to more than %d digits", money.MaxIntegerDigits)
	}
	d.costLine(at, in, line)
	if d.in.TaxBasis == PerLine {
		line.Tax = taxOn(line.Net, line.rate)
	}
}

// costLine computes cost and margin where the unit cost is known.
func (d *document) costLine(at string, in *Line, line *pricedLine) {
	if in.UnitCost == "" {
		return
	}
	cost := d.quotient(line.billed.Mul(line.cost), line.base)
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
		line := &d.lines[i].LineResult
		if !carried(line) || line.Net.IsZero() {
			continue
		}
		if !slices.ContainsFunc(d.lines, func(other pricedLine) bool { return carries(&other.LineResult, line) }) {
			d.faults.Add(fmt.Sprintf("/lines/%d/reserve/carried", i),
				"there is no line of the same phase and tax class that could carry the reserve")
		}
	}
}
