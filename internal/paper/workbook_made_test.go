package paper

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"

	"bareframe/internal/pricing"
)

// workbookOf is the owner's workbook of a priced document.
func workbookOf(in pricing.Input, r pricing.Result) WorkbookData {
	d := WorkbookData{Heading: "Estimate 12-3", Particulars: []string{"SHOP", "CLIENT"}, Currency: in.Currency, TaxPerLine: in.TaxBasis == pricing.PerLine,
		LineTotal: r.Totals.LineTotal, TaxTotal: r.Totals.TaxTotal, Total: r.Totals.GrandTotal, Prepaid: r.Totals.Prepaid, Due: r.Totals.Due}
	for _, rate := range in.TaxRates {
		d.Classes = append(d.Classes, WorkbookClass{Name: string(rate.Class), Percent: rate.Percent})
	}
	d.Classes = append(d.Classes, WorkbookClass{Name: string(pricing.Exempt), Exempt: true})
	places := map[string]int{"": 0}
	for i, p := range in.Phases {
		d.Phases, places[p.ID] = append(d.Phases, p.Name), i+1
	}
	asked := map[string]pricing.Line{}
	for _, l := range in.Lines {
		asked[l.ID] = l
	}
	for _, l := range r.Lines {
		a := asked[l.ID]
		d.Lines = append(d.Lines, WorkbookLine{Phase: places[l.PhaseID], Kind: string(l.Kind), Description: l.Description, Credit: l.Kind == pricing.Credit,
			Quantity: a.Quantity, Unit: a.Unit, WastePercent: a.WastePercent, UnitCost: a.UnitCost, MarkupPercent: a.MarkupPercent, UnitPrice: a.UnitPrice,
			PriceBase: a.PriceBaseQuantity, DiscountPercent: a.DiscountPercent, DiscountAmount: a.DiscountAmount, TaxClass: string(a.TaxClass), Net: l.Net, Tax: l.Tax, Cost: l.Cost})
	}
	for _, t := range r.Taxes {
		d.Taxes = append(d.Taxes, WorkbookTax{Percent: t.Percent, Exempt: t.Exempt, Base: t.Base, Tax: t.Tax})
	}
	if r.Deposit != nil {
		d.Deposit = &WorkbookDeposit{Percent: r.Deposit.Percent, Amount: r.Deposit.Amount}
	}
	for i, draw := range r.Draws {
		d.Draws = append(d.Draws, WorkbookDraw{Name: draw.Name, Percent: in.Draws[i].Percent, Phase: places[draw.PhaseID], Amount: draw.Amount})
	}
	return d
}

// someEstimate draws a document: every kind of line, quantities and prices with
// up to four places, and many nets that fall on half a minor unit.
func someEstimate(luck *rand.Rand, currency string, places int, basis pricing.TaxBasis) pricing.Input {
	decimal := func(most, places int) string {
		whole := strconv.Itoa(luck.IntN(most + 1))
		if n := luck.IntN(places + 1); n > 0 {
			return whole + "." + fmt.Sprintf("%0*d", n, luck.IntN([]int{1, 10, 100, 1000, 10_000}[n]))
		}
		return whole
	}
	maybe := func(text string) string { return []string{"", text}[luck.IntN(2)] }
	in := pricing.Input{Currency: currency, TaxBasis: basis, Prepaid: strconv.Itoa(luck.IntN(50))}
	for _, class := range pricing.TaxClasses() {
		if class != pricing.Exempt {
			in.TaxRates = append(in.TaxRates, pricing.TaxRate{Class: class, Percent: []string{"0", "7.25", "19", "21", "6.6250"}[luck.IntN(5)]})
		}
	}
	for i := range 4 {
		in.Phases = append(in.Phases, pricing.Phase{ID: fmt.Sprint("p", i), Name: fmt.Sprint("Phase ", i+1)})
	}
	for i := range 25 {
		l := pricing.Line{ID: fmt.Sprint("L", i), Kind: pricing.Kinds()[luck.IntN(7)], TaxClass: pricing.TaxClasses()[luck.IntN(9)], Description: fmt.Sprint("Line ", i), Unit: "h"}
		if p := luck.IntN(5); p < 4 {
			l.PhaseID = in.Phases[p].ID
		}
		l.Quantity, l.UnitCost = decimal(60, 4), maybe(decimal(300, 4))
		if i%3 == 0 { // a half of a minor unit: an odd number of halves of its tenth, times five
			l.Quantity, l.UnitPrice = []string{"0.5", "1.5", "2.5"}[luck.IntN(3)], fmt.Sprint(luck.IntN(40)*2+101)
			if places > 0 {
				l.UnitPrice = fmt.Sprintf("%d.%0*d", luck.IntN(300), places, luck.IntN(4)*2+1)
			}
		} else if l.UnitCost == "" || luck.IntN(2) == 0 {
			l.UnitPrice = decimal(400, 4)
		}
		if l.Kind == pricing.Material {
			l.WastePercent = maybe(decimal(20, 2))
		}
		if l.UnitPrice == "" && (l.Kind == pricing.Material || l.Kind == pricing.Sublet) {
			l.MarkupPercent = maybe(decimal(80, 2))
		}
		l.PriceBaseQuantity = []string{"", "", "", "1", "7", "100", "0.3"}[luck.IntN(7)]
		if l.Kind != pricing.Credit && i%4 == 0 {
			l.DiscountPercent = decimal(99, 2)
		}
		in.Lines = append(in.Lines, l)
	}
	in.Lines = append(in.Lines, pricing.Line{ID: "big", PhaseID: "p0", Kind: pricing.Fee, Description: "Large", Quantity: "1", UnitPrice: "3333", UnitCost: "1", DiscountAmount: "1", TaxClass: pricing.Part})
	in.Deposit = &pricing.Deposit{Percent: decimal(40, 2)}
	in.Draws = []pricing.Draw{{ID: "a", Name: "First", Percent: "33.33"}, {ID: "b", Name: "Second", Percent: "33.33"}, {ID: "c", Name: "Third", Percent: "33.34"}}
	if luck.IntN(2) == 0 {
		in.Draws = []pricing.Draw{{ID: "a", Name: "First", PhaseID: "p0"}, {ID: "b", Name: "Second", PhaseID: "p1"}, {ID: "c", Name: "Third", PhaseID: "p2"}}
		in.Deposit = &pricing.Deposit{Amount: "100"}
	}
	return in
}

// priced draws estimates until one is accepted.
func priced(t *testing.T, seed uint64, currency string, places int, basis pricing.TaxBasis) (pricing.Input, pricing.Result) {
	t.Helper()
	luck := rand.New(rand.NewPCG(seed, 7))
	var err error
	for range 50 {
		in := someEstimate(luck, currency, places, basis)
		var r pricing.Result
		if r, err = pricing.Calculate(in); err == nil {
			return in, r
		}
	}
	t.Fatalf("no estimate was accepted: %v", err)
	return pricing.Input{}, pricing.Result{}
}

func workbook(t *testing.T, d WorkbookData, e Edition) []byte {
	t.Helper()
	file, err := Workbook(d, e)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

func opened(t *testing.T, file []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

// parts are the parts of a workbook by name.
func parts(t *testing.T, file []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		content, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name] = string(content)
	}
	return out
}
