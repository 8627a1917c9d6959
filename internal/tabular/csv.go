package tabular

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
)

func readCSV(data []byte, limits Limits) (Table, error) {
	text, err := decoded(data)
	if err != nil {
		return Table{}, err
	}
	if !bytes.Contains(text, []byte("\n")) { // the line end of old
		text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	}
	delimiter, text, err := divided(text)
	if err != nil {
		return Table{}, err
	}
	if err := narrow(text, byte(delimiter), limits); err != nil {
		return Table{}, err
	}
	b := builder{limits: limits, table: Table{Format: CSV, Delimiter: delimiter}}
	if err := b.records(text, delimiter); err != nil {
		return Table{}, err
	}
	return b.finish()
}

// divided finds the delimiter. A first line such as "sep=;" states it, as some
// programs write it for spreadsheet programs, which do not show that line.
func divided(text []byte) (rune, []byte, error) {
	line, rest, _ := bytes.Cut(text, []byte("\n"))
	for _, d := range ",;\t" {
		if string(bytes.TrimSuffix(line, []byte("\r"))) == "sep="+string(d) {
			return d, rest, nil
		}
	}
	delimiter, err := delimiterOf(text)
	return delimiter, text, err
}

// delimiterOf decides by the head row. A comma is expected; a semicolon or a tab
// is taken when commas leave the head row in one piece and the other does not.
func delimiterOf(text []byte) (rune, error) {
	comma, semicolon, tab := headWidth(text, ','), headWidth(text, ';'), headWidth(text, '\t')
	switch {
	case comma > 1 && comma >= max(semicolon, tab), max(semicolon, tab) <= 1:
		return ',', nil
	case comma <= 1 && tab <= 1:
		return ';', nil
	case comma <= 1 && semicolon <= 1:
		return '\t', nil
	}
	return 0, invalid("table-delimiter", "the wrong delimiter: the head row reads as %d columns by commas, %d by semicolons and %d by tabs; "+
		"save the file with commas, and with quotation marks around cells that hold them", comma, semicolon, tab)
}

// headWidth counts the cells of the first row that is not blank, 0 when it
// cannot be read with this delimiter.
func headWidth(text []byte, delimiter rune) int {
	r := csv.NewReader(bytes.NewReader(text[:min(len(text), 1<<16)]))
	r.Comma, r.FieldsPerRecord = delimiter, -1
	record, err := r.Read()
	if err != nil {
		return 0
	}
	return len(record)
}

// narrow refuses too many cells in a row before a place is made for each.
func narrow(text []byte, delimiter byte, limits Limits) error {
	row, cells, all, inside := 1, 1, 0, false
	for _, b := range text {
		switch {
		case b == '"':
			inside = !inside
		case inside:
		case b == delimiter:
			if cells++; cells > limits.Columns {
				return tooLarge("row %d has more than %d columns", row, limits.Columns)
			}
		case b == '\n':
			if all += cells; all > limits.Cells {
				return tooLarge("the file has more than %d cells; divide the list", limits.Cells)
			}
			row, cells = row+1, 1
		}
	}
	return nil
}

// records hands each record to the builder with its row number. The standard
// reader passes over blank lines; they are found again by its line numbers.
func (b *builder) records(text []byte, delimiter rune) error {
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.ReuseRecord = delimiter, -1, true
	row, line, offset := 0, 1, int64(0)
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		var p *csv.ParseError
		if errors.As(err, &p) {
			return unbalanced(row+1+p.StartLine-line, p)
		} else if err != nil {
			return err
		}
		start, _ := r.FieldPos(0)
		row += 1 + start - line
		line += bytes.Count(text[offset:r.InputOffset()], []byte("\n"))
		offset = r.InputOffset()
		if err := b.record(row, record); err != nil {
			return err
		}
	}
}

func unbalanced(row int, p *csv.ParseError) error {
	if errors.Is(p.Err, csv.ErrBareQuote) {
		return invalid("table-quotes", "row %d: a quotation mark stands inside a cell; put the whole cell in quotation marks and double the one inside", row)
	}
	return invalid("table-quotes", "row %d: a quotation mark opens a cell and does not close it before a delimiter or the end of the row", row)
}

// record takes a record of CSV.
func (b *builder) record(row int, record []string) error {
	cells := b.room(len(record))
	for i, text := range record {
		if strings.Contains(text, "\r") {
			text = lineFeeds(text)
		}
		cells[i].Text = unguarded(text)
	}
	return b.add(row, cells)
}

// lineFeeds makes every line end a line feed.
func lineFeeds(text string) string {
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
}
