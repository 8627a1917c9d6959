package method

import (
	"encoding/json"

	"github.com/shopspring/decimal"
)

// Input is a list, the names that it may use, and the zones of a frame.
type Input struct {
	List  List   `json:"list"`
	Known Known  `json:"known"`
	Zones []Zone `json:"zones"`
}

// Known are the names that rules may use.
type Known struct {
	Quantities []Measure `json:"quantities"`
	// Tasks and Materials may be left out; then any name goes.
	Tasks     []Named    `json:"tasks,omitempty"`
	Materials []Supplied `json:"materials,omitempty"`
}

// Measure is a quantity that zones may have.
type Measure struct {
	Name  string `json:"name"`
	Words string `json:"words"` // as it is said: outer surface
	Unit  string `json:"unit"`
}

// Named is a task with its code.
type Named struct {
	Key  string `json:"key"`
	Name string `json:"name"`
}

// Supplied is a row of the price book.
type Supplied struct {
	Key  string `json:"key"`
	Name string `json:"name"`
	Unit string `json:"unit"`
}

// Result holds the hours of each task and the materials of each task, both
// sorted by key: the order of the rules changes nothing.
type Result struct {
	Tasks     []TaskHours    `json:"tasks"`
	Materials []TaskMaterial `json:"materials"`
	// Input is what this was computed from.
	Input Input `json:"-"`
}

// TaskHours are the crew-hours of one task.
type TaskHours struct {
	Task  string     `json:"task"`
	Name  string     `json:"name,omitempty"`
	Hours ThreePoint `json:"hours"`
	Rules []Made     `json:"rules"`
	Words string     `json:"words"` // how the rules add up
}

// TaskMaterial is how much of a material one task takes.
type TaskMaterial struct {
	Task     string          `json:"task"`
	Material string          `json:"material"`
	Name     string          `json:"name,omitempty"`
	Quantity decimal.Decimal `json:"quantity"` // 0.001; pc, set and lot rounded up
	Unit     string          `json:"unit"`
	Rules    []Made          `json:"rules"`
	Words    string          `json:"words"`
}

// ThreePoint are crew-hours, each rounded once to 0.01 h.
type ThreePoint struct{ Low, Likely, High decimal.Decimal }

// MarshalJSON writes the hours with two places.
func (h ThreePoint) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Low    string `json:"low"`
		Likely string `json:"likely"`
		High   string `json:"high"`
	}{h.Low.StringFixed(hourPlaces), h.Likely.StringFixed(hourPlaces), h.High.StringFixed(hourPlaces)})
}

// Made is what one rule made. Amounts are shown to six places and kept exact
// inside; only what a task or a material comes to is rounded.
type Made struct {
	Rule     string          `json:"rule"`
	Name     string          `json:"name"`
	Sentence string          `json:"sentence"` // the rule in words
	Note     string          `json:"note,omitempty"`
	Source   string          `json:"source"`
	Unit     string          `json:"unit"`
	Fixed    decimal.Decimal `json:"fixed"`  // once
	Amount   decimal.Decimal `json:"amount"` // with Fixed; of hours the likely ones
	Zones    []Share         `json:"zones"`  // in the order of the input; zones with nothing are left out
	first    string          // the ID of the first zone that counts; empty: none does
	exact    ratio
}

// Share is what a rule made for one zone. How it came about is worked out when asked
// for: of a whole frame there are thousands, and few are looked at.
type Share struct {
	Zone       string // its ID
	Name       string
	exact      ratio
	from       *reckoning
	rule, zone int
}

// Amount is shown to six places.
func (s Share) Amount() decimal.Decimal { return s.exact.round(shownPlaces) }

// Words is the formula with its figures.
func (s Share) Words() string { return s.from.said(s) }

// Inputs are the zone's quantities that went in, with their own words.
func (s Share) Inputs() []Quantity { return s.from.inputs(s) }

type shownShare struct {
	Zone   string          `json:"zone"`
	Name   string          `json:"name"`
	Amount decimal.Decimal `json:"amount"`
	Words  string          `json:"words"`
	Inputs []Quantity      `json:"inputs"`
}

func (s Share) shown() shownShare {
	return shownShare{s.Zone, s.Name, s.Amount(), s.Words(), s.Inputs()}
}

// MarshalJSON writes the share with its words and inputs.
func (s Share) MarshalJSON() ([]byte, error) { return json.Marshal(s.shown()) }
