package points

// Input is a car as found, what could be done, and how much may be spent.
// Decimals are plain text.
type Input struct {
	Currency string   `json:"currency"` // ISO 4217
	Sheet    Sheet    `json:"sheet"`
	Zones    []Zone   `json:"zones,omitempty"`
	Seen     []Seen   `json:"seen,omitempty"`
	Options  []Option `json:"options,omitempty"`
	Groups   []Group  `json:"groups,omitempty"`
	// Sets are sets of options whose result is asked for beside the best; whether
	// they keep groups, requirements or the budget is not looked at.
	Sets [][]string `json:"sets,omitempty"`
	// Budget bounds the cost of the best set; empty is no bound.
	Budget string `json:"budget,omitempty"`
	// Frontier asks for every set that is best for some budget up to Budget.
	Frontier bool `json:"frontier,omitempty"`
	// MaxNodes bounds the search, frontier included; 0 is DefaultNodes.
	MaxNodes int `json:"max_nodes,omitempty"`
}

// Zone is an area of the frame as it was surveyed.
type Zone struct {
	Code           string    `json:"code"`
	Kind           string    `json:"kind"`
	Condition      Condition `json:"condition"`
	VisiblePercent int       `json:"visible_percent"`
	AreaM2         string    `json:"area_m2,omitempty"` // empty is 0, as for an opening
}

// Seen is a departure on this car. It counts for Item when that is given; else
// for every item that lists What and looks at Zone; else for every item that
// lists What.
type Seen struct {
	ID    string `json:"id"`
	What  string `json:"what"`
	Item  string `json:"item,omitempty"`
	Zone  string `json:"zone,omitempty"`
	Count int    `json:"count,omitempty"` // 0 is one
	// Originality and Condition, given with Item, stand for the sheet's figures
	// for all of the pieces together.
	Originality string `json:"originality,omitempty"`
	Condition   string `json:"condition,omitempty"`
}

// Option is a task or a way of doing one.
type Option struct {
	ID      string   `json:"id"`
	Name    string   `json:"name"`
	Cost    string   `json:"cost"`            // not negative
	Hours   string   `json:"hours,omitempty"` // not negative, up to 2 places
	Days    int      `json:"days,omitempty"`  // shown only: days do not add up
	Effects []Effect `json:"effects,omitempty"`
	// Requires are options without which this one cannot be done; Excludes those
	// that cannot be done beside it, in either direction.
	Requires []string `json:"requires,omitempty"`
	Excludes []string `json:"excludes,omitempty"`
}

// Effect is the deduction that an option avoids on an item; negative is one that
// it causes. Up to 2 places, and no more than the item's maximum either way.
type Effect struct {
	Item        string `json:"item"`
	Originality string `json:"originality,omitempty"`
	Condition   string `json:"condition,omitempty"`
}

// Group is a set of options of which exactly one or at most one is done.
type Group struct {
	ID      string   `json:"id"`
	Name    string   `json:"name,omitempty"`
	Choose  Choose   `json:"choose"`
	Options []string `json:"options"`
}

// Choose says how many options of a group are done.
type Choose string

// The rules of a group.
const (
	ExactlyOne Choose = "exactly_one"
	AtMostOne  Choose = "at_most_one"
)
