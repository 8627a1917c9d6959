package points

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// Result is what the car would lose as found, what each option buys, and the
// best set within the budget.
type Result struct {
	Currency money.Currency `json:"currency"`
	Sheet    string         `json:"sheet"` // its key
	Items    []ItemFound    `json:"items"` // in the order of the sheet
	Maximum  Pair           `json:"maximum"`
	AsFound  Pair           `json:"as_found"` // deductions, all items
	// Unmatched are those seen for which no item of the sheet deducts.
	Unmatched []string       `json:"unmatched"`
	Options   []OptionResult `json:"options"`        // in the order of the input
	Sets      []SetResult    `json:"sets,omitempty"` // in the order of the input
	Best      Best           `json:"best"`
	Frontier  *Frontier      `json:"frontier,omitempty"` // when asked for
}

// Pair is points for originality and for condition.
type Pair struct {
	Originality Points `json:"originality"`
	Condition   Points `json:"condition"`
}

// Total returns both together.
func (p Pair) Total() Points { return p.Originality + p.Condition }

// ItemFound is the expected deduction on an item as found.
type ItemFound struct {
	Item      string `json:"item"`
	Name      string `json:"name"`
	Maximum   Pair   `json:"maximum"`
	Deduction Pair   `json:"deduction"`
	// Before is the sum of the reasons. Where it is above the maximum, work first
	// has to bring it down to the maximum before it buys a point.
	Before  Pair     `json:"before_maximum"`
	Reasons []Reason `json:"reasons"`
}

// Reason is a part of a deduction, to 4 places.
type Reason struct {
	Zone        string `json:"zone,omitempty"`
	Seen        string `json:"seen,omitempty"`
	Originality string `json:"originality"`
	Condition   string `json:"condition"`
	Words       string `json:"words"`

	originality, condition decimal.Decimal // exact
}

// OptionResult is what one option does.
type OptionResult struct {
	ID    string       `json:"id"`
	Name  string       `json:"name"`
	Cost  money.Amount `json:"cost"`
	Hours Hours        `json:"hours"`
	Days  int          `json:"days"`
	// Items are the deductions after this option alone, for items that it touches.
	Items        []ItemAfter   `json:"items"`
	Bought       Pair          `json:"bought"` // negative: lost
	CostPerPoint *money.Amount `json:"cost_per_point,omitempty"`
	// Together is the option with all that it requires, when it requires any.
	Together *Selection `json:"together,omitempty"`
}

// ItemAfter is the deduction on an item after some work.
type ItemAfter struct {
	Item      string `json:"item"`
	Deduction Pair   `json:"deduction"`
	Bought    Pair   `json:"bought"`
}

// SetResult is what a set of options does that was asked for.
type SetResult struct {
	Selection
	// Items are the deductions after it, for every item of the sheet.
	Items []ItemAfter `json:"items"`
}

// Selection is a set of options with what it costs and buys.
type Selection struct {
	Options []string     `json:"options"` // in the order of the input
	Cost    money.Amount `json:"cost"`
	Hours   Hours        `json:"hours"`
	Bought  Pair         `json:"bought"`
	// CostPerPoint is absent when no points are bought.
	CostPerPoint *money.Amount `json:"cost_per_point,omitempty"`
}

// Status says what a search has shown.
type Status string

// The states of a search.
const (
	// Optimal: no set buys more, none that buys as much is cheaper, and so on
	// down the order of ties.
	Optimal Status = "optimal"
	// Stopped: the limit of nodes or the context ended the search. The set stands,
	// and no set buys more than Bound.
	Stopped Status = "stopped"
	// Impossible: no set keeps the groups within the budget.
	Impossible Status = "impossible"
)

// Best is the set that buys the most points within the budget.
type Best struct {
	Status Status `json:"status"`
	// Selection is absent when there is none, or none was found before the stop.
	Selection *Selection `json:"selection,omitempty"`
	// Items are the deductions after it, for every item of the sheet.
	Items []ItemAfter `json:"items"`
	// Bound is a number of points that no set within the budget exceeds; with
	// Optimal it is what is bought.
	Bound Points   `json:"bound"`
	Nodes int      `json:"nodes"`
	Words []string `json:"words"`
}

// Frontier is every set that buys more than all cheaper ones, from the cheapest
// up. With Optimal it is complete; with Stopped its dear end is.
type Frontier struct {
	Status Status      `json:"status"`
	Sets   []Selection `json:"sets"`
	Nodes  int         `json:"nodes"`
}
