package billing

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// StopNow works out what the client would owe if the work stopped now. All
// faults of the input come back at once as one fault.Invalid "billing-input"
// with a pointer into the input for each. O(entries).
func StopNow(in StopNowInput) (StopNowResult, error) {
	b := &bill{reader: read(in.Currency)}
	if in.TaxBasis != PerDocument && in.TaxBasis != PerLine {
		b.Add("/tax_basis", `the tax basis is "document" or "line"`)
	}
	if b.short(in) {
		b.taxRates(in.TaxRates)
		b.labour(in.Labour)
		b.fitted(in.Fitted)
		b.orders(in.Orders)
		b.storage(in.Storage)
		b.charge(TeardownCharge, "Teardown, as agreed", in.Teardown)
		b.charge(ReassemblyCharge, "Reassembly, as agreed", in.Reassembly)
		b.credits(in.Credits)
	}
	paid := b.paid(in.Payments)
	var authorised *money.Amount
	if in.Authorised != "" {
		a := b.amount("/authorised", in.Authorised)
		authorised = &a
	}
	if err := b.Err(code); err != nil {
		return StopNowResult{}, err
	}
	r := StopNowResult{Currency: b.currency, TaxBasis: in.TaxBasis, Lines: b.lines, Paid: paid}
	b.tax(&r)
	b.total(&r, authorised)
	if !r.Total.Fits() || !r.Balance.Fits() {
		b.Add("/labour", "the total is beyond %d digits", money.MaxIntegerDigits)
		return StopNowResult{}, b.Err(code)
	}
	return r, nil
}

// bill gathers the lines.
type bill struct {
	*reader
	lines []Line
}

func (b *bill) short(in StopNowInput) bool {
	ok := true
	for _, list := range []struct {
		at string
		n  int
	}{{"/tax_rates", len(in.TaxRates)}, {"/labour", len(in.Labour)}, {"/fitted", len(in.Fitted)}, {"/orders", len(in.Orders)}, {"/credits", len(in.Credits)}} {
		ok = b.bounded(list.at, list.n) && ok
	}
	return ok
}

// line adds a line. A tax class is only asked for where something is charged.
func (b *bill) line(at string, l Line) {
	b.text(at+"/description", l.Description)
	if !l.Net.IsZero() {
		b.class(at+"/tax_class", l.TaxClass)
	}
	b.lines = append(b.lines, l)
}

var minutesAnHour = decimal.NewFromInt(60)

func (b *bill) labour(list []Labour) {
	for i, l := range list {
		at := fmt.Sprintf("/labour/%d", i)
		minutes := b.whole(at+"/minutes", l.Minutes, MaxMinutes)
		rate := b.number(at+"/rate", l.Rate, ratePlaces)
		net := money.RoundQuotient(rate.Mul(decimal.NewFromInt(int64(minutes))), minutesAnHour, b.currency)
		b.line(at, Line{Kind: LabourDone, ID: l.ID, Description: l.Description, Quantity: fmt.Sprint(minutes), Unit: "min", Net: net, TaxClass: l.TaxClass,
			Why: fmt.Sprintf("Worked %d min at %s an hour: %d x %s / 60 comes to %s.", minutes, l.Rate, minutes, l.Rate, net)})
	}
}

func (b *bill) fitted(list []Item) {
	for i, item := range list {
		at := fmt.Sprintf("/fitted/%d", i)
		b.line(at, b.item(at, FittedItem, item, b.amount(at+"/net", item.Net), "Fitted or used up, at the price that was agreed."))
	}
}

func (b *bill) credits(list []Item) {
	for i, item := range list {
		at := fmt.Sprintf("/credits/%d", i)
		b.line(at, b.item(at, CreditItem, item, b.amount(at+"/net", item.Net).Neg(), "A credit: it counts against the total."))
	}
}

func (b *bill) item(at string, kind LineKind, item Item, net money.Amount, why string) Line {
	quantity := item.Quantity
	if quantity == "" {
		quantity = "1"
	}
	b.number(at+"/quantity", quantity, ratePlaces)
	return Line{Kind: kind, ID: item.ID, Description: item.Description, Quantity: quantity, Unit: item.Unit, Net: net, TaxClass: item.TaxClass, Why: why}
}

func (b *bill) orders(list []Order) {
	for i, o := range list {
		at := fmt.Sprintf("/orders/%d", i)
		full := b.amount(at+"/net", o.Net)
		fee := b.zero()
		if o.RestockingFee != "" {
			fee = b.amount(at+"/restocking_fee", o.RestockingFee)
		}
		l := b.item(at, OrderedItem, o.Item, full, "Ordered for this car, not fitted, and cannot be returned.")
		switch {
		case !o.Returnable && !fee.IsZero():
			b.Add(at+"/restocking_fee", "what cannot be returned has no restocking fee")
		case o.Returnable && fee.IsZero():
			l.Net, l.Why = b.zero(), "Ordered and not fitted; it can be returned without a fee, so nothing is owed for it."
		case o.Returnable:
			if o.FeeTaxClass == "" {
				b.Add(at+"/fee_tax_class", "the restocking fee needs a tax class")
			} else {
				b.class(at+"/fee_tax_class", o.FeeTaxClass)
			}
			b.text(at+"/description", l.Description)
			l.Net, l.TaxClass = fee, o.FeeTaxClass
			l.Why = fmt.Sprintf("Ordered and not fitted; it can be returned for a restocking fee of %s, and its price of %s is not owed.", fee, full)
			b.lines = append(b.lines, l)
			continue
		}
		b.line(at, l)
	}
}

func (b *bill) storage(s *Storage) {
	if s == nil {
		return
	}
	days, free := b.whole("/storage/days", s.Days, MaxDays), b.whole("/storage/free_days", s.FreeDays, MaxDays)
	perDay := b.amount("/storage/per_day", s.PerDay)
	charged := max(days-free, 0)
	l := Line{Kind: StorageCharge, Description: "Storage", Quantity: fmt.Sprint(charged), Unit: "day", TaxClass: s.TaxClass,
		Net: money.Round(perDay.Decimal().Mul(decimal.NewFromInt(int64(charged))), b.currency)}
	l.Why = fmt.Sprintf("%d days less %d free are %d, at %s a day, as the estimate said: %s.", days, free, charged, perDay, l.Net)
	switch {
	case charged == 0:
		l.Why = fmt.Sprintf("%d days, of which %d are free: nothing is owed for storage.", days, free)
	case !s.OnEstimate:
		l.Net, l.Why = b.zero(), "Storage was not on the estimate, so nothing is charged for it."
	}
	b.line("/storage", l)
}

func (b *bill) charge(kind LineKind, description string, c *Charge) {
	if c == nil {
		return
	}
	at := "/" + string(kind)
	l := Line{Kind: kind, Description: description, Quantity: "1", Unit: "lot", TaxClass: c.TaxClass, Net: b.amount(at+"/amount", c.Amount),
		Why: "Agreed: the estimate had it."}
	if !c.OnEstimate {
		l.Net, l.Why = b.zero(), "It was not on the estimate, so nothing is charged for it."
	}
	b.line(at, l)
}

func (b *bill) paid(list []Payment) money.Amount {
	sum := b.zero()
	if !b.bounded("/payments", len(list)) {
		return sum
	}
	for i, p := range list {
		sum = plus(sum, b.amount(fmt.Sprintf("/payments/%d/amount", i), p.Amount))
	}
	return sum
}
