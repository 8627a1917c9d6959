package method

import "slices"

// Zone is a zone of a frame with what was measured or worked out of it.
type Zone struct {
	ID        string    `json:"id"`
	Code      string    `json:"code,omitempty"` // as For.Zones names it
	Name      string    `json:"name"`
	Kind      Kind      `json:"kind"`
	Side      Side      `json:"side"`
	Condition Condition `json:"condition"`
	Finish    Finish    `json:"finish"`
	// Methods holds the key of the method of each stage; a stage without one
	// is outside every rule that asks for a method.
	Methods    map[Stage]string `json:"methods,omitempty"`
	Quantities []Quantity       `json:"quantities"`
}

// Quantity is one of a zone's quantities. A zone has none of what it does not
// list.
type Quantity struct {
	Name   string `json:"name"`
	Value  string `json:"value"` // plain decimal, not negative
	Unit   string `json:"unit"`  // a sign of package measure
	Words  string `json:"words,omitempty"`
	Source string `json:"source,omitempty"`
}

// Kind is what a zone is.
type Kind string

// The kinds.
const (
	Rail        Kind = "rail"
	KickUp      Kind = "kick_up"
	Crossmember Kind = "crossmember"
	Mount       Kind = "mount"
	Bracket     Kind = "bracket"
	Opening     Kind = "opening"
)

// Kinds lists the kinds.
func Kinds() []Kind { return []Kind{Rail, KickUp, Crossmember, Mount, Bracket, Opening} }

// Side is where a zone lies, as seen from the driver's seat.
type Side string

// The sides.
const (
	Left   Side = "left"
	Centre Side = "centre"
	Right  Side = "right"
)

// Sides lists the sides.
func Sides() []Side { return []Side{Left, Centre, Right} }

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

// Finish is the level that a zone is brought to.
type Finish string

// The finish levels.
const (
	Driver   Finish = "driver"   // sound and sealed, to be used
	Show     Finish = "show"     // even and clean where it is seen
	Concours Finish = "concours" // as the maker left it, everywhere
	AsFound  Finish = "as_found" // kept as it is, made safe
)

// Finishes lists the finish levels.
func Finishes() []Finish { return []Finish{Driver, Show, Concours, AsFound} }

// Stage is a stretch of the work that has a method of its own.
type Stage string

// The stages.
const (
	Strip   Stage = "strip"
	Repair  Stage = "repair"
	Coat    Stage = "coat"
	Remount Stage = "remount"
)

// Stages lists the stages in the order of the work.
func Stages() []Stage { return []Stage{Strip, Repair, Coat, Remount} }

// covers reports whether a rule of a stage is for the zone.
func (f For) covers(z *Zone, s Stage) bool {
	return among(f.Kinds, z.Kind) && among(f.Sides, z.Side) && among(f.Zones, z.Code) &&
		among(f.Conditions, z.Condition) && among(f.Finishes, z.Finish) && among(f.Methods, z.Methods[s])
}

func among[T comparable](list []T, x T) bool { return len(list) == 0 || slices.Contains(list, x) }
