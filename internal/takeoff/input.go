package takeoff

// Input is the shop's setup, the zones of a frame, and what is bought in packs.
type Input struct {
	System System `json:"system"`
	Zones  []Zone `json:"zones"`
	Packs  []Pack `json:"packs,omitempty"`
}

// Zone is a piece of frame as it was surveyed. Numbers are plain decimal text;
// empty is 0. Widths and heights are outside measures with square corners.
type Zone struct {
	ID    string `json:"id"`
	Shape Shape  `json:"shape"`
	// WidthMM is the width of a box or plate, the flange of a channel, the crown of
	// a hat and the diameter of a tube.
	WidthMM string `json:"width_mm,omitempty"`
	// HeightMM is the height of a box or hat and the web of a channel; a tube's is
	// its diameter again or nothing, a plate has none.
	HeightMM    string `json:"height_mm,omitempty"`
	ThicknessMM string `json:"thickness_mm,omitempty"`
	LengthMM    string `json:"length_mm,omitempty"`
	// BrimMM is one brim of a hat; empty takes the shop's.
	BrimMM string `json:"brim_mm,omitempty"`
	Count  int    `json:"count,omitempty"` // of equal pieces; 0 is one
	// AreaM2 is the surface of one piece of shape none.
	AreaM2    string    `json:"area_m2,omitempty"`
	Condition Condition `json:"condition,omitempty"` // empty: nobody graded it
	Hole      *Hole     `json:"hole,omitempty"`
}

// Hole is bad steel that was measured: it is cut out and patched. Without one, the
// share that the shop expects to replace in steel of the zone's condition counts.
type Hole struct {
	LengthMM string `json:"length_mm"`
	WidthMM  string `json:"width_mm"`
	Count    int    `json:"count,omitempty"` // of equal places in the whole zone; 0 is one
}

// Shape is the form of a cross section.
type Shape string

// The shapes. None has a given surface.
const (
	Box     Shape = "box"
	Channel Shape = "channel"
	Hat     Shape = "hat"
	Tube    Shape = "tube"
	Plate   Shape = "plate"
	None    Shape = "none"
)

// Shapes lists the shapes.
func Shapes() []Shape { return []Shape{Box, Channel, Hat, Tube, Plate, None} }

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

// Pack is something that is bought whole: cans, sheets, bags, spools.
type Pack struct {
	Key string `json:"key"`
	// Of is the quantity that it covers, such as coat_volume:primer.
	Of    string `json:"of"`
	Unit  string `json:"unit"` // of the sizes
	Sizes []Size `json:"sizes"`
}

// Size is one size that is sold and its price.
type Size struct {
	Size  string `json:"size"`
	Price string `json:"price"` // in any one currency
}
