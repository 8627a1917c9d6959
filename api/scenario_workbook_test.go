package api_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"bareframe/internal/testkit"
	"bareframe/internal/testkit/spreadsheet"
)

const xlsxType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// workbookFrom fetches a workbook.
func workbookFrom(t *testing.T, w *testkit.World, who *testkit.Client, path string) []byte {
	t.Helper()
	a := who.Do(t, "GET", w.Fill(path), nil).Want(t, 200)
	if got := a.Header.Get("Content-Type"); got != xlsxType {
		t.Errorf("%s: the type is %q", a.Asked, got)
	}
	if got := a.Header.Get("Content-Disposition"); !regexp.MustCompile(`^attachment; filename="[a-z0-9-]+\.xlsx"$`).MatchString(got) {
		t.Errorf("%s: the file is called %q", a.Asked, got)
	}
	return a.Body
}

// partsOf are the parts of a workbook by name.
func partsOf(t *testing.T, file []byte) map[string]string {
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

// forgotten is a workbook whose formulas keep a wrong value, so that a right one
// was worked out by who opened it.
func forgotten(t *testing.T, file []byte) []byte {
	t.Helper()
	kept := regexp.MustCompile(`</f><v>[^<]*</v>`)
	var out bytes.Buffer
	z, changed := zip.NewWriter(&out), 0
	for name, content := range partsOf(t, file) {
		changed += len(kept.FindAllString(content, -1))
		part, err := z.Create(name)
		if err == nil {
			_, err = io.WriteString(part, kept.ReplaceAllString(content, `</f><v>424242</v>`))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil || changed < 40 {
		t.Fatalf("%v; %d values of formulas were found", err, changed)
	}
	return out.Bytes()
}

// reckoned is a sheet as LibreOffice worked it out, to be asked by the text that
// a row begins with.
type reckoned struct{ file *excelize.File }

// cell is the figure of a column in the first row that holds a text, to the cent.
func (r reckoned) cell(t *testing.T, sheet, text, column string) string {
	t.Helper()
	rows, err := r.file.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		for _, c := range row {
			if c != text {
				continue
			}
			value, _ := r.file.GetCellValue(sheet, column+strconv.Itoa(i+1), excelize.Options{RawCellValue: true})
			number, err := strconv.ParseFloat(value, 64)
			if err != nil {
				t.Errorf("%s!%s in the row %q is %q, no figure", sheet, column, text, value)
			}
			return strconv.FormatFloat(number, 'f', 2, 64)
		}
	}
	t.Errorf("the sheet %s has no row %q", sheet, text)
	return ""
}

// expected are figures that the API gives, and where a workbook has them.
type expected struct{ sheet, row, column, want string }

// ofPrice are the totals and draws of an answer, whose figures stand at a pointer.
func ofPrice(a *testkit.Answer, at string) []expected {
	out := []expected{{"Estimate", "Total of the lines", "C", a.Text(at + "/net")}, {"Estimate", "Tax", "C", a.Text(at + "/tax")},
		{"Estimate", "Total with tax", "C", a.Text(at + "/total")}, {"Payments", "Total with tax", "B", a.Text(at + "/total")}}
	for i := range a.Len(at + "/draws") {
		draw := at + "/draws/" + strconv.Itoa(i)
		out = append(out, expected{"Payments", a.Text(draw + "/name"), "I", a.Text(draw + "/amount")})
	}
	return out
}

// oddShop taxes at rates that do not divide well and takes a deposit and draws.
func oddShop(t *testing.T, w *testkit.World, basis string) {
	t.Helper()
	shop := w.Owner.Do(t, "GET", "/api/shop", nil).Want(t, 200)
	var body struct {
		Settings map[string]any `json:"settings"`
	}
	if err := json.Unmarshal(shop.Body, &body); err != nil {
		t.Fatal(err)
	}
	for _, r := range body.Settings["tax_rates"].([]any) {
		rate := r.(map[string]any)
		rate["percent"] = map[string]string{"exempt": "0", "material": "7.25", "repair_labour": "6.625"}[rate["class"].(string)]
		if rate["percent"] == "" {
			rate["percent"] = "19"
		}
	}
	body.Settings["tax_basis"], body.Settings["deposit_percent"] = basis, "33.3"
	body.Settings["draws"] = []any{map[string]any{"name": "After removal", "percent": "16.65"}, map[string]any{"name": "On hand-over", "percent": "50.05"}}
	w.Owner.Do(t, "PUT", "/api/shop", body.Settings, testkit.IfMatch(shop.ETag())).Want(t, 200)
}

// discounted adds a line with a discount and a credit to the example job.
func discounted(t *testing.T, w *testkit.World) {
	t.Helper()
	for _, line := range []string{
		`"kind":"material","description":"Seals, =1+1","quantity":"7","unit":"pc","unit_cost":"3.335","markup_percent":"12.5","waste_percent":"3","discount_percent":"12.5","tax_class":"material"`,
		`"kind":"credit","description":"Core given back","quantity":"1","unit":"pc","unit_cost":"41.05","markup_percent":"0","waste_percent":"0","discount_percent":"0","tax_class":"part"`} {
		w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}/lines"), w.Fill(`{"phase_id":"{removal}",`+line+`}`), testkit.IfMatch(w.ETag(t))).Want(t, 201)
	}
}

// seedJob makes a job from the seeds' whole template, as the demo has.
func seedJob(t *testing.T, w *testkit.World) string {
	t.Helper()
	template := w.Template(t, w.Owner, "perimeter-frame")
	detail := w.Owner.Do(t, "GET", "/api/templates/"+template, nil).Want(t, 200)
	options := map[string]any{}
	for i := range detail.Len("/summary/vehicle_options") {
		at := "/summary/vehicle_options/" + strconv.Itoa(i)
		options[detail.Text(at+"/key")] = detail.Text(at + "/choices/0/key")
	}
	return w.Owner.Do(t, "POST", "/api/jobs", map[string]any{"title": "Whole frame", "template_id": template, "client_id": w.ClientOf.ID,
		"vehicle": map[string]any{"make": "Corvane", "model": "Tern", "year": 1967, "serial": "", "options": options}}).Want(t, 201).Text("/job/id")
}

// LibreOffice opens what the API gives, forgets every value that formulas kept,
// and comes to the totals, tax, deposit and draws that the API says.
func TestASpreadsheetComesToWhatTheAPISays(t *testing.T) {
	spreadsheet.Need(t)
	files, want := map[string][]byte{}, map[string][]expected{}
	take := func(w *testkit.World, who *testkit.Client, name, path string, e []expected) {
		files[name+".xlsx"], want[name+".xlsx"] = forgotten(t, workbookFrom(t, w, who, path)), e
	}
	for _, basis := range []string{"document", "line"} {
		w := withOptionsIn(t, func(w *testkit.World) { oddShop(t, w, basis); discounted(t, w) })
		page := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200)
		owners := append(ofPrice(page, "/price"), expected{"Estimate", "Total of the lines", "D", page.Text("/price/cost")},
			expected{"Estimate", "Total of the lines", "F", page.Text("/price/margin")})
		take(w, w.Owner.Client, basis+"-owner", "/api/jobs/{job}/workbook/owner", owners)
		take(w, w.Owner.Client, basis+"-client", "/api/jobs/{job}/workbook/client", ofPrice(page, "/price"))
		quote := ofPrice(w.ClientOf.Do(t, "GET", w.Fill("/api/client/quotes/{quote}"), nil).Want(t, 200), "")
		take(w, w.Owner.Client, basis+"-quote", "/api/quotes/{quote}/workbook", quote)
		take(w, w.ClientOf.Client, basis+"-clients-quote", "/api/client/quotes/{quote}/workbook", quote)
		chosen := w.ClientOf.Do(t, "POST", w.Fill("/api/client/quotes/{quote}/preview"), w.Fill(`{"option_ids":["{bought}","{zinc}"]}`)).Want(t, 200)
		w.ClientOf.Do(t, "POST", w.Fill("/api/client/quotes/{quote}/decision"), w.Fill(`{"outcome":"accepted","name":"Mirel Dance","signature":"Mirel Dance","document_hash":"{document}","reason":"","option_ids":["{bought}","{zinc}"],"amount":"`+chosen.Text("/total")+`","finish":"`+chosen.Text("/finish")+`"}`)).Want(t, 200)
		agreed := ofPrice(w.ClientOf.Do(t, "GET", w.Fill("/api/client/quotes/{quote}"), nil).Want(t, 200), "")
		take(w, w.ClientOf.Client, basis+"-agreed", "/api/client/quotes/{quote}/workbook", agreed)
		w.Set("whole", seedJob(t, w))
		whole := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{whole}"), nil).Want(t, 200)
		take(w, w.Owner.Client, basis+"-whole", "/api/jobs/{whole}/workbook/owner", append(ofPrice(whole, "/price"), expected{"Estimate", "Total of the lines", "D", whole.Text("/price/cost")}))
	}
	figures := 0
	for name, content := range spreadsheet.Convert(t, files, "", spreadsheet.ToXLSX, ".xlsx") {
		f, err := excelize.OpenReader(bytes.NewReader(content))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range want[name] {
			figures++
			if got := (reckoned{f}).cell(t, e.sheet, e.row, e.column); got != e.want {
				t.Errorf("%s, %s, %s: LibreOffice has %s, the API says %s", name, e.sheet, e.row, got, e.want)
			}
		}
	}
	t.Logf("%d workbooks, %d figures compared", len(files), figures)
}

// What is not taken stands on a sheet of its own with what it comes to, and no
// line of it is among the lines.
func TestOptionsStandOnASheetOfTheirOwn(t *testing.T) {
	w := withOptions(t)
	for _, path := range []string{"/api/jobs/{job}/workbook/owner", "/api/client/quotes/{quote}/workbook"} {
		who := w.Owner.Client
		if strings.HasPrefix(path, "/api/client") {
			who = w.ClientOf.Client
		}
		f, err := excelize.OpenReader(bytes.NewReader(workbookFrom(t, w, who, path)))
		if err != nil {
			t.Fatal(err)
		}
		quote := w.ClientOf.Do(t, "GET", w.Fill("/api/client/quotes/{quote}"), nil).Want(t, 200)
		for i := range quote.Len("/options") {
			at := "/options/" + strconv.Itoa(i)
			r := reckoned{f}
			for column, want := range map[string]string{"G": quote.Text(at + "/net"), "H": quote.Text(at + "/difference")} {
				if got := r.cell(t, "Options", quote.Text(at+"/name"), column); got != want {
					t.Errorf("%s, %s: column %s has %s, the API says %s", path, quote.Text(at+"/name"), column, got, want)
				}
			}
		}
		lines, err := f.GetRows("Lines")
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range lines {
			for _, c := range row {
				if c == "Fit the bought rail" || c == "Zinc primer" {
					t.Errorf("%s: %q is among the lines and was not taken", path, c)
				}
			}
		}
	}
}

// No part of a client's workbook holds a cost, a markup, waste or a margin, nor a
// heading for one.
func TestNoCostIsInAClientsWorkbook(t *testing.T) {
	w := withOptionsIn(t, func(w *testkit.World) { discounted(t, w) })
	secrets := []string{testkit.TrialMaterialCost, testkit.TrialSubletCost, "41.37", "3.335", "17.5", "12.5", "Markup", "Margin", "Waste", "Unit cost", ">Cost<"}
	page := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200)
	secrets = append(secrets, page.Text("/price/cost"), page.Text("/price/margin"))
	told := func(file []byte) string {
		all := ""
		for name, content := range partsOf(t, file) {
			if strings.HasPrefix(name, "xl/worksheets/") || strings.HasPrefix(name, "xl/sharedStrings") || strings.HasPrefix(name, "docProps/") {
				all += content
			}
		}
		return all
	}
	owners := told(workbookFrom(t, w, w.Owner.Client, "/api/jobs/{job}/workbook/owner"))
	seen := 0
	for _, secret := range secrets {
		if strings.Contains(owners, secret) {
			seen++
		}
	}
	if seen < 8 {
		t.Fatalf("the owner's edition shows only %d of what is looked for, so this shows nothing", seen)
	}
	for name, file := range map[string][]byte{
		"the client's edition":      workbookFrom(t, w, w.Owner.Client, "/api/jobs/{job}/workbook/client"),
		"the quote for the owner":   workbookFrom(t, w, w.Owner.Client, "/api/quotes/{quote}/workbook"),
		"the quote for the client":  workbookFrom(t, w, w.ClientOf.Client, "/api/client/quotes/{quote}/workbook"),
		"and by a link to that job": workbookFrom(t, w, w.Elsewhere(t, w.ClientOf), "/api/client/quotes/{quote}/workbook"),
	} {
		text := told(file)
		for _, secret := range secrets {
			if secret == "12.5" {
				continue // the discount of a line is the client's to see
			}
			if strings.Contains(text, secret) {
				t.Errorf("%s holds %q", name, secret)
			}
		}
	}
}

// A quote's workbook stays what it was when the shop and the estimate move on.
func TestAQuotesWorkbookIsWrittenFromWhatItKept(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtQuoted)
	before := workbookFrom(t, w, w.ClientOf.Client, "/api/client/quotes/{quote}/workbook")
	w.Owner.Do(t, "POST", w.Fill("/api/quotes/{quote}/withdraw"), `{"reason":"Prices moved."}`).Want(t, 200)
	oddShop(t, w, "line")
	discounted(t, w)
	if after := workbookFrom(t, w, w.ClientOf.Client, "/api/client/quotes/{quote}/workbook"); !bytes.Equal(before, after) {
		t.Error("the quote's workbook moved with the shop")
	}
}

// Work that was added since acceptance is in the estimate and not in the draws,
// which are then left out; what was paid is taken off.
func TestAnEstimateThatGrewStatesNoDraws(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}/payments"), `{"amount":"500.00","paid_on":"2026-11-25","how":"transfer","note":""}`).Want(t, 201)
	f, err := excelize.OpenReader(bytes.NewReader(workbookFrom(t, w, w.Owner.Client, "/api/jobs/{job}/workbook/owner")))
	if err != nil {
		t.Fatal(err)
	}
	page := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200)
	r := reckoned{f}
	if got := r.cell(t, "Estimate", "Total with tax", "C"); got != page.Text("/price/total") {
		t.Errorf("the total is %s, the API says %s", got, page.Text("/price/total"))
	}
	if got := r.cell(t, "Estimate", "Already paid", "C"); got != "500.00" {
		t.Errorf("already paid is %s", got)
	}
	for _, content := range partsOf(t, workbookFrom(t, w, w.Owner.Client, "/api/jobs/{job}/workbook/owner")) {
		if strings.Contains(content, "At hand-over") {
			t.Error("draws of another total are shown as shares of this one")
		}
	}
}
