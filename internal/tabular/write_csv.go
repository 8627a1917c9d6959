package tabular

import (
	"bufio"
	"encoding/csv"
	"io"
	"unicode"
	"unicode/utf8"
)

// WriteCSV writes records as CSV after RFC 4180: commas, CRLF, UTF-8. It begins
// with a byte order mark, without which some spreadsheet programs take UTF-8 for
// an older encoding. Text that would run as a formula gets an apostrophe. Values
// that no file can hold are a fault.Invalid "table-value"; errors of w come
// back as they are. Equal records give equal bytes. O(cells).
func WriteCSV(w io.Writer, s Schema, records []Record) error {
	if err := writable(s, records); err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	_, _ = out.Write(utf8Mark) // an error stays with out until Flush
	rows := csv.NewWriter(out)
	rows.UseCRLF = true
	cells := make([]string, len(s.Columns))
	for i, c := range s.Columns {
		cells[i] = guarded(c.Title)
	}
	_ = rows.Write(cells) // likewise
	for _, r := range records {
		for i, v := range r.Values {
			cells[i] = v.Text
			if k := s.Columns[i].Kind; k == TextColumn || k == ChoiceColumn {
				cells[i] = guarded(v.Text)
			}
		}
		_ = rows.Write(cells)
	}
	rows.Flush()
	if err := rows.Error(); err != nil {
		return err
	}
	return out.Flush()
}

// mostCharacters is the longest text of an XLSX cell, in UTF-16 units.
const mostCharacters = 32_767

// writable refuses what would not come back as it is.
func writable(s Schema, records []Record) error {
	for i, r := range records {
		if len(r.Values) != len(s.Columns) {
			return invalid("table-value", "record %d has %d values for %d columns", i+1, len(r.Values), len(s.Columns))
		}
		for j, v := range r.Values {
			if reason := unwritable(v.Text); reason != "" {
				return invalid("table-value", "record %d, %s: the text %s", i+1, s.Columns[j].Title, reason)
			}
		}
	}
	return nil
}

func unwritable(text string) string {
	if !utf8.ValidString(text) {
		return "is not UTF-8"
	}
	units := 0
	for _, r := range text {
		units++
		if r > 0xffff {
			units++
		}
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return "holds a character that cannot be seen"
		}
	}
	if units > mostCharacters {
		return "is longer than a cell can be"
	}
	return ""
}
