package tabular

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// ColumnKind says what the cells of a column hold.
type ColumnKind uint8

// The kinds of column.
const (
	TextColumn ColumnKind = iota
	DecimalColumn
	DateColumn    // a day, ISO 8601
	IntegerColumn // up to 15 digits
	ChoiceColumn  // one of Choices, in any case of its letters
)

// The digits of a decimal column that sets none.
const (
	defaultInteger = 12
	defaultPlaces  = 6
)

// Column describes a column.
type Column struct {
	Key      string // stable, for programs; a file may use it as title
	Title    string
	Kind     ColumnKind
	Required bool // the column must be there, and every cell filled
	// MaxLength bounds text, in characters; 0 is no bound but that of the file.
	MaxLength   int
	Choices     []string // of a choice column
	MaxInteger  int32    // digits before the point of a decimal; 0 is 12
	MaxPlaces   int32    // digits after the point of a decimal; 0 is 6
	NotNegative bool     // of a decimal or an integer
}

// Schema describes a table; its columns may come in any order in a file.
type Schema struct {
	Name    string // of the list, and of its sheet
	Columns []Column
}

// Column returns the place of a column in Records, -1 when there is none.
func (s Schema) Column(key string) int {
	return slices.IndexFunc(s.Columns, func(c Column) bool { return c.Key == key })
}

// Value is a typed cell; the zero value is an empty cell.
type Value struct {
	Given   bool
	Text    string          // of every kind, as it is written into CSV
	Decimal decimal.Decimal // of a decimal
	Integer int64           // of an integer
}

// TextValue, ChoiceValue, DayValue, DecimalValue and IntegerValue make values
// for writing. Blank text and an empty day are an empty cell.
func TextValue(text string) Value {
	text = trimmed(lineFeeds(text))
	return Value{Given: text != "", Text: text}
}

// ChoiceValue makes a choice.
func ChoiceValue(choice string) Value { return TextValue(choice) }

// DayValue makes a day written as ISO 8601: 2031-12-31.
func DayValue(day string) Value { return Value{Given: day != "", Text: day} }

// DecimalValue makes a decimal.
func DecimalValue(d decimal.Decimal) Value {
	return Value{Given: true, Text: d.String(), Decimal: d}
}

// IntegerValue makes a whole number.
func IntegerValue(n int64) Value {
	return Value{Given: true, Text: strconv.FormatInt(n, 10), Integer: n}
}

// Record is a row with typed values, one for each column of the schema.
type Record struct {
	Row    int // of the file it was read from
	Values []Value
}

// Checked is a table held against a schema.
type Checked struct {
	Records []Record // the rows without a problem
	// Absent are the keys of columns that are not required and not in the file.
	Absent   []string
	Problems Problems
}

// trimmed takes blanks off both ends, no-break spaces and byte order marks too.
func trimmed(text string) string {
	return strings.TrimFunc(text, func(r rune) bool { return r == '\uFEFF' || isSpace(r) })
}

// places are where the columns of a schema stand in a table; -1 is not at all.
func (s Schema) places(t Table, p *Problems) (at []int, absent []string) {
	at = make([]int, len(s.Columns))
	known := make([]bool, len(t.Head))
	for i, c := range s.Columns {
		at[i] = -1
		for j, title := range t.Head {
			if !named(title, c) {
				continue
			}
			if known[j] = true; at[i] >= 0 {
				p.Add(t.HeadRow, c.Title, fmt.Sprintf("the column is there twice, in %s and %s", columnName(at[i]), columnName(j)))
				continue
			}
			at[i] = j
		}
		if at[i] < 0 && c.Required {
			p.Add(t.HeadRow, c.Title, "the column is missing")
		} else if at[i] < 0 {
			absent = append(absent, c.Key)
		}
	}
	for j, title := range t.Head {
		switch {
		case known[j]:
		case title == "" && t.blank(j):
		case title == "":
			p.Add(t.HeadRow, columnName(j), "the column has no title")
		default:
			p.Add(t.HeadRow, shown(title), "this column is not known; the columns are "+s.titles())
		}
	}
	return at, absent
}

// blank reports whether a column has nothing in any row.
func (t Table) blank(column int) bool {
	return !slices.ContainsFunc(t.Rows, func(r Row) bool { return trimmed(r.Cells[column].Text) != "" })
}

// named reports whether a title is that of a column, in any case of its letters.
func named(title string, c Column) bool {
	return strings.EqualFold(title, c.Title) || strings.EqualFold(title, c.Key)
}

func (s Schema) titles() string {
	titles := make([]string, len(s.Columns))
	for i, c := range s.Columns {
		titles[i] = c.Title
	}
	return strings.Join(titles, ", ")
}

// shown is text of a file without quotation marks around it.
func shown(text string) string {
	text = quoted(text)
	return text[1 : len(text)-1]
}
