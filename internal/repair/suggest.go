package repair

import (
	"encoding/json"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Input is a repair list and one finding.
type Input struct {
	List    List    `json:"list"`
	Finding Finding `json:"finding"`
}

// Result holds the repairs that answer the finding, in the order of the list,
// and those that would if it were measured.
type Result struct {
	Suggestions []Suggestion `json:"suggestions"`
	Unsized     []Unsized    `json:"unsized"`
}

// Suggestion is a repair with its size, hours and materials.
type Suggestion struct {
	Code      string          `json:"code"`
	Name      string          `json:"name"`
	Work      Work            `json:"work"`
	Note      string          `json:"note"`
	Size      decimal.Decimal `json:"size"`
	Unit      Unit            `json:"unit"`
	Hours     ThreePoint      `json:"hours"`
	Skill     string          `json:"skill"`
	Crew      int             `json:"crew"`
	Station   string          `json:"station"`
	TaxClass  string          `json:"tax_class"`
	Materials []Need          `json:"materials"`
	Cautions  []Caution       `json:"cautions"`
	Words     []string        `json:"words"` // how size and hours follow
}

// ThreePoint are crew-hours, each rounded to 0.01 h.
type ThreePoint struct{ Low, Likely, High decimal.Decimal }

// MarshalJSON writes the hours with two places.
func (h ThreePoint) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Low    string `json:"low"`
		Likely string `json:"likely"`
		High   string `json:"high"`
	}{h.Low.StringFixed(hourPlaces), h.Likely.StringFixed(hourPlaces), h.High.StringFixed(hourPlaces)})
}

// Need is how much of a material a repair takes.
type Need struct {
	Item      string          `json:"item"`
	Quantity  decimal.Decimal `json:"quantity"`
	Unit      string          `json:"unit"`
	PriceItem string          `json:"price_item,omitempty"`
	UnitPrice string          `json:"unit_price,omitempty"`
	TaxClass  string          `json:"tax_class"`
	Words     string          `json:"words"` // how the quantity follows
}

// Caution is a caution with its text.
type Caution struct {
	Key  string `json:"key"`
	Text string `json:"text"`
}

// Unsized is a repair that applies but whose size cannot be told yet.
type Unsized struct {
	Code string `json:"code"`
	Name string `json:"name"`
	Why  string `json:"why"`
}

// Suggest applies a list to a finding. A list or a finding that is not valid is
// a fault.Invalid "repair-list" with pointers into Input. O(size of the list).
func Suggest(in Input) (Result, error) {
	var f fault.Collector
	r := &reader{f: &f}
	in.List.check(r, "/list")
	in.Finding.check(r, "/finding")
	if err := f.Err(code); err != nil {
		return Result{}, err
	}
	out := Result{Suggestions: []Suggestion{}, Unsized: []Unsized{}}
	for _, rule := range in.List.Repairs {
		if !rule.answers(in.Finding) {
			continue
		}
		size, words, why := rule.size(in.Finding)
		if why != "" {
			out.Unsized = append(out.Unsized, Unsized{Code: rule.Code, Name: rule.Name, Why: why})
			continue
		}
		s := rule.apply(size, in.Finding.Condition)
		s.Words = append([]string{words}, s.Words...)
		for _, key := range rule.Cautions {
			s.Cautions = append(s.Cautions, Caution{Key: key, Text: in.List.Cautions[key]})
		}
		out.Suggestions = append(out.Suggestions, s)
	}
	return out, nil
}

// answers reports whether the rule is for what was found and for its condition.
func (rule Rule) answers(f Finding) bool {
	if f.What != "" && len(rule.For) > 0 && !slices.Contains(rule.For, f.What) {
		return false
	}
	return f.Condition == "" || slices.Contains(rule.Conditions, f.Condition)
}
