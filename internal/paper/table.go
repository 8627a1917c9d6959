package paper

// Distances inside tables, in millimetres.
const (
	rowInside  = 0.9
	columnGap  = 4.0
	boxSide    = 3.0
	boxGap     = 1.4
	shortTable = 6 // rows that stay on one page with their heading
)

// pieces lays out a table a row a piece. The head row stands again after a page
// break, a sum stays with the row above it, and neither the first nor the last
// row of a longer table stands alone.
func (t Table) pieces(heading string, width float64) []piece {
	columns := t.widths(width)
	var head, again []piece
	if heading != "" {
		c := piece{height: lineHeight(smallSize) + .6, keep: true}
		for i, l := range wrap([]Run{plain(heading + ", continued")}, smallSize, width) {
			c.ink.write(l, 0, smallSize*pointMM*ascent+float64(i)*lineHeight(smallSize), smallSize)
			c.height = float64(i+1)*lineHeight(smallSize) + .6
		}
		again = append(again, c)
	}
	if t.headed() {
		row := Row{}
		for _, c := range t.Columns {
			row.Cells = append(row.Cells, Cell{Words: c.Head, Strong: true})
		}
		p := t.set(row, columns, smallSize)
		p.keep, p.above = true, 1.5
		p.ink.line(point{0, p.height}, point{width, p.height}, thin, continuous)
		head = append(head, p)
		again = append(again, p)
	}
	out := head
	for i, r := range t.Rows {
		p := t.set(r, columns, tableSize)
		p.height = max(p.height, t.handHeight())
		p.again = again
		if r.Sum {
			p.ink.line(point{0, 0}, point{width, 0}, thick, continuous)
		} else if i == len(t.Rows)-1 || !t.Rows[i+1].Sum {
			p.ink.line(point{0, p.height}, point{width, p.height}, hair, continuous)
		}
		next, last := i+1, len(t.Rows)-1
		p.keep = i < last && (len(t.Rows) <= shortTable || i == 0 || next == last || t.Rows[next].Sum)
		if i == 0 && len(head) == 0 {
			p.above = 1
		}
		out = append(out, p)
	}
	return out
}

// handHeight is what a row needs in which somebody writes.
func (t Table) handHeight() float64 {
	for _, c := range t.Columns {
		if c.Room > 0 {
			return 9
		}
	}
	return 0
}

// set sets the cells of a row, each in its column.
func (t Table) set(r Row, columns []float64, size float64) piece {
	p := piece{}
	starts := make([]float64, len(columns)+1)
	for i, w := range columns {
		starts[i+1] = starts[i] + w
	}
	for _, c := range placed(r, t.Columns) {
		x, end := starts[c.Column], starts[c.Column+c.Span]
		if c.Column+c.Span < len(columns) {
			end -= columnGap
		}
		p.height = max(p.height, p.cell(c, x, end, size, r.Sum))
	}
	return p
}

// cell writes a cell and returns the height that it takes.
func (p *piece) cell(c placedCell, x, end, size float64, sum bool) float64 {
	y, indent := rowInside, 0.0
	if c.Box != NoBox {
		p.tick(x, y+.2, c.Box)
		indent = boxSide + boxGap
	}
	write := func(runs []Run, size float64) {
		for _, l := range wrap(runs, size, end-x-indent) {
			at := x + indent
			if c.Number {
				at = end - l.width()
			}
			p.ink.write(l, at, y+size*pointMM*ascent, size)
			y += lineHeight(size)
		}
	}
	write([]Run{{c.Words, c.Strong || sum}}, size)
	if c.Small != "" {
		write([]Run{plain(c.Small)}, smallSize)
	}
	return y + rowInside
}

// tick draws a box, crossed where it is ticked.
func (p *piece) tick(x, y float64, b Box) {
	p.ink.rect(x, y, boxSide, boxSide, thin, continuous)
	if b == Ticked {
		p.ink.line(point{x + .5, y + .5}, point{x + boxSide - .5, y + boxSide - .5}, thick, continuous)
		p.ink.line(point{x + .5, y + boxSide - .5}, point{x + boxSide - .5, y + .5}, thick, continuous)
	}
}

// widths divides the width among the columns, the gap after each included. All
// get what they need unbroken, the widest column of words also what is over. Where
// that is too much, numbers keep theirs and columns of words share what is left
// by what they need, none narrower than its longest word while that is possible.
func (t Table) widths(width float64) []float64 {
	least, want := make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
	t.needs(least, want)
	var total, numbers, wordsLeast, wordsWant float64
	widest := -1
	for i, c := range t.Columns {
		if i < len(t.Columns)-1 {
			least[i], want[i] = least[i]+columnGap, want[i]+columnGap
		}
		total += want[i]
		if c.Number {
			numbers += want[i]
			continue
		}
		if c.Room == 0 && (widest < 0 || want[i] > want[widest]) {
			widest = i
		}
		wordsLeast, wordsWant = wordsLeast+least[i], wordsWant+want[i]
	}
	switch {
	case total <= width:
		want[max(widest, 0)] += width - total
	case numbers+wordsLeast <= width:
		share := (width - numbers - wordsLeast) / max(wordsWant-wordsLeast, 1e-9)
		for i, c := range t.Columns {
			if !c.Number {
				want[i] = least[i] + share*(want[i]-least[i])
			}
		}
	default: // what cannot be: everything is broken
		for i := range want {
			want[i] = width / float64(len(want))
		}
	}
	return want
}

// needs measures the columns. What spans columns is left out: it is wrapped.
func (t Table) needs(least, want []float64) {
	measure := func(c placedCell, size float64, sum bool) {
		if c.Span > 1 {
			return
		}
		word, whole := longest([]Run{{c.Words, c.Strong || sum}}, size)
		w2, all2 := longest([]Run{plain(c.Small)}, smallSize)
		indent := 0.0
		if c.Box != NoBox {
			indent = boxSide + boxGap
		}
		least[c.Column] = max(least[c.Column], word+indent, min(w2, 40)+indent)
		want[c.Column] = max(want[c.Column], whole+indent, min(all2, 140)+indent)
	}
	for i, c := range t.Columns {
		least[i], want[i] = c.Room, c.Room
		measure(placedCell{Cell: Cell{Words: c.Head, Strong: true}, Column: i}, smallSize, false)
	}
	for _, r := range t.Rows {
		for _, c := range placed(r, t.Columns) {
			measure(c, tableSize, r.Sum)
		}
	}
}
