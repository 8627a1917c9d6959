package tabular

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// Serials of both date systems. The ends are those of ECMA-376 part 1,
// 18.17.4.1; 5 July 1998 is the example by which Microsoft's support pages tell
// the systems apart (35981 and 34519, 1,462 days); 1 January 2008 is that of the
// documentation of DATE. All from memory.
func TestSerialsOfBothSystems(t *testing.T) {
	for _, c := range []struct {
		serial float64
		since  int
		want   string
	}{
		{1, 1900, "1900-01-01"}, {59, 1900, "1900-02-28"}, {60, 1900, "1900-02-29"}, {61, 1900, "1900-03-01"},
		{35981, 1900, "1998-07-05"}, {34519, 1904, "1998-07-05"}, {39448, 1900, "2008-01-01"},
		{2958465, 1900, "9999-12-31"}, {0, 1904, "1904-01-01"}, {2957003, 1904, "9999-12-31"},
		{39448.5, 1900, "2008-01-01T12:00:00"}, {0.25, 1900, "T06:00:00"}, {39448.9999999, 1900, "2008-01-02"},
		{2958466, 1900, ""}, {2957004, 1904, ""}, {-1, 1900, ""}, {0, 1900, ""},
	} {
		got, ok := moment(c.serial, c.since == 1904)
		if !ok {
			got = ""
		}
		if got != c.want {
			t.Errorf("day %v since %d is %q, want %q", c.serial, c.since, got, c.want)
		}
	}
}

// What a double is in the file and what it is as a decimal. The long forms are
// those that programs write with 17 digits (IEEE 754: 17 digits tell any two
// doubles apart, 15 survive any of them).
func TestStoredNumbersBecomeExactDecimals(t *testing.T) {
	for _, c := range []struct{ stored, want string }{
		{"0.3", "0.3"}, {"0.29999999999999999", "0.3"}, {"0.30000000000000004", "0.3"}, {"1.1000000000000001", "1.1"}, {"-2.2999999999999998", "-2.3"},
		{"1E-3", "0.001"}, {"1.2500000000000001E-5", "0.0000125"}, {"1e5", "100000"}, {"123456789012345", "123456789012345"}, {"100", "100"}, {"-0", "0"}, {"0.1", "0.1"},
		{"1234567.8899999999", "1234567.89"}, {"99999999999.989998", "99999999999.99"}, {"1e21", "1000000000000000000000"},
	} {
		if _, got, ok := shortest(c.stored); !ok || got != c.want {
			t.Errorf("%s is %q, want %q", c.stored, got, c.want)
		}
	}
}

func TestReadXLSX(t *testing.T) {
	for _, c := range []struct {
		name, cell string
		want       Cell
	}{
		{"shared string, rich, without reading aid", `<c r="B2" t="s"><v>1</v></c>`, Cell{"rich ", Text}},
		{"string in the cell", `<c r="B2" t="inlineStr"><is><t>=1+1</t></is></c>`, Cell{"=1+1", Text}},
		{"escaped characters", `<c r="B2" t="inlineStr"><is><t>a_x000D__x000A_b_x005F_x0041_</t></is></c>`, Cell{"a\nb_x0041_", Text}},
		{"entities", `<c r="B2" t="inlineStr"><is><t>&lt;b&gt; &amp;amp; &#228;</t></is></c>`, Cell{"<b> &amp; ä", Text}},
		{"number", `<c r="B2"><v>12.5</v></c>`, Cell{"12.5", Number}},
		{"number with its type", `<c r="B2" t="n" s="0"><v>0.30000000000000004</v></c>`, Cell{"0.3", Number}},
		{"percent", `<c r="B2" s="2"><v>0.19</v></c>`, Cell{"0.19", Percent}},
		{"day, built-in format", `<c r="B2" s="1"><v>39448</v></c>`, Cell{"2008-01-01", Date}},
		{"day, a format of its own", `<c r="B2" s="3"><v>39448</v></c>`, Cell{"2008-01-01", Date}},
		{"the word days in a format", `<c r="B2" s="4"><v>39448</v></c>`, Cell{"39448", Number}},
		{"hours beyond a day", `<c r="B2" s="5"><v>1.5</v></c>`, Cell{"1900-01-01T12:00:00", Date}},
		{"a letter that is escaped", `<c r="B2" s="6"><v>1.5</v></c>`, Cell{"1.5", Number}},
		{"day as ISO 8601", `<c r="B2" t="d"><v>2008-01-01T00:00:00</v></c>`, Cell{"2008-01-01", Date}},
		{"truth", `<c r="B2" t="b"><v>1</v></c>`, Cell{"TRUE", Bool}},
		{"fault", `<c r="B2" t="e"><v>#DIV/0!</v></c>`, Cell{"#DIV/0!", Fault}},
		{"formula with its last value", `<c r="B2"><f>A1*2</f><v>24</v></c>`, Cell{"=A1*2", Formula}},
		{"formula that gave text", `<c r="B2" t="str"><f>A1&amp;"x"</f><v>yx</v></c>`, Cell{`=A1&"x"`, Formula}},
		{"formula to another file", `<c r="B2"><f>[1]Sheet1!$A$1</f><v>24</v></c>`, Cell{"=[1]Sheet1!$A$1", Formula}},
		{"a shared formula's other cell", `<c r="A2"><f t="shared" ref="A2:B2" si="0">A1*2</f><v>1</v></c><c r="B2"><f t="shared" si="0"/><v>2</v></c>`, Cell{"=A1*2", Formula}},
		{"without references", `<c><v>1</v></c><c><v>2</v></c>`, Cell{"2", Number}},
	} {
		t.Run(c.name, func(t *testing.T) {
			table, err := readRows(t, headRow+`<row r="2">`+c.cell+`</row>`)
			if err != nil {
				t.Fatal(err)
			}
			if got := table.Rows[0].Cells[1]; got != c.want {
				t.Errorf("got %+v, want %+v\ninput: %s", got, c.want, c.cell)
			}
		})
	}
}

func TestDaysSince1904(t *testing.T) {
	parts := replaced(bookOf(headRow+`<row r="2"><c r="B2" s="1"><v>34519</v></c></row>`), part{"xl/workbook.xml", fmt.Sprintf(mainXML, ` date1904="1"`), zip.Deflate})
	table, err := Read(bytes.NewReader(packed(t, parts)), "list", DefaultLimits())
	if err != nil || table.Rows[0].Cells[1].Text != "1998-07-05" {
		t.Errorf("got %+v %v, want 1998-07-05", table.Rows, err)
	}
}

// Cells that a spreadsheet program made something else of are refused with what
// to do.
func TestCellsOfTheWrongKind(t *testing.T) {
	schema := Schema{Columns: []Column{{Key: "key", Title: "Key"}, {Key: "price", Title: "Price", Kind: DecimalColumn}}}
	for _, c := range []struct{ name, cells, column, reason string }{
		{"formula as price", `<c r="B2"><f>A1*2</f><v>24</v></c>`, "Price", "a formula stands here (=A1*2), not a number"},
		{"formula as text", `<c r="A2" t="str"><f>B1</f><v>x</v></c>`, "Key", "a formula stands here (=B1), not text"},
		{"percent", `<c r="B2" s="2"><v>0.19</v></c>`, "Price", "a percentage stands here"},
		{"day as price", `<c r="B2" s="1"><v>39448</v></c>`, "Price", "a date or time stands here (2008-01-01), not a number"},
		{"day as text", `<c r="A2" s="1"><v>39448</v></c>`, "Key", "such as 3-5"},
		{"fault", `<c r="B2" t="e"><v>#REF!</v></c>`, "Price", "the fault #REF! stands here"},
		{"truth", `<c r="B2" t="b"><v>1</v></c>`, "Price", "TRUE stands here"},
		{"text with a comma", `<c r="B2" t="str"><v>1,234</v></c>`, "Price", "1,234 can be read in two ways"},
		{"text with a point", `<c r="B2" t="str"><v>1.234</v></c>`, "Price", "1.234 can be read in two ways"},
		{"a number of 20 digits as text", `<c r="A2"><v>4006381333931123456</v></c>`, "Key", "keep only 15 digits"},
	} {
		table, err := readRows(t, headRow+`<row r="2">`+c.cells+`</row>`)
		if err != nil {
			t.Fatal(err)
		}
		got := schema.Check(table)
		if got.Problems.Count != 1 || got.Problems.List[0].Row != 2 || got.Problems.List[0].Column != c.column || !strings.Contains(got.Problems.List[0].Reason, c.reason) {
			t.Errorf("%s: problems %+v, want one in %s with %q", c.name, got.Problems, c.column, c.reason)
		}
	}
}

// A workbook that another library wrote: hidden sheets and charts are passed
// over, the sheets that were not read are named.
func TestTheFirstSheetThatIsNotHidden(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	for _, err := range []error{
		f.SetSheetName("Sheet1", "Secret"), f.SetCellValue("Secret", "A1", "nothing"),
		addSheet(f, "Prices"), f.SetSheetRow("Prices", "B3", &[]any{"Key", "Price"}), f.SetSheetRow("Prices", "B5", &[]any{"x", 12.25}),
		addSheet(f, "Notes"),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	f.SetActiveSheet(1)
	if err := f.SetSheetVisible("Secret", false); err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := f.Write(&file); err != nil {
		t.Fatal(err)
	}
	table, err := Read(bytes.NewReader(file.Bytes()), "list", DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	if got, want := told(table), "\x00 3:|Key|Price 5:|x|12.25"; got != want || table.Sheet != "Prices" || strings.Join(table.OtherSheets, ",") != "Notes" {
		t.Errorf("got %q of %q beside %q, want %q of Prices beside Notes", got, table.Sheet, table.OtherSheets, want)
	}
}

func addSheet(f *excelize.File, name string) error {
	_, err := f.NewSheet(name)
	return err
}

// The head row stays in place and choices are offered as a list.
func TestWhatAWrittenSheetOffers(t *testing.T) {
	var file bytes.Buffer
	if err := WriteXLSX(&file, tenColumns(), someRecords(3)); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(file.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	panes, err := f.GetPanes("Prices")
	if err != nil || !panes.Freeze || panes.YSplit != 1 {
		t.Errorf("panes %+v %v, want the first row to stay", panes, err)
	}
	lists, err := f.GetDataValidations("Prices")
	if err != nil || len(lists) != 1 || lists[0].Sqref != "C2:C1048576" || lists[0].Formula1 != `"material,sublet,consumable"` {
		t.Errorf("lists %+v %v, want one of the kinds in column C", lists, err)
	}
	if width, err := f.GetColWidth("Prices", "B"); err != nil || width < 30 {
		t.Errorf("the names' column is %v wide (%v), want room for them", width, err)
	}
}
