package tabular

import (
	"archive/zip"
	"bytes"
	"testing"

	"bareframe/internal/fault"
)

// fuzzLimits are small, so that the fuzzers reach them.
func fuzzLimits() Limits {
	return Limits{Bytes: 1 << 16, Rows: 50, Columns: 10, Cells: 200, CellLength: 500, Entries: 20, Unpacked: 1 << 18, Ratio: 50, Strings: 20, Depth: 12}
}

// hold wants of any file a table that keeps its promises and can be checked, or
// a refusal with a sentence.
func hold(t *testing.T, file []byte) {
	table, err := Read(bytes.NewReader(file), "list", fuzzLimits())
	if err != nil {
		if f := fault.As(err); f == nil || f.Detail == "" || f.Kind != fault.Invalid && f.Kind != fault.TooLarge {
			t.Fatalf("got %v, want a refusal", err)
		}
		return
	}
	last := table.HeadRow
	if len(table.Head) == 0 || len(table.Head) > fuzzLimits().Columns || last < 1 {
		t.Fatalf("head row %d with %d columns", last, len(table.Head))
	}
	for _, row := range table.Rows {
		if row.Number <= last || len(row.Cells) != len(table.Head) {
			t.Fatalf("row %d after %d has %d cells, the head row %d", row.Number, last, len(row.Cells), len(table.Head))
		}
		last = row.Number
	}
	schema := Schema{}
	for i, title := range table.Head {
		schema.Columns = append(schema.Columns, Column{Key: columnName(i), Title: title, Kind: ColumnKind(i % 5), Choices: []string{"a"}})
	}
	checked := schema.Check(table)
	for _, r := range checked.Records {
		if len(r.Values) != len(schema.Columns) {
			t.Fatalf("record %+v has not one value a column", r)
		}
	}
	if len(checked.Records) == 0 {
		return
	}
	// What passed the check can be written; the fuzzers' cells are short enough.
	for format, write := range writers {
		var out bytes.Buffer
		if err := write(&out, schema, checked.Records); err != nil {
			t.Fatalf("%s: what was read cannot be written: %v", format, err)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{"a,b\n1,2\n", "a;b\n\"1,234\";x\n", "\xef\xbb\xbfa\tb\r\n'=1\t2\r\n", utf16File("a,b\n1,😀\n", false), utf16File("a,b\n", true),
		"a,b\n\n\"x\ny\",3/8\"\n", "a,b\nK\xfchler,1\n", "PK\x03\x04", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a\r1\r", "<?xml?>", ",,\n,a\n,=1\n"} {
		f.Add([]byte(seed))
	}
	f.Add(packed(f, bookOf(headRow+`<row r="2"><c r="A2" t="s"><v>1</v></c><c r="B2" s="1"><v>39448</v></c></row>`)))
	f.Add(packed(f, []part{{"a", "b", zip.Store}}))
	f.Fuzz(func(t *testing.T, file []byte) { hold(t, file) })
}

// FuzzReadParts changes the XML of a workbook instead of its packed bytes.
func FuzzReadParts(f *testing.F) {
	f.Add(`<worksheet><sheetData>`+headRow+`<row r="2"><c r="A2" t="s"><v>1</v></c><c r="B2"><f t="shared" si="0">A1</f></c></row></sheetData></worksheet>`, stringsXML, stylesXML, mainXML, mainRels)
	f.Add(`<x:worksheet><x:row><x:c t="b"><x:v>1</x:v></x:c><x:c t="d"><x:v>2031-01-01</x:v></x:c><x:c t="e"><x:v>#N/A</x:v></x:c></x:row></x:worksheet>`, "", "", mainXML, mainRels)
	f.Fuzz(func(t *testing.T, sheet, texts, styles, main, rels string) {
		if len(sheet)+len(texts)+len(styles)+len(main)+len(rels) > 1<<15 {
			return
		}
		hold(t, packed(t, []part{{"_rels/.rels", packageRels, zip.Store}, {"xl/workbook.xml", main, zip.Store}, {"xl/_rels/workbook.xml.rels", rels, zip.Store},
			{"xl/sharedStrings.xml", texts, zip.Store}, {"xl/styles.xml", styles, zip.Store}, {"xl/worksheets/sheet1.xml", sheet, zip.Store}}))
	})
}
