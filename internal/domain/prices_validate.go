package domain

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

// Bounds of a price book.
const (
	MostPrices   = 20_000 // rows, dated ones counted each
	MostPacks    = 12     // of a material
	MostLeadDays = 400
)

// RowFault is what is wrong with one row: the column at fault, in the words of
// the contract, and why.
type RowFault struct{ Column, Reason string }

var priceKey = regexp.MustCompile(`^[a-z0-9_]{1,40}$`)

// Faults names what is wrong with a row by itself.
func (r PriceRow) Faults() []RowFault {
	var out []RowFault
	add := func(column, reason string, args ...any) {
		out = append(out, RowFault{column, fmt.Sprintf(reason, args...)})
	}
	if !priceKey.MatchString(r.Ref().Key) {
		add("key", "A key is 1 to 40 small letters, digits or underscores.")
	}
	if strings.TrimSpace(r.Name()) == "" {
		add("name", "Give it a name.")
	}
	h := r.Held()
	for _, d := range []struct {
		column string
		day    Day
	}{{"valid_from", h.ValidFrom}, {"valid_to", h.ValidTo}} {
		if _, err := ParseDay(string(d.day)); err != nil && !d.day.IsZero() {
			add(d.column, "%q is not a day; write it as 2027-03-31.", string(d.day))
		}
	}
	if !h.ValidTo.IsZero() && h.ValidTo < h.ValidFrom {
		add("valid_to", "It ends on %s, before it begins on %s.", h.ValidTo, h.ValidFrom)
	}
	switch {
	case r.Labour != nil:
		if !h.ValidTo.IsZero() {
			add("valid_to", "A labour rate holds until the next one; it has no last day.")
		}
		notNegative(add, "cost_rate", r.Labour.CostRate)
		notNegative(add, "sell_rate", r.Labour.SellRate)
	case r.Material != nil:
		r.Material.faults(add)
	case r.Vendor != nil:
		notNegative(add, "markup_percent", r.Vendor.MarkupPercent)
		if r.Vendor.LeadDays < 0 || r.Vendor.LeadDays > MostLeadDays {
			add("lead_days", "Lead time is 0 to %d working days.", MostLeadDays)
		}
	}
	return out
}

func (m Material) faults(add func(column, reason string, args ...any)) {
	notNegative(add, "unit_cost", m.UnitCost)
	notNegative(add, "markup_percent", m.MarkupPercent)
	notNegative(add, "waste_percent", m.WastePercent)
	if !KnownUnit(m.Unit) {
		add("unit", "%q is not a unit; one of %s.", m.Unit, strings.Join(Units(), ", "))
	}
	if !slices.Contains(pricing.TaxClasses(), m.TaxClass) {
		add("tax_class", "%q is not a tax class.", string(m.TaxClass))
	}
	if len(m.Packs) > MostPacks {
		add("packs", "At most %d packs.", MostPacks)
	}
	for i, p := range m.Packs {
		if !p.Size.IsPositive() {
			add("packs", "A pack holds more than nothing.")
		}
		notNegative(add, "packs", p.Cost)
		if slices.ContainsFunc(m.Packs[:i], func(o Pack) bool { return o.Size.Equal(p.Size) }) {
			add("packs", "The pack of %s %s stands twice.", p.Size, m.Unit)
		}
	}
	if m.WholePacks && len(m.Packs) == 0 {
		add("whole_packs", "It is billed in whole packs; say which packs there are.")
	}
}

func notNegative(add func(column, reason string, args ...any), column string, d decimal.Decimal) {
	if d.IsNegative() {
		add(column, "This cannot be negative.")
	}
}

// Overlap is a row whose time meets that of another row of its key.
type Overlap struct {
	Ref    PriceRef
	Reason string
}

// Overlaps finds rows of one key that hold at the same time: twice from the
// same day, or past the day on which the next one begins.
func (b PriceBook) Overlaps() []Overlap {
	var out []Overlap
	rows := BookOf(b.Rows()).Rows()
	for i := 1; i < len(rows); i++ {
		before, this := rows[i-1], rows[i]
		x, y := before.Ref(), this.Ref()
		if x.Kind != y.Kind || x.Key != y.Key {
			continue
		}
		switch to := before.Held().ValidTo; {
		case x.From == y.From:
			out = append(out, Overlap{y, fmt.Sprintf("%s has two prices %s.", y.Key, sinceWords(y.From))})
		case !to.IsZero() && to >= y.From:
			out = append(out, Overlap{y, fmt.Sprintf("%s begins on %s, but the price %s holds until %s.", y.Key, y.From, sinceWords(x.From), to)})
		}
	}
	return out
}

func sinceWords(d Day) string {
	if d.IsZero() {
		return "from the beginning"
	}
	return "from " + string(d)
}

// Validate names every row of a price book that cannot stand, as
// /labour/0/sell_rate or /materials/3.
func (b PriceBook) Validate() error {
	var c fault.Collector
	at := map[PriceRef]string{} // the last row of a name is the one at fault when it stands twice
	counts := map[PriceKind]int{}
	lists := map[PriceKind]string{PricedLabour: "labour", PricedMaterial: "materials", PricedVendor: "vendors"}
	rows := b.Rows()
	for _, r := range rows {
		ref := r.Ref()
		pointer := fmt.Sprintf("/%s/%d", lists[ref.Kind], counts[ref.Kind])
		counts[ref.Kind]++
		at[ref] = pointer
		for _, f := range r.Faults() {
			column := f.Column
			if ref.Kind == PricedLabour && column == "key" {
				column = "skill"
			}
			c.Add(pointer+"/"+column, "%s", f.Reason)
		}
	}
	for _, o := range b.Overlaps() {
		c.Add(at[o.Ref], "%s", o.Reason)
	}
	if len(rows) > MostPrices {
		c.Add("", "A price book has at most %d rows.", MostPrices)
	}
	return c.Err("price-book-invalid")
}
