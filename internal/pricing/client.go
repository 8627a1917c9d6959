package pricing

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// ClientResult is what the client may see: the same lines and totals as the
// Result, in types that have no field for cost, markup, waste or margin.
type ClientResult struct {
	Currency      money.Currency     `json:"currency"`
	TaxBasis      TaxBasis           `json:"tax_basis"`
	Lines         []ClientLine       `json:"lines"`
	NotTaken      []ClientLine       `json:"not_taken"`
	Options       []OptionResult     `json:"options"`
	Phases        []ClientPhase      `json:"phases"`
	DocumentLines ClientPhase        `json:"document_lines"`
	Reserve       *ReserveResult     `json:"reserve,omitempty"` // the reserve lines that are shown
	Adjustments   []AdjustmentResult `json:"adjustments"`
	Taxes         []TaxResult        `json:"taxes"`
	Totals        Totals             `json:"totals"`
	Deposit       *DepositResult     `json:"deposit,omitempty"`
	Draws         []DrawResult       `json:"draws"`
}

// ClientLine is a line as the client sees it.
type ClientLine struct {
	ID           string `json:"id"`
	PhaseID      string `json:"phase_id,omitempty"`
	Kind         Kind   `json:"kind"`
	Description  string `json:"description"`
	Quantity     string `json:"quantity"` // billed
	Unit         string `json:"unit,omitempty"`
	BaseQuantity string `json:"price_base_quantity"`
	// UnitPrice is empty on a line that carries a share of a reserve, because
	// quantity times price would no longer be its net.
	UnitPrice       string        `json:"unit_price,omitempty"`
	DiscountPercent string        `json:"discount_percent,omitempty"`
	TaxPercent      string        `json:"tax_percent"`
	Gross           money.Amount  `json:"gross"`
	Discount        money.Amount  `json:"discount"`
	Net             money.Amount  `json:"net"`
	Tax             *money.Amount `json:"tax,omitempty"`
	Option          *Option       `json:"option,omitempty"`
	Approval        Approval      `json:"approval,omitempty"` // of a reserve that is shown
}

// ClientPhase is a subtotal as the client sees it.
type ClientPhase struct {
	ID   string       `json:"id,omitempty"`
	Name string       `json:"name,omitempty"`
	Net  money.Amount `json:"net"`
}

// ClientView returns the client's view of r. It ties to r: the same totals, and
// subtotals that are sums of the client's lines.
func (r Result) ClientView() ClientResult {
	v := ClientResult{Currency: r.Currency, TaxBasis: r.TaxBasis, Options: r.Options,
		Adjustments: r.Adjustments, Taxes: r.Taxes, Totals: r.Totals, Deposit: r.Deposit, Draws: r.Draws,
		DocumentLines: ClientPhase{Net: r.DocumentLines.Net},
		Lines:         make([]ClientLine, 0, len(r.Lines)), NotTaken: make([]ClientLine, 0, len(r.NotTaken)),
		Phases: make([]ClientPhase, 0, len(r.Phases))}
	shares := r.carriedShares()
	for i := range r.Lines {
		if line := &r.Lines[i]; !carried(line) {
			v.Lines = append(v.Lines, clientLine(line, shares[line.ID]))
			v.showReserve(line)
		}
	}
	for i := range r.NotTaken {
		v.NotTaken = append(v.NotTaken, clientLine(&r.NotTaken[i], nil))
	}
	for _, p := range r.Phases {
		v.Phases = append(v.Phases, ClientPhase{ID: p.ID, Name: p.Name, Net: p.Net})
	}
	return v
}

func (v *ClientResult) showReserve(line *LineResult) {
	if line.Kind != Reserve {
		return
	}
	if v.Reserve == nil {
		v.Reserve = &ReserveResult{Net: money.Zero(v.Currency)}
	}
	v.Reserve.Net = plus(v.Reserve.Net, line.Net)
	v.Reserve.LineIDs = append(v.Reserve.LineIDs, line.ID)
}

// share is the part of the carried reserves that falls on a line.
type share struct{ net, tax money.Amount }

// carried reports whether a line is a reserve hidden inside other lines.
func carried(line *LineResult) bool { return line.Reserve != nil && line.Reserve.Carried }

// carries reports whether line may carry a part of reserve. Lines of options
// do not, because their price is compared with that of the other choices.
func carries(line, reserve *LineResult) bool {
	return line.Kind != Reserve && line.Option == nil && line.Net.Sign() > 0 &&
		line.PhaseID == reserve.PhaseID && line.TaxClass == reserve.TaxClass
}

// carriedShares divides each carried reserve over the lines that carry it, in
// proportion to their nets, by line id.
func (r Result) carriedShares() map[string]*share {
	shares := map[string]*share{}
	for i := range r.Lines {
		reserve := &r.Lines[i]
		if !carried(reserve) || reserve.Net.IsZero() {
			continue
		}
		var ids []string
		var weights []decimal.Decimal
		for j := range r.Lines {
			if line := &r.Lines[j]; carries(line, reserve) {
				ids = append(ids, line.ID)
				weights = append(weights, line.Net.Decimal())
			}
		}
		r.spread(shares, ids, weights, reserve)
	}
	return shares
}

// spread adds the shares of one reserve. Calculate has made sure that there are
// lines to carry it.
func (r Result) spread(shares map[string]*share, ids []string, weights []decimal.Decimal, reserve *LineResult) {
	tax := money.Zero(r.Currency)
	if reserve.Tax != nil {
		tax = *reserve.Tax
	}
	nets, err := reserve.Net.AllocateBy(weights)
	taxes, err2 := tax.AllocateBy(weights)
	if err != nil || err2 != nil {
		panic("pricing: a carried reserve without lines passed Calculate")
	}
	for i, id := range ids {
		if shares[id] == nil {
			shares[id] = &share{money.Zero(r.Currency), money.Zero(r.Currency)}
		}
		shares[id].net = plus(shares[id].net, nets[i])
		shares[id].tax = plus(shares[id].tax, taxes[i])
	}
}

// clientLine restates a line with its share of the carried reserves, if any.
func clientLine(line *LineResult, carry *share) ClientLine {
	out := ClientLine{ID: line.ID, PhaseID: line.PhaseID, Kind: line.Kind, Description: line.Description,
		Quantity: line.BilledQuantity, Unit: line.Unit, BaseQuantity: line.BaseQuantity,
		UnitPrice: line.UnitPrice, DiscountPercent: line.DiscountPercent, TaxPercent: line.TaxPercent,
		Gross: line.Gross, Discount: line.Discount, Net: line.Net, Tax: line.Tax, Option: line.Option}
	if line.Kind == Reserve {
		out.Approval = ByClient
		if line.Reserve != nil && line.Reserve.Approval != "" {
			out.Approval = line.Reserve.Approval
		}
	}
	if carry == nil {
		return out
	}
	out.UnitPrice, out.DiscountPercent = "", ""
	out.Gross, out.Net = plus(out.Gross, carry.net), plus(out.Net, carry.net)
	if line.Tax != nil {
		tax := plus(*line.Tax, carry.tax)
		out.Tax = &tax
	}
	return out
}
