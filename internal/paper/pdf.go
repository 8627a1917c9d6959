package paper

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"codeberg.org/go-pdf/fpdf"
	"github.com/go-fonts/liberation/liberationsansbold"
	"github.com/go-fonts/liberation/liberationsansregular"
)

// Paper and its frame in millimetres: a filing edge of 20 and borders of 10 (ISO
// 5457:1999, 4.2), the title block along the lower edge.
const (
	a4Width, a4Height         = 210.0, 297.0
	letterWidth, letterHeight = 215.9, 279.4
	filingEdge, border        = 20.0, 10.0
	inside                    = 4.0
	blockRow                  = 7.0
	blockWidth                = 114.0
)

// geometry of a sheet.
type geometry struct{ width, height, band float64 }

func (s Sheet) geometry() geometry {
	g := geometry{a4Width, a4Height, blockRow * float64(len(s.Block)+1)}
	if s.Letter {
		g.width, g.height = letterWidth, letterHeight
	}
	return g
}

// body returns the room of the text.
func (g geometry) body() (width, height float64) {
	return g.width - filingEdge - border - 2*inside, g.height - 2*border - g.band - inside - 3
}

// PDF draws a document. With the hash of the HTML that was issued every page
// names it. The same sheet and hash always give the same bytes. Fonts are
// embedded, reduced to what is used.
func PDF(s Sheet, hash string) ([]byte, error) {
	g := s.geometry()
	bodies := s.bodies(g)
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: g.width, Ht: g.height}})
	f.SetCreationDate(s.Date)
	f.SetModificationDate(s.Date)
	f.SetCatalogSort(true)
	f.SetTitle(showable(s.Title+" · "+s.Shop), true)
	f.SetAuthor(showable(author(s)), true)
	f.SetSubject(showable(s.Name), true)
	f.SetProducer("bareframe", true)
	f.SetLang(s.Language)
	f.SetAutoPageBreak(false, 0)
	f.AddUTF8FontFromBytes("sheet", "", liberationsansregular.TTF)
	f.AddUTF8FontFromBytes("sheet", "B", liberationsansbold.TTF)
	d := drawer{f: f}
	for i, body := range bodies {
		f.AddPage()
		k := s.frame(g, hash, i+1, len(bodies))
		k.add(body, point{filingEdge + inside, border + inside})
		d.draw(k)
	}
	var out bytes.Buffer
	if err := f.Output(&out); err != nil {
		return nil, fmt.Errorf("writing %s as PDF: %w", s.Name, err)
	}
	return out.Bytes(), nil
}

func author(s Sheet) string {
	if s.Author == "" {
		return s.Shop
	}
	return s.Author + ", " + s.Shop
}

// bodies lays the document out by pages.
func (s Sheet) bodies(g geometry) []ink {
	width, height := g.body()
	all := s.head(width)
	for i, p := range s.Parts {
		if i > 0 && i == len(s.Parts)-1 && p.Heading == "" {
			all[len(all)-1].keep = true // closing words do not stand alone
		}
		all = append(all, p.pieces(width)...)
	}
	if hasMissing(all) {
		note := Text{Quiet, []Run{plain(string(missing) + " stands for a character that this print cannot show; the document on the screen shows it.")}}
		all = append(all, note.pieces(width)...)
	}
	return pages(divided(all, height), height)
}

func hasMissing(all []piece) bool {
	for _, p := range all {
		for _, l := range p.ink.labels {
			if strings.ContainsRune(l.words, missing) {
				return true
			}
		}
	}
	return false
}

// head is the shop's name and address and the document's name.
func (s Sheet) head(width float64) []piece {
	var out []piece
	add := func(words string, size, above float64, bold bool) {
		for i, l := range wrap([]Run{{words, bold}}, size, width) {
			p := piece{height: lineHeight(size), keep: true}
			if i == 0 {
				p.above = above
			}
			p.ink.write(l, 0, size*pointMM*ascent, size)
			out = append(out, p)
		}
	}
	add(s.Shop, leadSize, 0, true)
	if s.Address != "" {
		add(s.Address, smallSize+.5, 0, false)
	}
	rule := piece{height: 1.6, keep: true}
	rule.ink.line(point{0, 1.4}, point{width, 1.4}, thin, continuous)
	out = append(out, rule)
	add(s.Title, titleSize, 4, true)
	return out
}

// frame draws border and title block of one page.
func (s Sheet) frame(g geometry, hash string, n, of int) ink {
	var k ink
	right, foot := g.width-border, g.height-border
	top, left := foot-g.band, right-blockWidth
	k.rect(filingEdge, border, right-filingEdge, foot-border, thick, continuous)
	k.line(point{filingEdge, top}, point{right, top}, thick, continuous)
	k.line(point{left, top}, point{left, foot}, thick, continuous)
	rows := append(append([][]Field{}, s.Block...), []Field{{Label: "Document", Value: s.Title, Wide: true}, {Label: "Sheet", Value: fmt.Sprintf("%d of %d", n, of)}})
	const third = blockWidth / 3
	for i, row := range rows {
		x, y := left, top+float64(i)*blockRow
		if i > 0 {
			k.line(point{left, y}, point{right, y}, hair, continuous)
		}
		for j, f := range row {
			w := third
			if f.Wide {
				w *= 2
			}
			if j > 0 {
				k.line(point{x, y}, point{x, y + blockRow}, hair, continuous)
			}
			k.field(f, x+1.2, y, w-2.4)
			x += w
		}
	}
	k.beside(s, hash, filingEdge+2, top, left-filingEdge-4)
	return k
}

// field writes a label over a value, which is made smaller and at last cut to
// fit; what is cut stands in full in the text.
func (k *ink) field(f Field, x, y, width float64) {
	k.text(x, y+2.4, 5.5, false, inOneLine(f.Label))
	value, size := inOneLine(f.Value), 8.5
	for size > 6 && wide(value, size, true) > width {
		size -= .5
	}
	if wide(value, size, true) > width {
		runes := []rune(value)
		for len(runes) > 0 && wide(string(runes)+"…", size, true) > width {
			runes = runes[:len(runes)-1]
		}
		value = string(runes) + "…"
	}
	k.text(x, y+5.85, size, true, value)
}

// beside writes the shop and what the PDF goes with, left of the title block.
func (k *ink) beside(s Sheet, hash string, x, top, width float64) {
	y := top + 1.2
	write := func(words string, size float64, bold bool, most int) {
		for i, l := range wrap([]Run{{words, bold}}, size, width) {
			if i == most {
				break
			}
			k.write(l, x, y+size*pointMM*ascent, size)
			y += lineHeight(size)
		}
	}
	write(s.Shop, 8, true, 2)
	if hash != "" {
		y += .6
		write("This PDF goes with the document whose exact text is kept under SHA-256 "+hash+". That text is what a decision is on.", 5.8, false, 6)
	}
}

// drawer puts ink on the pages of a PDF.
type drawer struct {
	f      *fpdf.Fpdf
	strips int
}

func (d *drawer) draw(k ink) {
	for _, s := range k.strokes {
		d.stroke(s)
	}
	for _, l := range k.labels {
		style := ""
		if l.strong {
			style = "B"
		}
		d.f.SetFont("sheet", style, l.size)
		d.f.Text(l.at.x, l.at.y, l.words)
	}
	for _, s := range k.strips {
		d.strip(s)
	}
}

func (d *drawer) stroke(s stroke) {
	d.f.SetLineWidth(s.weight)
	d.f.SetDashPattern(s.dash.lengths(), 0)
	style := "D"
	switch s.fill {
	case paperInk:
		d.f.SetFillColor(255, 255, 255)
		style = "FD"
	case blackInk:
		d.f.SetFillColor(0, 0, 0)
		style = "FD"
	}
	if s.closed {
		points := make([]fpdf.PointType, len(s.at))
		for i, p := range s.at {
			points[i] = fpdf.PointType{X: p.x, Y: p.y}
		}
		d.f.Polygon(points, style)
		return
	}
	for i := 1; i < len(s.at); i++ {
		d.f.Line(s.at[i-1].x, s.at[i-1].y, s.at[i].x, s.at[i].y)
	}
}

// lengths are the dashes and gaps in millimetres.
func (d dash) lengths() []float64 {
	var out []float64
	for part := range strings.FieldsSeq(string(d)) {
		v, _ := strconv.ParseFloat(part, 64) // the kinds are constants
		out = append(out, v)
	}
	return out
}

// strip draws a row of pictures.
func (d *drawer) strip(s placedStrip) {
	d.strips++
	width := stripCells*(cellWidth+cellGap) - cellGap + d.strips
	data, err := s.strip.encode(width)
	if err != nil {
		d.f.SetError(err)
		return
	}
	name, o := fmt.Sprint("strip", d.strips), fpdf.ImageOptions{ImageType: "JPEG"}
	d.f.RegisterImageOptionsReader(name, o, bytes.NewReader(data))
	scale := s.height / cellHeight
	d.f.ClipRect(s.at.x, s.at.y, float64(s.strip.width())*scale, s.height, false)
	d.f.ImageOptions(name, s.at.x, s.at.y, float64(width)*scale, s.height, false, o, 0, "")
	d.f.ClipEnd()
}
