package points

// Sheet is a shop's own list of what a judge looks at. It imitates no show's
// sheet; items, maxima and figures are the shop's to set.
type Sheet struct {
	Key  string `json:"key"`
	Name string `json:"name"`
	Note string `json:"note"`
	// Looks says what share of an item's maximum for condition steel costs that
	// looks like this. Every condition needs a row from 0 percent.
	Looks []Look `json:"looks"`
	Items []Item `json:"items"`
}

// Look is a row of the table by condition and visible share. For a zone the row
// of its condition with the highest FromVisible that is not above the zone's
// visible percent counts.
type Look struct {
	Condition   Condition `json:"condition"`
	FromVisible int       `json:"from_visible_percent"` // 0 to 100
	// Share of the maximum that would be lost if the whole item looked so, 0 to
	// 10. Above 1 a part of the item that looks so is enough to lose it all.
	Share string `json:"share"`
}

// Item is one thing that is judged.
type Item struct {
	Key            string `json:"key"`
	Name           string `json:"name"`
	MaxOriginality string `json:"max_originality"` // points, up to 2 places
	MaxCondition   string `json:"max_condition"`
	// Kinds and Zones are what the item looks at: every zone of these kinds and
	// the zones with these codes.
	Kinds      []string    `json:"kinds,omitempty"`
	Zones      []string    `json:"zones,omitempty"`
	Departures []Departure `json:"departures,omitempty"`
	Note       string      `json:"note,omitempty"`
}

// Departure is something that is not as it left the maker, or a fault of its
// own, with what each piece of it costs: a patch that shows, a missing opening.
type Departure struct {
	What        string `json:"what"` // a word, such as missing_opening
	Originality string `json:"originality"`
	Condition   string `json:"condition,omitempty"`
	Note        string `json:"note,omitempty"`
	// AsFound is how many a car is expected to have as found, until one was seen.
	AsFound int `json:"as_found,omitempty"`
}

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
