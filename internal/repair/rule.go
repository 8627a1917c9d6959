package repair

// List is a shop's repairs, in the order in which they are offered, with the
// texts of the cautions that they name.
type List struct {
	Note     string            `json:"note"`
	Cautions map[string]string `json:"cautions"`
	Repairs  []Rule            `json:"repairs"`
}

// Rule is one way of putting something right.
type Rule struct {
	Code string `json:"code"`
	Name string `json:"name"`
	Work Work   `json:"work"`
	Note string `json:"note,omitempty"` // for whoever does it
	Unit Unit   `json:"unit"`           // in which its size is told
	// Conditions are those of the steel that the repair answers.
	Conditions []Condition `json:"conditions"`
	// For lists what it answers, such as broken_bolt; empty is anything.
	For       []string             `json:"for,omitempty"`
	Skill     string               `json:"skill"`
	Crew      int                  `json:"crew"`
	Station   string               `json:"station,omitempty"`
	TaxClass  string               `json:"tax_class"`         // of the labour
	Hours     Hours                `json:"hours"`             // crew-hours
	Factors   map[Condition]string `json:"factors,omitempty"` // on hours; a condition without one has 1
	Materials []Material           `json:"materials"`
	Cautions  []string             `json:"cautions"` // keys of List.Cautions
}

// Hours are three points, each a straight line in the size.
type Hours struct {
	Low    Line `json:"low"`
	Likely Line `json:"likely"`
	High   Line `json:"high"`
}

// Line is a fixed part and a part for each unit of size, as decimal text.
type Line struct {
	Fixed   string `json:"fixed"`
	PerUnit string `json:"per_unit"`
}

// Material is what a repair uses up or leaves on the car.
type Material struct {
	Item string `json:"item"` // description
	Unit string `json:"unit"` // a sign known to package measure
	Line
	// PriceItem names a row of the price book; UnitPrice is a price instead.
	// Exactly one of them is given.
	PriceItem string `json:"price_item,omitempty"`
	UnitPrice string `json:"unit_price,omitempty"`
	TaxClass  string `json:"tax_class"`
}

// Work is the kind of a repair.
type Work string

// The kinds.
const (
	CleanAndCoat       Work = "clean_and_coat"
	Patch              Work = "patch"
	CutOutAndFabricate Work = "cut_out_and_fabricate"
	BoughtSection      Work = "bought_section"
	ExtractBolt        Work = "extract_bolt"
	CaptiveNut         Work = "captive_nut"
	RestoreOpening     Work = "restore_opening"
	RestoreBracket     Work = "restore_bracket"
)

// Works lists the kinds, from the least to the most that is done to the steel.
func Works() []Work {
	return []Work{CleanAndCoat, Patch, CutOutAndFabricate, BoughtSection, ExtractBolt, CaptiveNut, RestoreOpening, RestoreBracket}
}

// Unit is what the size of a repair is told in.
type Unit string

// The units of size.
const (
	SquareDecimetre Unit = "dm2"
	Metre           Unit = "m"
	Piece           Unit = "piece"
)

// Units lists the units of size.
func Units() []Unit { return []Unit{SquareDecimetre, Metre, Piece} }

// Condition is what steel looks like: a rust grade of ISO 8501-1 or what the
// trade calls it.
type Condition string

// The conditions.
const (
	GradeA     Condition = "a"
	GradeB     Condition = "b"
	GradeC     Condition = "c"
	GradeD     Condition = "d"
	Pitted     Condition = "pitted"
	Patched    Condition = "patched"
	Perforated Condition = "perforated"
	Hidden     Condition = "hidden" // not seen yet
)

// Conditions lists the conditions, from sound to worst, hidden last.
func Conditions() []Condition {
	return []Condition{GradeA, GradeB, GradeC, GradeD, Pitted, Patched, Perforated, Hidden}
}

// Finding is what was found, measured in whole millimetres after the steel was
// cut or ground back to sound.
type Finding struct {
	// What was found, in the words of Rule.For; empty: not said.
	What string `json:"what,omitempty"`
	// Condition may be left out when What is given, as for a broken bolt.
	Condition Condition `json:"condition,omitempty"`
	LengthMM  int       `json:"length_mm,omitempty"` // 0 is not measured
	WidthMM   int       `json:"width_mm,omitempty"`
	Count     int       `json:"count,omitempty"` // 0 is one
}
