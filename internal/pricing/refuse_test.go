package pricing

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/fault"
)

// Each row spoils the example in one way; the pointers named must be at fault,
// and no others.
func TestCalculateRefuses(t *testing.T) {
	long := strings.Repeat("x", MaxTextLength+1)
	for _, c := range []struct {
		name  string
		spoil func(*Input)
		want  []string
	}{
		{"no currency", func(in *Input) { in.Currency = "" }, []string{"/currency"}},
		{"invented currency", func(in *Input) { in.Currency = "XYZ" }, []string{"/currency"}},
		{"no tax basis", func(in *Input) { in.TaxBasis = "" }, []string{"/tax_basis"}},
		{"unknown class of a rate", func(in *Input) { in.TaxRates[0].Class = "x" }, []string{
			"/tax_rates/0/class", "/lines/0/tax_class", "/lines/1/tax_class", "/lines/3/tax_class",
			"/lines/6/tax_class", "/lines/7/tax_class", "/lines/9/tax_class"}},
		{"class twice", func(in *Input) { in.TaxRates[1].Class = RepairLabour }, []string{"/tax_rates/1/class", "/lines/5/tax_class"}},
		{"rate above 100", func(in *Input) { in.TaxRates[1].Percent = "100.01" }, []string{"/tax_rates/1/percent"}},
		{"negative rate", func(in *Input) { in.TaxRates[1].Percent = "-1" }, []string{"/tax_rates/1/percent"}},
		{"empty rate", func(in *Input) { in.TaxRates[1].Percent = "" }, []string{"/tax_rates/1/percent"}},
		{"exempt with a rate", func(in *Input) { in.TaxRates[6] = TaxRate{Exempt, "5"}; in.Lines[11].TaxClass = Exempt }, []string{"/tax_rates/6/percent"}},
		{"phase twice", func(in *Input) { in.Phases[1].ID = "removal"; in.Draws[0].PhaseID = "removal" }, []string{
			"/phases/1/id", "/lines/1/phase_id", "/lines/2/phase_id"}},
		{"phase without id", func(in *Input) { in.Phases = append(in.Phases, Phase{Name: "x"}) }, []string{"/phases/5/id"}},
		{"line twice", func(in *Input) { in.Lines[1].ID = "L1" }, []string{"/lines/1/id"}},
		{"line without id", func(in *Input) { in.Lines[1].ID = "" }, []string{"/lines/1/id"}},
		{"unknown phase", func(in *Input) { in.Lines[0].PhaseID = "painting" }, []string{"/lines/0/phase_id"}},
		{"unknown kind", func(in *Input) { in.Lines[0].Kind = "gift" }, []string{"/lines/0/kind"}},
		{"unknown unit", func(in *Input) { in.Lines[0].Unit = "furlong" }, []string{"/lines/0/unit"}},
		{"unknown class", func(in *Input) { in.Lines[0].TaxClass = "x" }, []string{"/lines/0/tax_class"}},
		{"class without a rate", func(in *Input) { in.Lines[0].TaxClass = Storage }, []string{"/lines/0/tax_class"}},
		{"no quantity", func(in *Input) { in.Lines[0].Quantity = "" }, []string{"/lines/0/quantity"}},
		{"negative quantity", func(in *Input) { in.Lines[0].Quantity = "-1" }, []string{"/lines/0/quantity"}},
		{"not a number", func(in *Input) { in.Lines[0].Quantity = "NaN" }, []string{"/lines/0/quantity"}},
		{"exponent", func(in *Input) { in.Lines[0].Quantity = "1e9" }, []string{"/lines/0/quantity"}},
		{"absurd quantity", func(in *Input) { in.Lines[0].Quantity = "1234567890" }, []string{"/lines/0/quantity"}},
		{"too many places", func(in *Input) { in.Lines[0].UnitPrice = "1.1234567" }, []string{"/lines/0/unit_price"}},
		{"negative price", func(in *Input) { in.Lines[0].UnitPrice = "-5" }, []string{"/lines/0/unit_price"}},
		{"absurd line", func(in *Input) { in.Lines[0].Quantity, in.Lines[0].UnitPrice = "999999999", "999999999" }, []string{"/lines/0"}},
		{"no price", func(in *Input) { in.Lines[0].UnitPrice, in.Lines[0].UnitCost = "", "" }, []string{"/lines/0/unit_price"}},
		{"base quantity zero", func(in *Input) { in.Lines[2].PriceBaseQuantity = "0" }, []string{"/lines/2/price_base_quantity"}},
		{"waste on labour", func(in *Input) { in.Lines[0].WastePercent = "5" }, []string{"/lines/0/waste_percent"}},
		{"waste above 100", func(in *Input) { in.Lines[2].WastePercent = "101" }, []string{"/lines/2/waste_percent"}},
		{"markup on labour", func(in *Input) { in.Lines[6].MarkupPercent, in.Lines[6].UnitPrice, in.Lines[6].UnitCost = "5", "", "1" }, []string{"/lines/6/markup_percent"}},
		{"markup and price", func(in *Input) { in.Lines[2].UnitPrice = "30" }, []string{"/lines/2/markup_percent"}},
		{"absurd markup", func(in *Input) { in.Lines[2].MarkupPercent = "1001" }, []string{"/lines/2/markup_percent"}},
		{"two discounts", func(in *Input) { in.Lines[0].DiscountPercent, in.Lines[0].DiscountAmount = "5", "5" }, []string{"/lines/0/discount_amount"}},
		{"discount above 100 percent", func(in *Input) { in.Lines[0].DiscountPercent = "100.5" }, []string{"/lines/0/discount_percent"}},
		{"discount larger than the line", func(in *Input) { in.Lines[0].DiscountAmount = "3381.01" }, []string{"/lines/0/discount_amount"}},
		{"discount with too many places", func(in *Input) { in.Lines[0].DiscountAmount = "1.005" }, []string{"/lines/0/discount_amount"}},
		{"discount on a credit", func(in *Input) { in.Lines[12].DiscountPercent = "5" }, []string{"/lines/12/kind"}},
		{"reserve rule on labour", func(in *Input) { in.Lines[0].Reserve = &ReserveRule{} }, []string{"/lines/0/reserve"}},
		{"unknown approval", func(in *Input) { in.Lines[7].Reserve.Approval = "nobody" }, []string{"/lines/7/reserve/approval"}},
		{"reserve carried by nothing", func(in *Input) { in.Lines[7].TaxClass, in.Lines[7].Reserve = Consumable, &ReserveRule{Carried: true} }, []string{"/lines/7/reserve/carried"}},
		{"reserve carried in an option", func(in *Input) {
			in.Lines[7].Reserve, in.Lines[7].Option = &ReserveRule{Carried: true}, &Option{Choice: "x", Taken: true}
		}, []string{"/lines/7/reserve/carried"}},
		{"two choices taken", func(in *Input) { in.Lines[5].Option.Taken = true }, []string{"/lines/5/option/taken"}},
		{"no choice taken", func(in *Input) { in.Lines[3].Option.Taken = false }, []string{"/lines/3/option/group"}}, // L4 and L5 share it
		{"half a choice taken", func(in *Input) {
			in.Lines[4].Option = &Option{Group: "left-rail", Choice: "weld in a bought section"}
		}, []string{"/lines/4/option/taken"}},
		{"choice without a name", func(in *Input) { in.Lines[10].Option.Choice = "" }, []string{"/lines/10/option/choice"}},
		{"adjustment twice", func(in *Input) { in.Adjustments = append(in.Adjustments, in.Adjustments[0]) }, []string{"/adjustments/1/id"}},
		{"adjustment of no kind", func(in *Input) { in.Adjustments[0].Kind = "" }, []string{"/adjustments/0/kind"}},
		{"adjustment both ways", func(in *Input) { in.Adjustments[0].Amount = "5" }, []string{"/adjustments/0"}},
		{"adjustment neither way", func(in *Input) { in.Adjustments[0].Percent = "" }, []string{"/adjustments/0"}},
		{"adjustment above 100 percent", func(in *Input) { in.Adjustments[0].Percent = "101" }, []string{"/adjustments/0/percent"}},
		{"discount of more than all", func(in *Input) { in.Adjustments[0].Percent, in.Adjustments[0].Amount = "", "99999" }, []string{"/adjustments/0"}},
		{"discounts of more than a class", func(in *Input) {
			in.Adjustments = []Adjustment{{ID: "a", Kind: Discount, Percent: "60", TaxClass: SubletClass},
				{ID: "b", Kind: Discount, Percent: "60", TaxClass: SubletClass}}
		}, []string{"/adjustments/1"}},
		{"deposit both ways", func(in *Input) { in.Deposit.Amount = "5" }, []string{"/deposit"}},
		{"deposit above 100 percent", func(in *Input) { in.Deposit.Percent = "101" }, []string{"/deposit/percent"}},
		{"deposit above the total", func(in *Input) { in.Deposit = &Deposit{Amount: "99999"} }, []string{"/deposit/amount"}},
		{"draws short of 100", func(in *Input) { in.Draws[0].Percent = "34.9" }, []string{"/draws"}},
		{"draws of two sorts", func(in *Input) { in.Draws[0].Percent = "" }, []string{"/draws"}},
		{"draw for an unknown phase", func(in *Input) { in.Draws[0].PhaseID = "x" }, []string{"/draws/0/phase_id"}},
		{"draw of nothing", func(in *Input) { in.Draws = []Draw{{ID: "a"}} }, []string{"/draws/0"}},
		{"phase drawn twice", func(in *Input) { in.Draws = []Draw{{ID: "a", PhaseID: "rust"}, {ID: "b", PhaseID: "rust"}} }, []string{"/draws/1/phase_id"}},
		{"draws by phases without a price", func(in *Input) {
			in.Phases = append(in.Phases, Phase{ID: "idle"})
			in.Draws = []Draw{{ID: "a", PhaseID: "idle"}}
		}, []string{"/draws"}},
		{"draw twice", func(in *Input) { in.Draws[1].ID = "draw-1" }, []string{"/draws/1/id"}},
		{"negative prepaid", func(in *Input) { in.Prepaid = "-1" }, []string{"/prepaid"}},
		{"endless text", func(in *Input) { in.Lines[0].Description, in.Draws[0].Name = long, long }, []string{"/lines/0/description", "/draws/0/name"}},
		{"too many lines", func(in *Input) { in.Lines = make([]Line, MaxLines+1) }, []string{"/lines"}},
		{"many rows at once", func(in *Input) {
			in.Currency, in.Lines[0].Quantity, in.Lines[2].UnitCost = "??", "-4", "1e2"
			in.Adjustments[0].Kind, in.Draws[2].ID, in.Prepaid = "gift", "", "1,5"
		}, []string{"/currency", "/lines/0/quantity", "/lines/2/unit_cost", "/adjustments/0/kind", "/draws/2/id", "/prepaid"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := Example()
			c.spoil(&in)
			_, err := Calculate(in)
			e := fault.As(err)
			if e == nil || e.Kind != fault.Invalid {
				t.Fatalf("got %v, want Invalid", err)
			}
			var got []string
			for _, f := range e.Fields {
				got = append(got, f.Pointer)
				if f.Detail == "" || strings.Contains(f.Detail, "%!") {
					t.Errorf("%s has the detail %q", f.Pointer, f.Detail)
				}
			}
			slices.Sort(got)
			slices.Sort(c.want)
			if fmt.Sprint(got) != fmt.Sprint(c.want) {
				t.Errorf("at fault %v, want %v: %v", got, c.want, err)
			}
		})
	}
}

// A document without lines prices to nothing, with its schedule of nothing.
func TestNothingCostsNothing(t *testing.T) {
	in := Example()
	in.Lines, in.Phases = nil, nil
	for i := range in.Draws {
		in.Draws[i].PhaseID = ""
	}
	r, err := Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	if !r.Totals.GrandTotal.IsZero() || len(r.Draws) != 3 || r.Ties() != nil {
		t.Fatalf("got %v, draws %v, %v", r.Totals, r.Draws, r.Ties())
	}
}
