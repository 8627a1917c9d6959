package tabular

import (
	"bytes"
	"encoding/csv"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/shopspring/decimal"

	"bareframe/internal/testkit/spreadsheet"
)

// plainTable is a table in words, numbers and days that no program shows in
// another way than they are written.
func plainTable() [][]string {
	return [][]string{
		{"Key", "Name", "Kind", "Unit", "Unit cost", "Unit price", "Price for", "Valid from", "Supplier", "Note"},
		{"steel-2", "Sheet steel, 2 mm \"drawn\"", "material", "m2", "27.45", "0.3", "100", "2031-12-31", "Straße & Söhne", "one\ntwo"},
		{"blast", "Ｂlast 語 😀", "sublet", "lot", "1180", "-12.5", "1", "1900-03-01", "", "a <b> & c"},
		{"007", "3-5", "consumable", "", "", "1234567.125", "-3", "2024-02-29", "1E5", "TRUE"},
	}
}

func records(t *testing.T, table [][]string) []Record {
	t.Helper()
	schema := tenColumns()
	var out []Record
	for i, row := range table[1:] {
		r := Record{Row: i + 2}
		for j, text := range row {
			v := TextValue(text)
			switch kind := schema.Columns[j].Kind; {
			case text == "":
			case kind == DecimalColumn:
				v = DecimalValue(decimal.RequireFromString(text))
			case kind == IntegerColumn:
				v, _ = integer(&Column{}, text)
			}
			r.Values = append(r.Values, v)
		}
		out = append(out, r)
	}
	return out
}

// LibreOffice opens what we write and shows the same values. Text that looks
// like a formula, a number or a date stays text.
func TestLibreOfficeShowsWhatWeWrite(t *testing.T) {
	spreadsheet.Need(t)
	table := plainTable()
	table = append(table, []string{"x", "=1+1", "material", "+1", "1", "1", "1", "2031-01-01", "@SUM(A1:A9)", "-2"})
	want := records(t, table)
	files := map[string][]byte{}
	for format, write := range writers {
		var file bytes.Buffer
		if err := write(&file, tenColumns(), want); err != nil {
			t.Fatal(err)
		}
		files["list-"+string(format)+"."+string(format)] = file.Bytes()
	}
	got := spreadsheet.Convert(t, map[string][]byte{"list-xlsx.xlsx": files["list-xlsx.xlsx"]}, "", spreadsheet.ToCSV, ".csv")["list-xlsx.xlsx"]
	shown, err := csv.NewReader(bytes.NewReader(got)).ReadAll()
	if err != nil {
		t.Fatalf("%v\n%s", err, got)
	}
	if d := cmp.Diff(table, shown); d != "" {
		t.Errorf("LibreOffice shows the XLSX otherwise, want(-) got(+):\n%s", d)
	}
	holdsNoFormula(t, spreadsheet.Convert(t, map[string][]byte{"list-csv.csv": files["list-csv.csv"]}, spreadsheet.FromCSV, spreadsheet.ToXLSX, ".xlsx")["list-csv.csv"], "'=1+1")
}

// holdsNoFormula fails when a file, which LibreOffice made of our CSV, has a
// formula in it, or not the text that stands for one.
func holdsNoFormula(t *testing.T, file []byte, text string) {
	t.Helper()
	table, err := Read(bytes.NewReader(file), "list", DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, row := range table.Rows {
		for _, c := range row.Cells {
			found = found || c.Text == text
			if c.Kind == Formula || c.Kind == Fault {
				t.Errorf("row %d of our CSV has the formula %q for LibreOffice", row.Number, c.Text)
			}
		}
	}
	if !found {
		t.Errorf("LibreOffice shows no cell %q: %+v", text, table.Rows)
	}
}

// What LibreOffice writes as XLSX from a CSV reads back the same.
func TestWeReadWhatLibreOfficeWrites(t *testing.T) {
	spreadsheet.Need(t)
	table := plainTable()
	table = append(table[:3:3], []string{"k7", "three to five", "consumable", "kg", "0.1", "0.7", "12", "2024-02-29", "S", "end"})
	var file bytes.Buffer
	w := csv.NewWriter(&file)
	if err := w.WriteAll(table); err != nil {
		t.Fatal(err)
	}
	made := spreadsheet.Convert(t, map[string][]byte{"list.csv": file.Bytes()}, spreadsheet.FromCSV, spreadsheet.ToXLSX, ".xlsx")["list.csv"]
	read, err := Read(bytes.NewReader(made), "list", DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	got := tenColumns().Check(read)
	if got.Problems.Count > 0 {
		t.Fatalf("problems: %+v", got.Problems.List)
	}
	if d := cmp.Diff(records(t, table), got.Records, cmp.Comparer(decimal.Decimal.Equal)); d != "" {
		t.Errorf("want(-) got(+):\n%s", d)
	}
	if k := read.Rows[0].Cells[7].Kind; k != Date {
		t.Errorf("the day is of kind %d, want a date cell: LibreOffice did not write it as one", k)
	}
}
