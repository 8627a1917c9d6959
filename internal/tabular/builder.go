package tabular

import (
	"fmt"
	"strings"
)

// builder makes a table of rows that come one after the other.
type builder struct {
	limits Limits
	table  Table
	cells  int
	ragged Problems
	stock  []Cell // room for cells, given out in pieces
}

// room returns n empty cells.
func (b *builder) room(n int) []Cell {
	if len(b.stock) < n {
		b.stock = make([]Cell, max(n, 4096))
	}
	out := b.stock[:n:n]
	b.stock = b.stock[n:]
	return out
}

// add takes a row; the first that is not empty is the head row.
func (b *builder) add(number int, cells []Cell) error {
	width := used(cells)
	if width == 0 {
		return nil
	}
	if err := b.bounded(number, cells[:width]); err != nil {
		return err
	}
	if b.table.Head == nil {
		b.head(number, cells[:width])
		return nil
	}
	want := len(b.table.Head)
	switch {
	case width > want:
		b.ragged.Add(number, columnName(want), fmt.Sprintf("stands beyond the %d columns of the head row: %s", want, quoted(cells[want].Text)))
		return nil
	case len(cells) < want && b.table.Format == CSV:
		b.ragged.Add(number, "", fmt.Sprintf("has %d cells and the head row %d", len(cells), want))
		return nil
	case len(cells) < want:
		cells = append(b.room(want)[:0], cells...)[:want]
	}
	b.table.Rows = append(b.table.Rows, Row{Number: number, Cells: cells[:want:want]})
	return nil
}

// used is the number of cells up to the last that is not blank.
func used(cells []Cell) int {
	n := len(cells)
	for n > 0 && strings.TrimSpace(cells[n-1].Text) == "" {
		n--
	}
	return n
}

func (b *builder) bounded(number int, cells []Cell) error {
	if b.cells += len(cells); b.cells > b.limits.Cells {
		return tooLarge("the file has more than %d cells; divide the list", b.limits.Cells)
	}
	if number > b.limits.Rows {
		return tooLarge("the file has more than %d rows; divide the list", b.limits.Rows)
	}
	if len(cells) > b.limits.Columns {
		return tooLarge("row %d has more than %d columns", number, b.limits.Columns)
	}
	for i := range cells {
		if len(cells[i].Text) > b.limits.CellLength {
			return tooLarge("row %d, column %s: the cell has more than %d bytes", number, columnName(i), b.limits.CellLength)
		}
	}
	return nil
}

func (b *builder) head(number int, cells []Cell) {
	b.table.HeadRow, b.table.Head = number, make([]string, len(cells))
	for i := range cells {
		b.table.Head[i] = strings.Join(strings.Fields(cells[i].Text), " ")
	}
}

// finish refuses a table without a head row or with ragged rows.
func (b *builder) finish() (Table, error) {
	if b.table.Head == nil {
		return Table{}, invalid("table-empty", "the file has no row with anything in it")
	}
	if b.ragged.Count > 0 {
		first := b.ragged.List[0]
		where := ""
		if first.Column != "" {
			where = ", column " + first.Column + ","
		}
		return Table{}, invalid("table-ragged", "row %d%s %s; %s. A cell that holds the delimiter needs quotation marks around it",
			first.Row, where, first.Reason, others(b.ragged)).With(b.ragged)
	}
	return b.table, nil
}

// others names the rows after the first.
func others(p Problems) string {
	if p.Count == 1 {
		return "it is the only such row"
	}
	var rows []string
	for _, problem := range p.List[1:min(len(p.List), 11)] {
		rows = append(rows, fmt.Sprint(problem.Row))
	}
	text := "so are rows " + strings.Join(rows, ", ")
	if p.Count > 11 {
		text += fmt.Sprintf(" and %d more", p.Count-11)
	}
	return text
}
