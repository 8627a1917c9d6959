package calendar

import "time"

// Minutes is a number of whole minutes, working or elapsed by context.
type Minutes int64

// Kind says which time a duration passes in.
type Kind string

// The two kinds of duration.
const (
	// Working time passes only while the shop is open.
	Working Kind = "working"
	// Elapsed time passes day and night.
	Elapsed Kind = "elapsed"
)

// Interval is a stretch of one day on the shop's wall clock, From included, To
// not: "08:00" to "12:00". To may be "24:00".
type Interval struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// Closure closes the shop on the days From to To, both included (YYYY-MM-DD).
type Closure struct {
	From   string `json:"from"`
	To     string `json:"to"`
	Reason string `json:"reason"`
}

// Opening opens the shop on one day (YYYY-MM-DD) during its own intervals,
// whatever the week, closures and holidays say about that day.
type Opening struct {
	Day       string     `json:"day"`
	Intervals []Interval `json:"intervals"`
	Reason    string     `json:"reason"`
}

// Spec states a calendar. New checks it.
type Spec struct {
	// TimeZone is an IANA name such as "Europe/Berlin" or "UTC".
	TimeZone string `json:"time_zone"`
	// Week has the keys "monday" to "sunday"; a day without a key is closed.
	Week map[string][]Interval `json:"week"`
	// Holidays is one of Regions, or empty for none.
	Holidays string    `json:"holidays,omitempty"`
	Closures []Closure `json:"closures,omitempty"`
	Openings []Opening `json:"openings,omitempty"`
}

// Span is a stretch of time, From included, To not.
type Span struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// Holiday is a public holiday, or the day on which one is observed.
type Holiday struct {
	Day  string `json:"day"` // YYYY-MM-DD
	Name string `json:"name"`
}

// ClosedDay is a day on which the week has shifts and the shop stays closed.
type ClosedDay struct {
	Day    string `json:"day"` // YYYY-MM-DD
	Reason string `json:"reason"`
}

// Bounds on what a Spec may hold, so that no request can be made expensive.
const (
	maxIntervals = 24
	maxDays      = 1000 // closures, and openings
	maxReason    = 500
)
