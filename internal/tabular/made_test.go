package tabular

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"

	"bareframe/internal/fault"
)

// part is a part of a workbook made by hand.
type part struct {
	name, content string
	method        uint16
}

const (
	mainXML = `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">` +
		`<workbookPr%s/><sheets><sheet name="One" sheetId="1" r:id="r1"/></sheets></workbook>`
	packageRels = `<Relationships><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`
	mainRels    = `<Relationships><Relationship Id="r1" Type="x/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="r2" Type="x/sharedStrings" Target="sharedStrings.xml"/>` +
		`<Relationship Id="r3" Type="x/styles" Target="styles.xml"/></Relationships>`
	stringsXML = `<sst><si><t>Key</t></si><si><r><t>ri</t></r><r><t xml:space="preserve">ch </t></r><rPh sb="0" eb="1"><t>aid</t></rPh></si></sst>`
	// The styles are: plain, a day, percent, a code of its own for a day, text in quotation marks, a time.
	stylesXML = `<styleSheet><numFmts><numFmt numFmtId="164" formatCode="dd/mm/yyyy;@"/><numFmt numFmtId="165" formatCode="0.00 &quot;days&quot;"/><numFmt numFmtId="166" formatCode="[h]:mm"/>` +
		`<numFmt numFmtId="167" formatCode="[Red]0.0\d"/></numFmts><cellStyleXfs><xf numFmtId="14"/></cellStyleXfs>` +
		`<cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="9"/><xf numFmtId="164"/><xf numFmtId="165"/><xf numFmtId="166"/><xf numFmtId="167"/></cellXfs></styleSheet>`
)

// bookOf are the parts of a small workbook whose sheet holds some rows.
func bookOf(rows string) []part {
	return []part{
		{"_rels/.rels", packageRels, zip.Deflate}, {"xl/workbook.xml", fmt.Sprintf(mainXML, ""), zip.Deflate},
		{"xl/_rels/workbook.xml.rels", mainRels, zip.Deflate}, {"xl/sharedStrings.xml", stringsXML, zip.Deflate},
		{"xl/styles.xml", stylesXML, zip.Deflate},
		{"xl/worksheets/sheet1.xml", `<worksheet><sheetData>` + rows + `</sheetData></worksheet>`, zip.Deflate},
	}
}

// replaced puts another part in place of the one with its name, or adds it.
func replaced(parts []part, p part) []part {
	for i := range parts {
		if parts[i].name == p.name {
			parts[i] = p
			return parts
		}
	}
	return append(parts, p)
}

func packed(t testing.TB, parts []part) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, p := range parts {
		w, err := z.CreateHeader(&zip.FileHeader{Name: p.name, Method: p.method})
		if err == nil {
			_, err = w.Write([]byte(p.content))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func readRows(t *testing.T, rows string) (Table, error) {
	t.Helper()
	return Read(bytes.NewReader(packed(t, bookOf(rows))), "list.xlsx", DefaultLimits())
}

// wantRefusal fails unless err is a refusal with the code and all the words.
func wantRefusal(t *testing.T, input string, err error, code string, words ...string) {
	t.Helper()
	f := fault.As(err)
	if f == nil || f.Code != code {
		t.Fatalf("got %v, want a refusal %s\ninput: %.200q", err, code, input)
	}
	for _, word := range words {
		if !strings.Contains(f.Detail, word) {
			t.Errorf("the refusal says %q, want %q in it\ninput: %.200q", f.Detail, word, input)
		}
	}
}
