package domain

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/pricing"
)

// PriceBook is what the shop prices with: rows that hold from a day on. Rows of
// one key do not overlap; one without an end holds until the next begins. A row
// is never rewritten once it held: what a price was stays readable.
type PriceBook struct {
	Labour    []LabourRate `json:"labour"`
	Materials []Material   `json:"materials"`
	Vendors   []Vendor     `json:"vendors"`
}

// Held is when a row of the price book holds, by days of the shop.
type Held struct {
	ValidFrom Day `json:"valid_from,omitempty"` // empty: since ever
	ValidTo   Day `json:"valid_to,omitempty"`   // the last day; empty: until the next row begins
}

// On reports whether the row holds on a day, were there no later one.
func (h Held) On(day Day) bool {
	return h.ValidFrom <= day && (h.ValidTo.IsZero() || day <= h.ValidTo)
}

// LabourRate prices an hour of a skill.
type LabourRate struct {
	Skill    string          `json:"skill"`
	Name     string          `json:"name"`
	CostRate decimal.Decimal `json:"cost_rate"` // per hour, what the shop pays
	SellRate decimal.Decimal `json:"sell_rate"` // per hour, what the client pays
	Held
}

// Material is a thing the shop buys and sells by a unit.
type Material struct {
	Key           string           `json:"key"`
	Name          string           `json:"name"`
	Unit          string           `json:"unit"`
	UnitCost      decimal.Decimal  `json:"unit_cost"`
	MarkupPercent decimal.Decimal  `json:"markup_percent"`
	WastePercent  decimal.Decimal  `json:"waste_percent"`
	TaxClass      pricing.TaxClass `json:"tax_class"`
	Packs         []Pack           `json:"packs,omitempty"` // how it is bought; none: by the unit
	// WholePacks bills the client for whole packs instead of what is used.
	WholePacks bool `json:"whole_packs,omitempty"`
	Held
}

// WasteBilled is the waste that a line bears: none where whole packs are billed,
// which hold it.
func (m Material) WasteBilled() decimal.Decimal {
	if m.WholePacks {
		return decimal.Zero
	}
	return m.WastePercent
}

// Pack is a can, sheet or bag that a material is bought in.
type Pack struct {
	Size decimal.Decimal `json:"size"` // in the unit of the material
	Cost decimal.Decimal `json:"cost"` // of the pack
}

// Vendor does sublet work.
type Vendor struct {
	Key           string          `json:"key"`
	Name          string          `json:"name"`
	LeadDays      int             `json:"lead_days"` // working days away
	MarkupPercent decimal.Decimal `json:"markup_percent"`
	Note          string          `json:"note"`
	Held
}

// On is the book as it holds on a day: one row a key at most, in reading order.
func (b PriceBook) On(day Day) PriceBook {
	return PriceBook{
		Labour:    b.LabourOn(day),
		Materials: heldOn(b.Materials, day, func(m Material) (string, Held) { return m.Key, m.Held }),
		Vendors:   heldOn(b.Vendors, day, func(v Vendor) (string, Held) { return v.Key, v.Held }),
	}
}

// LabourOn is the labour rates as they hold on a day. A skill whose first rate
// is still to come has that one: hours are never priced at nothing.
func (b PriceBook) LabourOn(day Day) []LabourRate {
	out := heldOn(b.Labour, day, func(r LabourRate) (string, Held) { return r.Skill, r.Held })
	for _, r := range b.Labour { // by day within a skill
		if !slices.ContainsFunc(out, func(o LabourRate) bool { return o.Skill == r.Skill }) {
			out = append(out, r)
		}
	}
	return out
}

// heldOn keeps of each key the row that began last, if it has not ended, at the
// place of its key's first row. A row that ended does not give way to the one
// before it.
func heldOn[R any](rows []R, day Day, of func(R) (string, Held)) []R {
	newest := map[string]int{}
	for i, r := range rows {
		key, held := of(r)
		if held.ValidFrom > day {
			continue
		}
		at, seen := newest[key]
		if seen {
			if _, other := of(rows[at]); other.ValidFrom > held.ValidFrom {
				continue
			}
		}
		newest[key] = i
	}
	out := []R{}
	for _, r := range rows {
		key, _ := of(r)
		if at, ok := newest[key]; ok {
			if _, held := of(rows[at]); held.On(day) {
				out = append(out, rows[at])
			}
			delete(newest, key)
		}
	}
	return out
}

// Rate returns the labour rate of a skill: of a book as of a day the one that
// holds, of a dated book any, which tells whether the skill is known.
func (b PriceBook) Rate(skill string) (LabourRate, bool) {
	return first(b.Labour, func(r LabourRate) bool { return r.Skill == skill })
}

// Material returns a material by its key, as Rate does.
func (b PriceBook) Material(key string) (Material, bool) {
	return first(b.Materials, func(m Material) bool { return m.Key == key })
}

// Vendor returns a vendor by its key, as Rate does.
func (b PriceBook) Vendor(key string) (Vendor, bool) {
	return first(b.Vendors, func(v Vendor) bool { return v.Key == key })
}

func first[R any](rows []R, is func(R) bool) (R, bool) {
	if i := slices.IndexFunc(rows, is); i >= 0 {
		return rows[i], true
	}
	var none R
	return none, false
}

// PriceKind says what a row of the price book prices.
type PriceKind string

// The kinds of row.
const (
	PricedLabour   PriceKind = "labour"
	PricedMaterial PriceKind = "material"
	PricedVendor   PriceKind = "vendor"
)

// PriceRef names one dated row.
type PriceRef struct {
	Kind PriceKind `json:"kind"`
	Key  string    `json:"key"`
	From Day       `json:"valid_from"`
}

// PriceRow is any row of the price book: exactly one of its parts is set.
type PriceRow struct {
	Labour   *LabourRate `json:"labour,omitempty"`
	Material *Material   `json:"material,omitempty"`
	Vendor   *Vendor     `json:"vendor,omitempty"`
}

// Ref names the row.
func (r PriceRow) Ref() PriceRef {
	switch {
	case r.Labour != nil:
		return PriceRef{PricedLabour, r.Labour.Skill, r.Labour.ValidFrom}
	case r.Material != nil:
		return PriceRef{PricedMaterial, r.Material.Key, r.Material.ValidFrom}
	}
	return PriceRef{PricedVendor, r.Vendor.Key, r.Vendor.ValidFrom}
}

// Name is how the row is called.
func (r PriceRow) Name() string {
	switch {
	case r.Labour != nil:
		return r.Labour.Name
	case r.Material != nil:
		return r.Material.Name
	}
	return r.Vendor.Name
}

// Held is when the row holds.
func (r PriceRow) Held() Held {
	switch {
	case r.Labour != nil:
		return r.Labour.Held
	case r.Material != nil:
		return r.Material.Held
	}
	return r.Vendor.Held
}

// From is the row with another first day.
func (r PriceRow) From(day Day) PriceRow { return r.held(Held{day, r.Held().ValidTo}) }

// Until is the row with another last day.
func (r PriceRow) Until(day Day) PriceRow { return r.held(Held{r.Held().ValidFrom, day}) }

func (r PriceRow) held(h Held) PriceRow {
	switch {
	case r.Labour != nil:
		row := *r.Labour
		row.Held = h
		return PriceRow{Labour: &row}
	case r.Material != nil:
		row := *r.Material
		row.Held = h
		return PriceRow{Material: &row}
	}
	row := *r.Vendor
	row.Held = h
	return PriceRow{Vendor: &row}
}

// Equal reports whether two rows say the same.
func (r PriceRow) Equal(o PriceRow) bool {
	if r.Ref() != o.Ref() || r.Name() != o.Name() || r.Held() != o.Held() {
		return false
	}
	switch {
	case r.Labour != nil:
		return r.Labour.CostRate.Equal(o.Labour.CostRate) && r.Labour.SellRate.Equal(o.Labour.SellRate)
	case r.Material != nil:
		return r.Material.equal(*o.Material)
	}
	return r.Vendor.LeadDays == o.Vendor.LeadDays && r.Vendor.MarkupPercent.Equal(o.Vendor.MarkupPercent) && r.Vendor.Note == o.Vendor.Note
}

func (m Material) equal(o Material) bool {
	return m.Unit == o.Unit && m.UnitCost.Equal(o.UnitCost) && m.MarkupPercent.Equal(o.MarkupPercent) && m.WastePercent.Equal(o.WastePercent) &&
		m.TaxClass == o.TaxClass && m.WholePacks == o.WholePacks &&
		slices.EqualFunc(m.Packs, o.Packs, func(a, b Pack) bool { return a.Size.Equal(b.Size) && a.Cost.Equal(b.Cost) })
}

// Rows lists every row: labour, materials, vendors, each as the book has them.
func (b PriceBook) Rows() []PriceRow {
	out := make([]PriceRow, 0, len(b.Labour)+len(b.Materials)+len(b.Vendors))
	for i := range b.Labour {
		out = append(out, PriceRow{Labour: &b.Labour[i]})
	}
	for i := range b.Materials {
		out = append(out, PriceRow{Material: &b.Materials[i]})
	}
	for i := range b.Vendors {
		out = append(out, PriceRow{Vendor: &b.Vendors[i]})
	}
	return out
}

// BookOf sorts rows into a book: each kind in the order in which its keys first
// stand, the rows of a key by the day they hold from.
func BookOf(rows []PriceRow) PriceBook {
	book := PriceBook{Labour: []LabourRate{}, Materials: []Material{}, Vendors: []Vendor{}}
	for _, r := range rows {
		switch {
		case r.Labour != nil:
			book.Labour = append(book.Labour, *r.Labour)
		case r.Material != nil:
			book.Materials = append(book.Materials, *r.Material)
		case r.Vendor != nil:
			book.Vendors = append(book.Vendors, *r.Vendor)
		}
	}
	byKey(book.Labour, func(r LabourRate) (string, Day) { return r.Skill, r.ValidFrom })
	byKey(book.Materials, func(m Material) (string, Day) { return m.Key, m.ValidFrom })
	byKey(book.Vendors, func(v Vendor) (string, Day) { return v.Key, v.ValidFrom })
	return book
}

func byKey[R any](rows []R, of func(R) (string, Day)) {
	place := map[string]int{}
	for _, r := range rows {
		key, _ := of(r)
		if _, seen := place[key]; !seen {
			place[key] = len(place)
		}
	}
	slices.SortStableFunc(rows, func(a, b R) int {
		ka, fa := of(a)
		kb, fb := of(b)
		return cmp.Or(cmp.Compare(place[ka], place[kb]), cmp.Compare(fa, fb))
	})
}

// With is the book after rows were set and others taken out. A row with the
// Ref of one that stands takes its place.
func (b PriceBook) With(set []PriceRow, removed []PriceRef) PriceBook {
	gone := map[PriceRef]bool{}
	for _, ref := range removed {
		gone[ref] = true
	}
	newer := make(map[PriceRef]PriceRow, len(set))
	for _, r := range set {
		newer[r.Ref()] = r
	}
	var rows []PriceRow
	for _, r := range b.Rows() {
		ref := r.Ref()
		if n, ok := newer[ref]; ok {
			rows = append(rows, n)
			delete(newer, ref)
		} else if !gone[ref] {
			rows = append(rows, r)
		}
	}
	for _, r := range set {
		if _, left := newer[r.Ref()]; left {
			rows = append(rows, r)
			delete(newer, r.Ref())
		}
	}
	return BookOf(rows)
}
