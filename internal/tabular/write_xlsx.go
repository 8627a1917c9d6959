package tabular

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// fixedTime stands in the properties of every workbook, so that equal records
// give equal bytes.
const fixedTime = "2000-01-01T00:00:00Z"

// Widths of a column in characters.
const (
	narrowest = 8
	widest    = 60
)

// WriteXLSX writes records as a workbook with one sheet: a styled head row that
// stays in place, columns as wide as what they hold, days as days, numbers as
// numbers where 15 digits hold them and else as text, and text as text, in cells
// set to text so that a program does not make dates of part numbers. Errors are
// those of WriteCSV. Equal records give equal bytes. O(cells).
func WriteXLSX(w io.Writer, s Schema, records []Record) error {
	if err := writable(s, records); err != nil {
		return err
	}
	f := excelize.NewFile()
	defer f.Close()
	name := sheetName(s.Name)
	if err := f.SetSheetName("Sheet1", name); err != nil {
		return fmt.Errorf("naming a sheet: %w", err)
	}
	if err := f.SetDocProps(&excelize.DocProperties{Created: fixedTime, Modified: fixedTime}); err != nil {
		return fmt.Errorf("writing a workbook: %w", err)
	}
	if err := fill(f, name, s, records); err != nil {
		return fmt.Errorf("writing a workbook: %w", err)
	}
	return f.Write(w)
}

// sheetName makes a sheet's name: without the signs that it cannot hold and at
// most 31 characters long (ECMA-376 18.2.19 and common practice).
func sheetName(name string) string {
	name = strings.Trim(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`[]:*?/\`, r) || r < ' ' {
			return ' '
		}
		return r
	}, name), "' ")
	if letters := []rune(name); len(letters) > 31 {
		name = strings.TrimSpace(string(letters[:31]))
	}
	if name == "" {
		return "List"
	}
	return name
}

// styles are the cell styles of a workbook.
type styles struct{ head, text, day int }

func newStyles(f *excelize.File) (s styles, err error) {
	iso := "yyyy-mm-dd"
	for _, each := range []struct {
		to    *int
		style excelize.Style
	}{
		{&s.head, excelize.Style{NumFmt: 49, Font: &excelize.Font{Bold: true}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"E8E4DC"}},
			Alignment: &excelize.Alignment{Vertical: "top", WrapText: true}, Border: []excelize.Border{{Type: "bottom", Color: "555555", Style: 1}}}},
		{&s.text, excelize.Style{NumFmt: 49}},
		{&s.day, excelize.Style{CustomNumFmt: &iso}},
	} {
		if *each.to, err = f.NewStyle(&each.style); err != nil {
			return s, err
		}
	}
	return s, nil
}

// fill writes the sheet row by row.
func fill(f *excelize.File, name string, s Schema, records []Record) error {
	look, err := newStyles(f)
	if err != nil {
		return err
	}
	if err := offerChoices(f, name, s); err != nil {
		return err
	}
	sw, err := f.NewStreamWriter(name)
	if err != nil {
		return err
	}
	for i, width := range widths(s, records) {
		if err := sw.SetColWidth(i+1, i+1, width); err != nil {
			return err
		}
	}
	if err := sw.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	cells := make([]any, len(s.Columns))
	for i, c := range s.Columns {
		cells[i] = excelize.Cell{StyleID: look.head, Value: c.Title}
	}
	if err := sw.SetRow("A1", cells); err != nil {
		return err
	}
	for i, r := range records {
		for j, v := range r.Values {
			cells[j] = look.cell(s.Columns[j].Kind, v)
		}
		if err := sw.SetRow("A"+strconv.Itoa(i+2), cells); err != nil {
			return err
		}
	}
	return sw.Flush()
}

// longestList is how long the text of a list of choices may be (common
// practice of spreadsheet programs).
const longestList = 255

// offerChoices gives the cells of choice columns a list to choose from, where
// the choices fit into one. Typing something else stays possible; reading says so.
func offerChoices(f *excelize.File, name string, s Schema) error {
	for i, c := range s.Columns {
		list := strings.Join(c.Choices, ",")
		if c.Kind != ChoiceColumn || list == "" || len(list) > longestList || strings.Count(list, ",") != len(c.Choices)-1 || strings.Contains(list, `"`) {
			continue
		}
		offer := excelize.NewDataValidation(true)
		offer.Sqref = fmt.Sprintf("%s2:%s%d", columnName(i), columnName(i), lastRow)
		if err := offer.SetDropList(c.Choices); err != nil {
			return err
		}
		if err := f.AddDataValidation(name, offer); err != nil {
			return err
		}
	}
	return nil
}

// cell is a value as a typed cell; nil leaves the cell out.
func (s styles) cell(kind ColumnKind, v Value) any {
	if !v.Given {
		return nil
	}
	switch kind {
	case DecimalColumn:
		if number, ok := double(v.Text); ok {
			return number
		}
	case IntegerColumn:
		if number, ok := double(v.Text); ok {
			return number
		}
	case DateColumn:
		if serial, ok := serialOf(v.Text); ok {
			return excelize.Cell{StyleID: s.day, Value: serial}
		}
	}
	return excelize.Cell{StyleID: s.text, Value: v.Text}
}

// double returns a plain decimal as a double where it comes back the same.
func double(text string) (float64, bool) {
	stored, back, ok := shortest(text)
	return stored, ok && back == text
}

// widths are the columns' widths: that of their longest line among the first
// 1,000 rows, within bounds.
func widths(s Schema, records []Record) []float64 {
	out := make([]float64, len(s.Columns))
	for i, c := range s.Columns {
		longest := utf8.RuneCountInString(c.Title)
		for _, r := range records[:min(len(records), 1000)] {
			line, _, _ := strings.Cut(r.Values[i].Text, "\n")
			longest = max(longest, utf8.RuneCountInString(line))
		}
		out[i] = float64(min(max(longest+2, narrowest), widest))
	}
	return out
}
