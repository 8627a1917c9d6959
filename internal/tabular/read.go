package tabular

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"

	"bareframe/internal/fault"
)

// Read reads a table. name is the file's name, used in sentences only. Faults
// are fault.Invalid or fault.TooLarge with a code that begins with "table-" and
// a sentence that says where and what to do; those about several rows carry
// Problems as evidence. O(size of the file), which is held in memory.
func Read(r io.Reader, name string, limits Limits) (Table, error) {
	data, err := io.ReadAll(io.LimitReader(r, limits.Bytes+1))
	if err != nil {
		return Table{}, fmt.Errorf("reading a table: %w", err)
	}
	t, err := read(data, limits)
	if f := fault.As(err); f != nil {
		named := *f
		named.Detail = quoted(name) + ": " + f.Detail
		return Table{}, &named
	}
	return t, err
}

func read(data []byte, limits Limits) (Table, error) {
	if int64(len(data)) > limits.Bytes {
		return Table{}, tooLarge("the file is larger than %d KB; divide the list", limits.Bytes>>10)
	}
	if err := known(data); err != nil {
		return Table{}, err
	}
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		return readXLSX(data, limits)
	}
	return readCSV(data, limits)
}

// saveAs tells how to get a file that can be read.
const saveAs = "open it in a spreadsheet program and save it as XLSX or as CSV (UTF-8)"

// signatures are the first bytes of files that are often taken for tables.
var signatures = []struct{ start, what string }{
	{"%PDF-", "a PDF document"}, {"\x89PNG", "a picture"}, {"\xff\xd8\xff", "a picture"},
	{"\x1f\x8b", "a packed file"}, {"7z\xbc\xaf", "a packed file"}, {"Rar!", "a packed file"},
	{"PK\x05\x06", "an empty archive"}, {"{\\rtf", "a text document"},
}

// known refuses what is recognised and is no table.
func known(data []byte) error {
	if len(bytes.TrimSpace(data)) == 0 {
		return invalid("table-empty", "the file is empty")
	}
	if bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")) {
		return compound(data)
	}
	for _, s := range signatures {
		if bytes.HasPrefix(data, []byte(s.start)) {
			return invalid("table-format", "this is %s and no table; send CSV or XLSX", s.what)
		}
	}
	start := bytes.ToLower(bytes.TrimSpace(bytes.TrimPrefix(data[:min(len(data), 512)], utf8Mark)))
	for _, tag := range []string{"<!doctype", "<html", "<?xml", "<table", "<svg"} {
		if bytes.HasPrefix(start, []byte(tag)) {
			return invalid("table-format", "this is a web page or XML and no table; %s", saveAs)
		}
	}
	return nil
}

// compound refuses the container of the older binary formats, which is also
// that of encrypted XLSX ([MS-OFFCRYPTO] 2.3.4.4 names the stream).
func compound(data []byte) error {
	var name []byte
	for _, unit := range utf16.Encode([]rune("EncryptedPackage")) {
		name = append(name, byte(unit), byte(unit>>8))
	}
	if bytes.Contains(data, name) {
		return invalid("table-encrypted", "the workbook is protected by a password; open it and save it without one")
	}
	return invalid("table-format", "this is a file of an older program, such as .xls; %s", saveAs)
}

func invalid(code, detail string, args ...any) *fault.Error {
	return fault.New(fault.Invalid, code, detail, args...)
}

func tooLarge(detail string, args ...any) *fault.Error {
	return fault.New(fault.TooLarge, "table-size", detail, args...)
}

// quoted shows text of a file in a sentence: without what cannot be seen, and
// at most 40 characters of it.
func quoted(text string) string {
	clean := strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == '\uFFFD' {
			return ' '
		}
		return r
	}, text[:min(len(text), 400)])
	if letters := []rune(clean); len(letters) > 40 {
		clean = string(letters[:40]) + "…"
	} else if len(text) > 400 {
		clean += "…"
	}
	return `"` + strings.TrimSpace(clean) + `"`
}

// columnName returns the letters of a column, counted from 0: A, Z, AA.
func columnName(i int) string {
	name := ""
	for i++; i > 0; i = (i - 1) / 26 {
		name = string(rune('A'+(i-1)%26)) + name
	}
	return name
}
