package jobfile

// Estimate is the work with its prices.
type Estimate struct {
	Phases  []Phase  `json:"phases" most:"100"`
	Options []Option `json:"options" most:"40"`
	Tasks   []Task   `json:"tasks" most:"1000"`
	Links   []Link   `json:"links" most:"5000"`
	Lines   []Line   `json:"lines" most:"2000"`
}

// Phase groups tasks; Stage is the key that it has in its template.
type Phase struct {
	Key   string `json:"key" is:"ref"`
	Stage string `json:"stage,omitempty" is:"key"`
	Name  string `json:"name" is:"label"`
}

// Option is one way to do a piece of work, or an extra.
type Option struct {
	Key    string   `json:"key" is:"ref"`
	Group  string   `json:"group" is:"group"`
	Name   string   `json:"name" is:"label"`
	Note   string   `json:"note" is:"text"`
	Taken  bool     `json:"taken"`
	Points []Effect `json:"points" most:"50"`
}

// Effect is what an option does to one item of a judging sheet.
type Effect struct {
	ItemKey     string `json:"item_key" is:"item"`
	Originality string `json:"originality" is:"points"`
	Condition   string `json:"condition" is:"points"`
}

// Task is a piece of work. Phase, Option and Allowance are keys in the file.
type Task struct {
	Code         string   `json:"code" is:"code"`
	Phase        string   `json:"phase" is:"ref"`
	Name         string   `json:"name" is:"label"`
	Note         string   `json:"note" is:"text"`
	Kind         string   `json:"kind" is:"word"`
	Hours        Hours    `json:"hours"`
	ElapsedHours string   `json:"elapsed_hours" is:"hours"`
	LeadDays     int      `json:"lead_days" is:"0..400"`
	Skill        string   `json:"skill" is:"optkey"`
	Crew         int      `json:"crew" is:"0..20"`
	Station      string   `json:"station" is:"optkey"`
	Zone         string   `json:"zone" is:"optlabel"`
	Cautions     []string `json:"cautions" is:"key" most:"20"`
	HoldPoint    string   `json:"hold_point" is:"text"`
	StripGate    bool     `json:"strip_gate"`
	Allowance    string   `json:"allowance,omitempty" is:"ref"`
	TaxClass     string   `json:"tax_class" is:"word"`
	NotBefore    string   `json:"not_before,omitempty" is:"day"`
	FinishBy     string   `json:"finish_by,omitempty" is:"day"`
	Option       string   `json:"option,omitempty" is:"ref"`

	// From version 2 on.
	LongestBreak  string   `json:"longest_break_hours,omitempty" is:"hours"`
	Interruptible bool     `json:"interruptible,omitempty"`
	Helpers       []Helper `json:"helpers,omitempty" most:"8"`
}

// Helper is so many further people of one skill, at the same time.
type Helper struct {
	Skill string `json:"skill" is:"key"`
	Count int    `json:"count" is:"1..20"`
}

// Hours are crew-hours: lowest, most likely, highest.
type Hours struct {
	Low    string `json:"low" is:"hours"`
	Likely string `json:"likely" is:"hours"`
	High   string `json:"high" is:"hours"`
}

// Link is a precedence between two tasks, by their codes.
type Link struct {
	From        string `json:"from" is:"code"`
	To          string `json:"to" is:"code"`
	Type        string `json:"type" is:"word"`
	LagHours    string `json:"lag_hours" is:"lag"`
	LagKind     string `json:"lag_kind" is:"word"`
	MaxLagHours string `json:"max_lag_hours,omitempty" is:"lag"` // left out: no limit
}

// Line is a priced line that is not labour. PriceItem is the row of the price book
// that it was made from, kept where the receiving shop has it.
type Line struct {
	Key             string `json:"key" is:"ref"`
	Phase           string `json:"phase" is:"ref"`
	Task            string `json:"task,omitempty" is:"code"`
	Kind            string `json:"kind" is:"word"`
	Description     string `json:"description" is:"label"`
	Quantity        string `json:"quantity" is:"quantity"`
	Unit            string `json:"unit" is:"word"`
	UnitCost        string `json:"unit_cost" is:"unit_cost"`
	MarkupPercent   string `json:"markup_percent" is:"percent"`
	WastePercent    string `json:"waste_percent" is:"percent"`
	DiscountPercent string `json:"discount_percent" is:"percent"`
	TaxClass        string `json:"tax_class" is:"word"`
	Option          string `json:"option,omitempty" is:"ref"`
	PriceItem       string `json:"price_item,omitempty" is:"key"`
}
