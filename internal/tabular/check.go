package tabular

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Check holds a table against the schema and names everything that is wrong
// with it: columns that are unknown, missing or there twice, and every cell that
// does not fit. With a problem in the head row no row is checked, because it
// would not be known against what. O(cells).
func (s Schema) Check(t Table) Checked {
	var out Checked
	at, absent := s.places(t, &out.Problems)
	out.Absent = absent
	if out.Problems.Count > 0 {
		return out
	}
	r := reading{points: s.pointStyle(t, at)}
	values := make([]Value, len(t.Rows)*len(s.Columns))
	out.Records = make([]Record, 0, len(t.Rows))
	for _, row := range t.Rows {
		before := out.Problems.Count
		record := Record{Row: row.Number, Values: values[:len(s.Columns):len(s.Columns)]}
		values = values[len(s.Columns):]
		for i := range s.Columns {
			c := &s.Columns[i]
			var cell Cell
			if at[i] >= 0 {
				cell = row.Cells[at[i]]
			}
			v, reason := r.value(c, cell)
			if reason != "" {
				out.Problems.Add(row.Number, c.Title, reason)
			}
			record.Values[i] = v
		}
		if out.Problems.Count == before {
			out.Records = append(out.Records, record)
		}
	}
	return out
}

// reading is how the cells of one table are to be understood.
type reading struct {
	// points is whether a lone point with three digits after it is a decimal
	// point. It is not certain where other cells or the delimiter point to a
	// decimal comma.
	points bool
}

// value reads a cell for a column; a reason says why it does not fit.
func (r reading) value(c *Column, cell Cell) (Value, string) {
	text := trimmed(cell.Text)
	if text == "" {
		if c.Required && cell.Kind != Formula {
			return Value{}, "a value is needed"
		}
		return Value{}, ""
	}
	if reason := wrongCell(c.Kind, cell.Kind, text); reason != "" {
		return Value{}, reason
	}
	switch c.Kind {
	case DecimalColumn:
		return r.decimal(c, cell.Kind, text)
	case IntegerColumn:
		return integer(c, text)
	case DateColumn:
		return day(text)
	case ChoiceColumn:
		return choice(c, text)
	}
	return free(c, text)
}

// wants are the words for what a column holds.
var wants = map[ColumnKind]string{TextColumn: "text", DecimalColumn: "a number", DateColumn: "a day",
	IntegerColumn: "a whole number", ChoiceColumn: "one of the choices"}

// wrongCell refuses cells whose kind cannot be what the column holds.
func wrongCell(column ColumnKind, cell CellKind, text string) string {
	numeric := column == DecimalColumn || column == IntegerColumn
	switch {
	case cell == Formula, cell == Text && text[0] == '=' && column != TextColumn:
		return fmt.Sprintf("a formula stands here (%s), not %s; put its value there", shown(text), wants[column])
	case cell == Fault:
		return fmt.Sprintf("the fault %s stands here, not %s", shown(text), wants[column])
	case cell == Percent, numeric && strings.HasSuffix(text, "%"):
		return fmt.Sprintf("a percentage stands here, not %s; write 19 for 19 %%, in a cell without percent format", wants[column])
	case cell == Date && column != DateColumn:
		return fmt.Sprintf("a date or time stands here (%s), not %s; spreadsheet programs make dates of entries such as 3-5: set the cell to text and write it again", shown(text), wants[column])
	case cell == Number && column == DateColumn:
		return "a number stands here, not a day; write the day as year-month-day, such as 2031-12-31"
	case cell == Number && wholeDigits(text) > significant:
		return "spreadsheet programs keep only 15 digits of a number; set the cell to text and write it again"
	case cell == Bool && numeric:
		return fmt.Sprintf("%s stands here, not %s", text, wants[column])
	}
	return ""
}

func wholeDigits(text string) int {
	whole, _, _ := strings.Cut(strings.TrimPrefix(text, "-"), ".")
	return len(whole)
}

func integer(c *Column, text string) (Value, string) {
	digits := strings.TrimPrefix(text, "-")
	if digits == "" || strings.Trim(digits, "0123456789") != "" {
		return Value{}, shown(text) + " is not a whole number; write digits only"
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || len(strings.TrimLeft(digits, "0")) > significant {
		return Value{}, "the number has more than 15 digits"
	}
	if c.NotNegative && n < 0 {
		return Value{}, "the number cannot be negative"
	}
	return IntegerValue(n), ""
}

func day(text string) (Value, string) {
	if t, err := time.Parse(time.DateOnly, text); err == nil && t.Year() > 0 {
		return DayValue(text), ""
	}
	if strings.Contains(text, "T") && strings.Contains(text, ":") {
		return Value{}, "a time of day stands here (" + shown(text) + "); write the day alone"
	}
	if len(text) == len(time.DateOnly) && text[4] == '-' && text[7] == '-' {
		return Value{}, shown(text) + " is no day of the calendar"
	}
	return Value{}, shown(text) + " is not a day as year-month-day, such as 2031-12-31; other ways of writing it can be read in two ways"
}

func choice(c *Column, text string) (Value, string) {
	for _, known := range c.Choices {
		if strings.EqualFold(known, text) {
			return ChoiceValue(known), ""
		}
	}
	return Value{}, shown(text) + " is not one of " + strings.Join(c.Choices, ", ")
}

// free reads text: what cannot be seen is refused, because it comes from a file
// gone wrong and never from a keyboard.
func free(c *Column, text string) (Value, string) {
	for _, r := range text {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return Value{}, fmt.Sprintf("a character that cannot be seen stands here (U+%04X); write the text again", r)
		}
		if r == utf8.RuneError {
			return Value{}, "a character was lost here before the file was sent (U+FFFD); write the text again"
		}
	}
	if c.MaxLength > 0 && utf8.RuneCountInString(text) > c.MaxLength {
		return Value{}, fmt.Sprintf("the text has %d characters; use at most %d", utf8.RuneCountInString(text), c.MaxLength)
	}
	return TextValue(text), ""
}
