package tabular

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"runtime"
	"strings"
	"testing"
)

// mostAllocated bounds what reading any hostile file may allocate in all,
// beside the file itself.
const mostAllocated = 200 << 20

const headRow = `<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="inlineStr"><is><t>Price</t></is></c></row>`

func TestHostileWorkbooksAreRefused(t *testing.T) {
	stored := func(rows string) []part {
		return replaced(bookOf(""), part{"xl/worksheets/sheet1.xml", `<worksheet><sheetData>` + rows + `</sheetData></worksheet>`, zip.Store})
	}
	sheet := func(content string) []part {
		return replaced(bookOf(""), part{"xl/worksheets/sheet1.xml", content, zip.Deflate})
	}
	pieces := bookOf(headRow)
	for i := range 80 {
		pieces = append(pieces, part{"xl/media/" + strings.Repeat("x", i+1), strings.Repeat("\x00", 1<<20), zip.Deflate})
	}
	crowd := bookOf(headRow)
	for i := range 1100 {
		crowd = append(crowd, part{strings.Repeat("y", i+1), "", zip.Store})
	}
	row2 := func(cells string) []part { return bookOf(headRow + `<row r="2">` + cells + `</row>`) }
	for _, c := range []struct {
		name  string
		parts []part
		code  string
		words string
	}{
		{"one part of 100 MB", replaced(bookOf(headRow), part{"xl/media/a", strings.Repeat("\x00", 100<<20), zip.Deflate}), "table-size", "unpacks to more than 64 MB"},
		{"80 parts of 1 MB", pieces, "table-size", "unpacks to more than 64 MB"},
		{"a part of 10 MB that packs 1000 to 1", replaced(bookOf(headRow), part{"xl/media/a", strings.Repeat(" ", 10<<20), zip.Deflate}), "table-size", "200 times"},
		{"1,100 parts", crowd, "table-size", "1000 parts"},
		{"the same part twice", append(bookOf(headRow), part{`XL\workbook.xml`, "", zip.Store}), "table-damaged", "twice"},
		{"entities that multiply", sheet(`<!DOCTYPE w [<!ENTITY a "` + strings.Repeat("a", 1000) + `">]><worksheet><sheetData><row><c t="str"><v>` + strings.Repeat("&a;", 1000) + `</v></c></row></sheetData></worksheet>`), "table-format", "document type"},
		{"an entity without a document type", row2(`<c r="A2" t="str"><v>&a;</v></c>`), "table-damaged", ""},
		{"a million cells", stored(`<row r="1">` + strings.Repeat("<c/>", 1_000_000) + `</row>`), "table-size", "cells"},
		{"the last column", stored(`<row><c r="XFD1"><v>1</v></c></row>`), "table-size", "column XFD"},
		{"a column beyond the last", row2(`<c r="XFE2"><v>1</v></c>`), "table-damaged", "XFE2"},
		{"a column of many letters", row2(`<c r="` + strings.Repeat("Z", 60) + `2"><v>1</v></c>`), "table-damaged", ""},
		{"the last row", bookOf(headRow + `<row r="1048576"><c r="A1048576"><v>1</v></c></row>`), "table-size", "20000 rows"},
		{"a row beyond the last", bookOf(headRow + `<row r="1048577"/>`), "table-damaged", "1048577"},
		{"rows in the wrong order", bookOf(headRow + `<row r="3"/><row r="2"/>`), "table-damaged", "after row 3"},
		{"a cell twice", row2(`<c r="A2"><v>1</v></c><c r="A2"><v>2</v></c>`), "table-damaged", "A2"},
		{"a cell of another row", row2(`<c r="A3"><v>1</v></c>`), "table-damaged", "A3"},
		{"a cell without a row", bookOf(`<c r="A1"><v>1</v></c>`), "table-damaged", "outside"},
		{"a text that is not there", row2(`<c r="A2" t="s"><v>2</v></c>`), "table-damaged", "column A of row 2"},
		{"a text below nothing", row2(`<c r="A2" t="s"><v>-1</v></c>`), "table-damaged", "column A of row 2"},
		{"a style below nothing", row2(`<c r="B2" s="-1"><v>1</v></c>`), "table-damaged", "style"},
		{"a style that is not there", row2(`<c r="B2" s="7"><v>1</v></c>`), "table-damaged", "style"},
		{"a type that is not there", row2(`<c r="B2" t="zz"><v>1</v></c>`), "table-damaged", "type"},
		{"a number that is none", row2(`<c r="B2"><v>Inf</v></c>`), "table-damaged", "Inf"},
		{"a number in hexadecimals", row2(`<c r="B2"><v>0x1p4</v></c>`), "table-damaged", ""},
		{"a number beyond all", row2(`<c r="B2"><v>1e999</v></c>`), "table-damaged", ""},
		{"deep elements", sheet(`<worksheet>` + strings.Repeat("<a>", 100_000)), "table-size", "nests"},
		{"a tag that does not end", replaced(bookOf(""), part{"xl/worksheets/sheet1.xml", `<worksheet a="` + strings.Repeat("0123456789abcdef ,:;", 200_000), zip.Store}), "table-size", "tag or text"},
		{"a text that does not end", row2(`<c r="A2" t="str"><v>` + strings.Repeat("abcdefghij", 20_000) + `</v></c>`), "table-size", "bytes"},
		{"XML that breaks off", sheet(`<worksheet><sheetData><row r="1"><c r="A1"><v>1</v>`), "table-damaged", "breaks off"},
		{"no XML", sheet("\x00\x01\x02"), "table-damaged", ""},
		{"no sheet", replaced(bookOf(""), part{"xl/_rels/workbook.xml.rels", `<Relationships/>`, zip.Store}), "table-empty", "no sheet"},
		{"a sheet outside of the archive", replaced(bookOf(""), part{"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="r1" Type="x/worksheet" Target="../../../etc/passwd"/></Relationships>`, zip.Store}), "table-damaged", "missing"},
		{"a sheet on another machine", replaced(bookOf(""), part{"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="r1" Type="x/worksheet" TargetMode="External" Target="http://example.org/s.xml"/></Relationships>`, zip.Store}), "table-empty", "no sheet"},
		{"a value beyond the head row", bookOf(headRow + `<row r="2"><c r="D2"><v>1</v></c></row>`), "table-ragged", "row 2, column C"},
	} {
		t.Run(c.name, func(t *testing.T) { refuseCheaply(t, packed(t, c.parts), c.code, c.words) })
	}
}

// refuseCheaply wants a refusal that did not cost much memory.
func refuseCheaply(t *testing.T, file []byte, code, words string) {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := Read(bytes.NewReader(file), "list", DefaultLimits())
	runtime.ReadMemStats(&after)
	wantRefusal(t, string(file[:min(len(file), 200)]), err, code, words)
	if used := after.TotalAlloc - before.TotalAlloc; used > mostAllocated {
		t.Errorf("reading allocated %d MB, want at most %d", used>>20, mostAllocated>>20)
	}
}

// A sheet full of cells that are only coloured, to the last column, is no hostile
// file: the table ends where the values end.
func TestColouredCellsAreNoValues(t *testing.T) {
	table, err := readRows(t, headRow+`<row r="2"><c r="A2" s="0" t="s"><v>1</v></c><c r="XFD2" s="1"/></row><row r="3"><c r="XFD3" s="1"/></row>`)
	if err != nil || len(table.Rows) != 1 || len(table.Rows[0].Cells) != 2 || table.Rows[0].Cells[0].Text != "rich " {
		t.Errorf("got %+v %v, want one row of two cells", table, err)
	}
}

func TestDamagedArchivesAreRefused(t *testing.T) {
	whole := packed(t, replaced(bookOf(headRow), part{"xl/worksheets/sheet1.xml", `<worksheet><sheetData>` + headRow + `</sheetData></worksheet>`, zip.Store}))
	for _, n := range []int{5, 30, len(whole) / 2, len(whole) - 1} {
		refuseCheaply(t, whole[:n], "table-damaged", "")
	}
	at := bytes.Index(whole, []byte(">Price<"))
	wrong := bytes.Clone(whole)
	wrong[at+1] = 'Q' // the stored text no longer has the checksum of the index
	refuseCheaply(t, wrong, "table-damaged", "")
	if _, err := Read(bytes.NewReader(whole), "list", DefaultLimits()); err != nil {
		t.Errorf("whole it is refused: %v", err)
	}
	locked := bytes.Clone(whole)
	flags := bytes.Index(locked, []byte("PK\x01\x02")) + 8
	locked[flags] |= 1
	refuseCheaply(t, locked, "table-encrypted", "password")
}

// An index that says too little is found out: no more is unpacked than it says.
func TestAnIndexThatLies(t *testing.T) {
	var packedBytes bytes.Buffer
	content := []byte(`<worksheet><sheetData>` + headRow + strings.Repeat(" ", 50<<20) + `</sheetData></worksheet>`)
	z := zip.NewWriter(&packedBytes)
	deflated := deflatedBytes(t, content)
	for _, p := range bookOf("")[:5] {
		w, err := z.Create(p.name)
		if err == nil {
			_, err = w.Write([]byte(p.content))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	w, err := z.CreateRaw(&zip.FileHeader{Name: "xl/worksheets/sheet1.xml", Method: zip.Deflate, CRC32: crc32.ChecksumIEEE(content),
		CompressedSize64: uint64(len(deflated)), UncompressedSize64: 1000})
	if err == nil {
		_, err = w.Write(deflated)
	}
	if err != nil || z.Close() != nil {
		t.Fatal(err)
	}
	refuseCheaply(t, packedBytes.Bytes(), "table-damaged", "")
}

// deflatedBytes packs content as a zip archive does.
func deflatedBytes(t *testing.T, content []byte) []byte {
	t.Helper()
	archive := packed(t, []part{{"a", string(content), zip.Deflate}})
	r, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		t.Fatal(err)
	}
	offset, err := r.File[0].DataOffset()
	if err != nil {
		t.Fatal(err)
	}
	return archive[offset : offset+int64(r.File[0].CompressedSize64)]
}

func TestOtherFilesAreRefusedByName(t *testing.T) {
	locked := append([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), make([]byte, 600)...)
	old := bytes.Clone(locked)
	for i, r := range "EncryptedPackage" {
		binary.LittleEndian.PutUint16(locked[100+2*i:], uint16(r))
	}
	zipped := func(name, content string) []byte { return packed(t, []part{{name, content, zip.Store}}) }
	for _, c := range []struct {
		name        string
		file        []byte
		code, words string
	}{
		{"locked workbook", locked, "table-encrypted", "password"},
		{"older workbook", old, "table-format", "older program"},
		{"OpenDocument", zipped("mimetype", "application/vnd.oasis.opendocument.spreadsheet"), "table-format", "OpenDocument"},
		{"some archive", zipped("readme", "x"), "table-format", "no workbook"},
		{"text document", zipped("_rels/.rels", strings.Replace(packageRels, "xl/workbook.xml", "word/document.xml", 1)), "table-format", "no workbook"},
		{"binary workbook", zipped("_rels/.rels", strings.Replace(packageRels, "workbook.xml", "workbook.bin", 1)), "table-format", "xlsb"},
		{"web page", []byte("\n <!DOCTYPE html><table>"), "table-format", "web page"},
		{"PDF", []byte("%PDF-1.7 a,b"), "table-format", "PDF"},
		{"picture", []byte("\x89PNG\r\n\x1a\n"), "table-format", "picture"},
		{"nothing", nil, "table-empty", "empty"},
		{"blanks", []byte(" \r\n\r\n"), "table-empty", "empty"},
		{"only delimiters", []byte(",,\n,,\n"), "table-empty", "no row"},
		{"more than the limit", bytes.Repeat([]byte("a,b\n"), 3<<20), "table-size", "8192 KB"},
	} {
		t.Run(c.name, func(t *testing.T) { refuseCheaply(t, c.file, c.code, c.words) })
	}
}

func TestHostileCSVIsRefused(t *testing.T) {
	limits := DefaultLimits()
	limits.Bytes = 32 << 20
	for _, c := range []struct{ name, file, code, words string }{
		{"a byte of zero", "a,b\n1,2\n3,\x004\n", "table-binary", "row 3"},
		{"a line of 10 MB", "a,b\n1," + strings.Repeat("x", 10<<20) + "\n", "table-size", "row 2, column B"},
		{"a line of 10 million cells", "a,b\n1" + strings.Repeat(",", 10<<20) + "\n", "table-size", "row 2 has more than 100 columns"},
		{"too many rows", "a\n" + strings.Repeat("x\n", 20_000), "table-size", "20000 rows"},
		{"a quotation mark that is not closed", "a,b\n1,2\n\n3,\"4\n5,6\n", "table-quotes", "row 4"},
		{"a quotation mark inside", "a,b\n1,2\n3,3/8\" bolt\n", "table-quotes", "row 3"},
		{"a quotation mark closed too early", "a,b\n\"1\"x,2\n", "table-quotes", "row 2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(strings.NewReader(c.file), "list", limits)
			wantRefusal(t, c.file[:min(len(c.file), 100)], err, c.code, c.words)
		})
	}
}
