package paper

import (
	"strings"
	"time"

	"bareframe/internal/domain"
)

// Sheet is a document, described once and drawn twice: as print-ready HTML and
// as PDF. The JSON names stand in stored documents and never change.
type Sheet struct {
	Name     string    `json:"name"` // of the file, without its ending
	Title    string    `json:"title"`
	Language string    `json:"language"` // BCP 47, of the document's own words
	Author   string    `json:"author,omitempty"`
	Shop     string    `json:"shop"`
	Address  string    `json:"address,omitempty"`
	Date     time.Time `json:"date"`             // of the document; the PDF's creation date
	Letter   bool      `json:"letter,omitempty"` // on US Letter instead of A4
	Block    [][]Field `json:"block"`            // the title block, by rows of three columns
	Parts    []Part    `json:"parts"`
}

// Field is a cell of the title block. A wide one takes two columns.
type Field struct {
	Label string `json:"label"`
	Value string `json:"value"`
	Wide  bool   `json:"wide,omitempty"`
}

// Part is a stretch of a document, with a heading or without.
type Part struct {
	Heading string  `json:"heading,omitempty"`
	Blocks  []Block `json:"blocks"`
}

// Block is one thing on the paper; exactly one of its fields is set.
type Block struct {
	Text     *Text     `json:"text,omitempty"`
	Table    *Table    `json:"table,omitempty"`
	Plan     *Plan     `json:"plan,omitempty"`
	Pictures []Picture `json:"pictures,omitempty"`
	Sign     []string  `json:"sign,omitempty"` // who signs here, a line each
}

// Manner is how a paragraph is set.
type Manner string

// The manners of a paragraph.
const (
	Plain   Manner = ""
	Lead    Manner = "total"   // the sentence that carries the figures
	Ranged  Manner = "ranged"  // in a dashed box: not seen, not firm
	Caution Manner = "caution" // in a heavy box: can hurt somebody
	Quiet   Manner = "quiet"   // small
)

// Text is a paragraph of runs.
type Text struct {
	Manner Manner `json:"manner,omitempty"`
	Runs   []Run  `json:"runs"`
}

// Run is words in one weight.
type Run struct {
	Words  string `json:"words"`
	Strong bool   `json:"strong,omitempty"`
}

// Table has a head row unless all its heads are empty.
type Table struct {
	Name    string   `json:"name"`
	Columns []Column `json:"columns"`
	Rows    []Row    `json:"rows"`
}

// Column of a table. Numbers are set to the right and never wrapped while they
// fit. Room in millimetres makes a column to write in by hand.
type Column struct {
	Head   string  `json:"head,omitempty"`
	Number bool    `json:"number,omitempty"`
	Room   float64 `json:"room,omitempty"`
}

// Row of a table. A sum stays with the row above it.
type Row struct {
	Cells []Cell `json:"cells"`
	Sum   bool   `json:"sum,omitempty"`
}

// Cell of a row.
type Cell struct {
	Words  string `json:"words,omitempty"`
	Small  string `json:"small,omitempty"` // under it
	Strong bool   `json:"strong,omitempty"`
	Span   int    `json:"span,omitempty"` // columns, if more than one
	Box    Box    `json:"box,omitempty"`
}

// Box stands before a cell's words.
type Box string

// The boxes.
const (
	NoBox  Box = ""
	Open   Box = "open"
	Ticked Box = "ticked"
)

// Picture is a small JPEG with what it shows.
type Picture struct {
	JPEG    []byte `json:"jpeg"`
	Caption string `json:"caption"`
}

// sheetOf begins a document of a shop about a job.
func sheetOf(shop domain.Shop, name, title string, date time.Time) Sheet {
	locale := shop.Settings.Locale
	return Sheet{Name: name, Title: title, Language: "en", Shop: shop.Settings.Name, Address: shop.Settings.Address,
		Date: date.UTC().Truncate(time.Second), Letter: strings.HasSuffix(locale, "-US") || strings.HasSuffix(locale, "-CA")}
}

// part appends a part and returns it, good until the next one is appended.
func (s *Sheet) part(heading string) *Part {
	s.Parts = append(s.Parts, Part{Heading: heading})
	return &s.Parts[len(s.Parts)-1]
}

func (p *Part) say(manner Manner, runs ...Run) {
	if manner == Caution {
		runs = append([]Run{strong("Caution: ")}, runs...)
	}
	p.Blocks = append(p.Blocks, Block{Text: &Text{manner, runs}})
}

// lines appends a paragraph a line of a text; none for no text.
func (p *Part) lines(text string) {
	if text = strings.TrimSpace(text); text == "" {
		return
	}
	for line := range strings.SplitSeq(text, "\n") {
		p.say(Plain, plain(line))
	}
}

// table appends an empty table. The columns are the heads; one that begins with
// # is of numbers.
func (p *Part) table(name string, heads ...string) *Table {
	t := &Table{Name: name}
	for _, h := range heads {
		words, number := strings.CutPrefix(h, "#")
		t.Columns = append(t.Columns, Column{Head: words, Number: number})
	}
	p.Blocks = append(p.Blocks, Block{Table: t})
	return t
}

func (t *Table) row(words ...string) *Row {
	t.Rows = append(t.Rows, Row{})
	row := &t.Rows[len(t.Rows)-1]
	for _, w := range words {
		row.Cells = append(row.Cells, Cell{Words: w})
	}
	return row
}

// sum appends a total whose name takes all columns but the last.
func (t *Table) sum(name, amount string) {
	t.Rows = append(t.Rows, Row{Sum: true, Cells: []Cell{{Words: name, Span: len(t.Columns) - 1}, {Words: amount}}})
}

// headed reports whether the table has a head row.
func (t Table) headed() bool {
	for _, c := range t.Columns {
		if c.Head != "" {
			return true
		}
	}
	return false
}

func plain(words ...string) Run { return Run{Words: strings.Join(words, "")} }

func strong(words ...string) Run { return Run{Words: strings.Join(words, ""), Strong: true} }
