package tabular

import (
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
)

// The largest row and column of a sheet, ECMA-376 18.3.1.73 and 18.18.7.
const (
	lastRow    = 1_048_576
	lastColumn = 16_384
)

// sheetReader reads the cells of a sheet into a builder.
type sheetReader struct {
	*workbook
	builder *builder
	row     int // number of the row at hand, 0 before the first
	column  int // columns passed in it
	cells   []Cell
	seen    int // cells present
}

// rows reads a sheet. The scratch row is reused; the builder gets a copy no
// wider than what is used.
func (s *sheetReader) rows(m *markup) error {
	for {
		token, err := m.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		switch t := token.(type) {
		case xml.StartElement:
			switch t.Name.Local {
			case "row":
				err = s.begin(t)
			case "c":
				err = s.cell(m, t)
			}
		case xml.EndElement:
			if t.Name.Local == "row" {
				err = s.end()
			}
		}
		if err != nil {
			return err
		}
	}
}

func (s *sheetReader) begin(t xml.StartElement) error {
	number := s.row + 1
	if r := attribute(t, "r"); r != "" {
		n, err := strconv.Atoi(r)
		if err != nil || n <= s.row || n > lastRow {
			return damaged("after row %d it names a row %s", s.row, quoted(r))
		}
		number = n
	}
	s.row, s.column, s.cells = number, 0, s.cells[:0]
	return nil
}

func (s *sheetReader) end() error {
	width := used(s.cells)
	if width == 0 {
		return nil
	}
	cells := s.builder.room(width)
	copy(cells, s.cells)
	return s.builder.add(s.row, cells)
}

// cell reads one cell. Empty ones count too, but take no place.
func (s *sheetReader) cell(m *markup, t xml.StartElement) error {
	if s.seen++; s.seen > s.limits.Cells {
		return tooLarge("the sheet has more than %d cells; delete empty rows and columns that were coloured, or divide the list", s.limits.Cells)
	}
	if s.row == 0 {
		return damaged("a cell stands outside of any row")
	}
	column, err := s.position(attribute(t, "r"))
	if err != nil {
		return err
	}
	s.column = column + 1
	c, err := s.content(m, t)
	if err != nil || c.Text == "" {
		return err
	}
	if column >= s.limits.Columns {
		return tooLarge("row %d has a value in column %s, beyond the %d columns that a list may have", s.row, columnName(column), s.limits.Columns)
	}
	for len(s.cells) < column {
		s.cells = append(s.cells, Cell{})
	}
	s.cells = append(s.cells, c)
	return nil
}

// position reads a cell's reference, such as B3; without one it follows the
// cell before it.
func (s *sheetReader) position(ref string) (int, error) {
	if ref == "" {
		return s.column, nil
	}
	column, i := 0, 0
	for ; i < len(ref) && ref[i] >= 'A' && ref[i] <= 'Z' && column <= lastColumn; i++ {
		column = column*26 + int(ref[i]-'A') + 1
	}
	if row, err := strconv.Atoi(ref[i:]); err != nil || row != s.row || column <= s.column || column > lastColumn {
		return 0, damaged("in row %d it names a cell %s", s.row, quoted(ref))
	}
	return column - 1, nil
}

// content reads what is inside a cell to its end.
func (s *sheetReader) content(m *markup, t xml.StartElement) (Cell, error) {
	kind, style := attribute(t, "t"), attribute(t, "s")
	value, inline, formula, has := "", "", "", false
	for outer := m.depth - 1; ; {
		token, err := m.next()
		if errors.Is(err, io.EOF) {
			err = damaged("its sheet breaks off in row %d", s.row)
		}
		if err != nil {
			return Cell{}, err
		}
		if _, ok := token.(xml.EndElement); ok && m.depth == outer {
			break
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch e.Name.Local {
		case "v":
			value, err = m.text(nil, s.limits.CellLength)
		case "is":
			inline, err = m.text(readingAid, s.limits.CellLength)
		case "f":
			has = true
			formula, err = s.formula(m, e)
		}
		if err != nil {
			return Cell{}, err
		}
	}
	if has {
		return Cell{Text: "=" + formula, Kind: Formula}, nil
	}
	return s.meant(kind, style, value, inline)
}

// formula returns a formula's text. Cells that share one show it as it stands
// in the first of them.
func (s *sheetReader) formula(m *markup, e xml.StartElement) (string, error) {
	text, err := m.text(nil, s.limits.CellLength)
	if err != nil || attribute(e, "t") != "shared" {
		return text, err
	}
	id := attribute(e, "si")
	if text == "" {
		return s.shared[id], nil
	}
	s.shared[id] = text
	return text, nil
}

// meant turns the stored value of a cell into what it means, by its type
// (ECMA-376 18.18.11) and its style.
func (s *sheetReader) meant(kind, style, value, inline string) (Cell, error) {
	switch kind {
	case "s":
		i, err := strconv.Atoi(strings.TrimSpace(value))
		if value == "" {
			return Cell{}, nil
		}
		if err != nil || i < 0 || i >= len(s.strings) {
			return Cell{}, damaged("column %s of row %d names a text that is not there", columnName(s.column-1), s.row)
		}
		return Cell{Text: s.strings[i]}, nil
	case "inlineStr":
		return Cell{Text: lineFeeds(unescaped(inline))}, nil
	case "str":
		return Cell{Text: lineFeeds(unescaped(value))}, nil
	case "b":
		if value == "" {
			return Cell{}, nil
		}
		return Cell{Text: map[bool]string{true: "TRUE", false: "FALSE"}[is(value)], Kind: Bool}, nil
	case "e":
		return Cell{Text: value, Kind: Fault}, nil
	case "d":
		return Cell{Text: strings.TrimSuffix(value, "T00:00:00"), Kind: Date}, nil
	case "", "n":
		return s.number(style, strings.TrimSpace(value))
	}
	return Cell{}, damaged("column %s of row %d is of an unknown type %s", columnName(s.column-1), s.row, quoted(kind))
}

func (s *sheetReader) number(style, value string) (Cell, error) {
	if value == "" {
		return Cell{}, nil
	}
	stored, text, ok := shortest(value)
	if !ok {
		return Cell{}, damaged("column %s of row %d says that it is a number and is %s", columnName(s.column-1), s.row, quoted(value))
	}
	f, err := s.format(style)
	if err != nil {
		return Cell{}, err
	}
	switch f {
	case percentFormat:
		return Cell{Text: text, Kind: Percent}, nil
	case dateFormat:
		if day, ok := moment(stored, s.years1904); ok {
			return Cell{Text: day, Kind: Date}, nil
		}
	}
	return Cell{Text: text, Kind: Number}, nil
}

func (s *sheetReader) format(style string) (format, error) {
	if style == "" || style == "0" && len(s.formats) == 0 {
		return plainFormat, nil
	}
	i, err := strconv.Atoi(style)
	if err != nil || i < 0 || i >= len(s.formats) {
		return 0, damaged("column %s of row %d names a style that is not there", columnName(s.column-1), s.row)
	}
	return s.formats[i], nil
}
