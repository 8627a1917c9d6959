package takeoff

import (
	"encoding/json"

	"github.com/shopspring/decimal"

	"bareframe/internal/measure"
)

// Result is what the zones come to.
type Result struct {
	Zones  []ZoneResult `json:"zones"`  // in the order of the input
	Totals []Quantity   `json:"totals"` // sums over the zones, as rounded there
	Rates  []Rate       `json:"rates"`  // what follows from the setup alone
	Packs  []Cover      `json:"packs"`  // in the order of the input
	// Cautions belong beside every figure of the work that they are about.
	Cautions []Caution `json:"cautions"`
}

// ZoneResult is what one zone comes to: only quantities that apply to it, in the
// order of Kinds.
type ZoneResult struct {
	ID         string     `json:"id"`
	Gauge      string     `json:"gauge,omitempty"` // "16 ga (1.52 mm)" when the thickness is near one
	Quantities []Quantity `json:"quantities"`
	// Missing says what could not be worked out for want of a measure.
	Missing []string `json:"missing,omitempty"`
}

// Quantity is a named amount, rounded once, half away from zero, to Places of its
// unit.
type Quantity struct {
	Name  string
	Value decimal.Decimal
	Unit  measure.Unit
	how   how
}

// Words is the formula with its figures, written out when asked for.
func (q Quantity) Words() string {
	return q.how.filled() + " = " + q.Value.String() + " " + string(q.Unit)
}

// Source says where the formula or its rate comes from.
func (q Quantity) Source() string { return q.how.source }

// MarshalJSON writes the value with the places of its unit.
func (q Quantity) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Name   string       `json:"name"`
		Value  string       `json:"value"`
		Unit   measure.Unit `json:"unit"`
		Words  string       `json:"words"`
		Source string       `json:"source,omitempty"`
	}{q.Name, q.Value.StringFixed(Places(q.Unit)), q.Unit, q.Words(), q.Source()})
}

// Of returns a quantity by name; ok is false when it does not apply to the zone.
func (z ZoneResult) Of(name string) (q Quantity, ok bool) { return named(z.Quantities, name) }

// Total returns a total by name; ok is false when no zone has the quantity.
func (r Result) Total(name string) (q Quantity, ok bool) { return named(r.Totals, name) }

func named(all []Quantity, name string) (Quantity, bool) {
	for i := range all {
		if all[i].Name == name {
			return all[i], true
		}
	}
	return Quantity{}, false
}

// Rate is a rate that follows from the setup, such as kilograms an hour.
type Rate struct {
	Name   string `json:"name"`
	Value  string `json:"value"`
	Unit   string `json:"unit"` // two signs joined by a stroke
	Words  string `json:"words"`
	Source string `json:"source,omitempty"`
}

// Cover is what to buy so that a total is covered at the least price; of equal
// prices the one with less left over, then with fewer packs.
type Cover struct {
	Key   string
	Of    string
	Need  decimal.Decimal // in Unit
	Unit  string
	Buy   []Bought // sizes of which none is bought are left out
	Price decimal.Decimal
	Left  decimal.Decimal // bought and not needed
	Words string

	places int32
}

// Bought is a number of packs of one size.
type Bought struct {
	Size  string `json:"size"`
	Count int    `json:"count"`
}

// Caution is a caution with its text.
type Caution struct {
	Key  string `json:"key"`
	Text string `json:"text"`
}
