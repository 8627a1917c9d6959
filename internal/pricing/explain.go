package pricing

import (
	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Explanation opens a figure: what went in, the formula in words, each step with
// its value, and the source of the rule. Values are exact text.
type Explanation struct {
	Figure  string  `json:"figure"` // the line's id, or the name of a total
	Title   string  `json:"title"`
	Formula string  `json:"formula"`
	Inputs  []Given `json:"inputs"`
	Steps   []Step  `json:"steps"` // the last step's value is the figure
	Source  string  `json:"source"`
}

// Given is one input of a figure.
type Given struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	Unit  string `json:"unit,omitempty"` // a unit, a currency code or "%"
}

// Step is one step of a calculation with what it gave.
type Step struct {
	Words string `json:"words"`
	Value string `json:"value"`
}

const (
	lineSource = "EN 16931-1, BT-129 to BT-131 and BT-146 to BT-149; rounded once, half away from zero, to the minor unit"
	taxSource  = "Streamlined Sales and Use Tax Agreement, section 324: rounded half up for each item or for each document, as the shop chose"
)

// Explain opens the net of a line, taken or not, with cost and markup: for the
// owner. An unknown id is a fault.NotFound "unknown-line". O(lines).
func (r Result) Explain(lineID string) (Explanation, error) {
	line, err := r.line(lineID)
	if err != nil {
		return Explanation{}, err
	}
	e := Explanation{Figure: line.ID, Title: line.Description, Source: lineSource,
		Formula: "billed quantity times unit price, per price base quantity, less discount"}
	if line.Kind == Credit {
		e.Formula += ", counted against the total"
	}
	code := r.Currency.Code()
	e.given("quantity", line.Quantity, line.Unit)
	e.given("waste", line.WastePercent, "%")
	e.given("unit cost", line.UnitCost, code)
	e.given("markup", line.MarkupPercent, "%")
	if line.MarkupPercent != "" {
		e.step("unit price: unit cost plus markup", line.UnitPrice)
	} else {
		e.given("unit price", line.UnitPrice, code)
	}
	if line.WastePercent != "" {
		e.step("billed quantity: quantity plus waste", line.BilledQuantity)
	}
	e.priced(clientLine(line, nil), code)
	return e, nil
}

// line finds a line, taken or not.
func (r *Result) line(id string) (*LineResult, error) {
	for _, list := range [][]LineResult{r.Lines, r.NotTaken} {
		for i := range list {
			if list[i].ID == id {
				return &list[i], nil
			}
		}
	}
	return nil, unknownLine()
}

func unknownLine() error {
	return fault.New(fault.NotFound, "unknown-line", "there is no line with this id in the price")
}

// Explain opens the net of a line as the client sees it, without cost, waste or
// markup. An unknown id, or a reserve carried inside other lines, is a
// fault.NotFound "unknown-line". O(lines).
func (v ClientResult) Explain(lineID string) (Explanation, error) {
	for _, list := range [][]ClientLine{v.Lines, v.NotTaken} {
		for _, line := range list {
			if line.ID != lineID {
				continue
			}
			e := Explanation{Figure: line.ID, Title: line.Description, Source: lineSource,
				Formula: "quantity times unit price, per price base quantity, less discount"}
			if line.UnitPrice == "" {
				e.Formula = "a price for the whole line, with its share of what is held against hidden damage"
			}
			e.given("quantity", line.Quantity, line.Unit)
			e.given("unit price", line.UnitPrice, v.Currency.Code())
			e.priced(line, v.Currency.Code())
			return e, nil
		}
	}
	return Explanation{}, unknownLine()
}

// priced adds what owner and client both see, ending with the net.
func (e *Explanation) priced(line ClientLine, currency string) {
	if line.BaseQuantity != "1" {
		e.given("price is for", line.BaseQuantity, line.Unit)
	}
	e.given("discount", line.DiscountPercent, "%")
	if line.DiscountPercent == "" && !line.Discount.IsZero() {
		e.given("discount", line.Discount.String(), currency)
	}
	e.given("tax rate", line.TaxPercent, "%")
	if line.UnitPrice != "" {
		e.step("gross: quantity times unit price, rounded", line.Gross.String())
	} else {
		e.step("gross: quantity times unit price, and the share, each rounded", line.Gross.String())
	}
	if !line.Discount.IsZero() {
		e.step("discount: gross less net", line.Discount.String())
	}
	if line.Tax != nil {
		e.step("tax on the net at this rate, rounded for the line", line.Tax.String())
	}
	e.step("net of the line", line.Net.String())
}

func (e *Explanation) given(name, value, unit string) {
	if value != "" {
		e.Inputs = append(e.Inputs, Given{name, value, unit})
	}
}

func (e *Explanation) add(name string, a money.Amount) {
	e.given(name, a.String(), a.Currency().Code())
}

func (e *Explanation) step(words, value string) {
	e.Steps = append(e.Steps, Step{words, value})
}
