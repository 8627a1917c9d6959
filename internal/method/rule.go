package method

// List is a shop's way of working: the methods that it knows for each stage,
// and the rules that make hours and material from a zone's quantities.
type List struct {
	Note    string   `json:"note"`
	Methods []Method `json:"methods"`
	Rules   []Rule   `json:"rules"`
}

// Method is one way of doing a stage, such as blasting for strip. Its key is
// the shop's own word.
type Method struct {
	Stage  Stage  `json:"stage"`
	Key    string `json:"key"`
	Name   string `json:"name"`
	Note   string `json:"note,omitempty"`
	Source string `json:"source,omitempty"`
}

// Rule makes hours or a material for one task. The amount of a zone is Each
// and the sum of Parts; Fixed comes on top once when any zone counts.
type Rule struct {
	Key   string `json:"key"`
	Name  string `json:"name"`
	Stage Stage  `json:"stage"` // its methods are meant where a method is asked for
	Makes Makes  `json:"makes"`
	Task  string `json:"task"` // code of the task that gets it
	// Material is a key of the price book; only where a material is made.
	Material string  `json:"material,omitempty"`
	Unit     string  `json:"unit"`            // h for hours, else a sign of package measure
	For      For     `json:"for"`             // which zones it is for
	Fixed    string  `json:"fixed,omitempty"` // in Unit; empty is 0
	Each     string  `json:"each,omitempty"`  // in Unit, for every zone; empty is 0
	Parts    []Part  `json:"parts,omitempty"`
	Spread   *Spread `json:"spread,omitempty"` // only for hours; without it all three points are one
	Note     string  `json:"note,omitempty"`
	Source   string  `json:"source"`
}

// For says which zones a rule is for. An empty list is any; a zone must be in
// each list that is not.
type For struct {
	Kinds      []Kind      `json:"kinds,omitempty"`
	Sides      []Side      `json:"sides,omitempty"`
	Zones      []string    `json:"zones,omitempty"` // codes of zones
	Conditions []Condition `json:"conditions,omitempty"`
	Finishes   []Finish    `json:"finishes,omitempty"`
	Methods    []string    `json:"methods,omitempty"` // keys, of the rule's stage
}

// Part is a product of factors; it must come out in the unit of its rule.
type Part struct {
	Factors []Factor `json:"factors"`
}

// Factor is exactly one of: a quantity of the zone (Of), what another rule made
// for the same zone without its Fixed (OfRule), a figure to multiply by
// (Times) or to divide by (Per), both with a Unit, or a pure number from a
// table (By).
type Factor struct {
	Of     string `json:"of,omitempty"`
	OfRule string `json:"of_rule,omitempty"`
	Times  string `json:"times,omitempty"`
	Per    string `json:"per,omitempty"`
	Unit   string `json:"unit,omitempty"` // such as kg/m2; empty is a pure number
	By     By     `json:"by,omitempty"`
	// Table holds a factor for each value of By; what is not in it has Other.
	Table map[string]string `json:"table,omitempty"`
	Other string            `json:"other,omitempty"` // empty is 1
}

// Spread are the low and the high hours as multiples of the likely ones:
// Low is at most 1 and High at least 1.
type Spread struct {
	Low  string `json:"low"`
	High string `json:"high"`
}

// Makes says what a rule makes.
type Makes string

// What rules make.
const (
	Hours    Makes = "hours"
	Material Makes = "material"
)

// By is what a table looks at.
type By string

// What tables look at.
const (
	ByCondition By = "condition"
	ByFinish    By = "finish"
	ByKind      By = "kind"
	ByMethod    By = "method" // of the rule's stage
)

// Bys lists what tables look at.
func Bys() []By { return []By{ByCondition, ByFinish, ByKind, ByMethod} }
