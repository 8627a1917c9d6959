package paper

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"bareframe/internal/money"
)

// look is how a cell is shown.
type look uint8

const (
	lookPlain  look = iota
	lookTitle       // of a sheet
	lookHead        // of a column
	lookText        // text, in a cell set to text
	lookInput       // a figure that may be changed
	lookMoney       // a formula's amount
	lookSum         // an amount that matters
	lookFigure      // a formula's other figure
	lookNote
	looks // how many there are
)

// cell is one cell of a sheet: a text, or a figure, with a formula or without.
type cell struct {
	look    look
	text    string
	figure  string // plain decimal; "" is none
	formula string
}

// sheet is a sheet on its way.
type sheet struct {
	name   string
	widths []float64
	frozen int // rows that stay in place
	rows   [][]cell
}

// add adds a row and returns its number.
func (s *sheet) add(cells ...cell) int {
	s.rows = append(s.rows, cells)
	return len(s.rows)
}

func titleCell(text string) cell { return cell{look: lookTitle, text: text} }
func textCell(t string) cell     { return cell{look: lookText, text: t} }
func asideCell(t string) cell    { return cell{look: lookNote, text: t} }
func inputCell(figure string) cell {
	return cell{look: lookInput, figure: figure}
}
func sumCell(formula string, a money.Amount) cell {
	return cell{look: lookSum, figure: a.String(), formula: formula}
}
func amountCell(formula string, a money.Amount) cell {
	return cell{look: lookMoney, figure: a.String(), formula: formula}
}
func figureCell(formula, value string) cell {
	return cell{look: lookFigure, figure: value, formula: formula}
}

func headCells(titles ...string) []cell {
	cells := make([]cell, len(titles))
	for i, t := range titles {
		cells[i] = cell{look: lookHead, text: t}
	}
	return cells
}

// letters names a column, counted from 0; no sheet here has more than 26.
func letters(i int) string { return string(rune('A' + i)) }

// write writes the sheets in their order.
func (b *book) write(sheets ...sheet) ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return &sortedZip{out: w} })
	if err := b.fill(f, sheets); err != nil {
		return nil, fmt.Errorf("writing a workbook: %w", err)
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, fmt.Errorf("writing a workbook: %w", err)
	}
	return out.Bytes(), nil
}

func (b *book) fill(f *excelize.File, sheets []sheet) error {
	fixed := "2000-01-01T00:00:00Z" // equal data give equal bytes
	if err := f.SetDocProps(&excelize.DocProperties{Created: fixed, Modified: fixed}); err != nil {
		return err
	}
	styles, err := b.styles(f)
	if err != nil {
		return err
	}
	for i, s := range sheets {
		if i == 0 {
			err = f.SetSheetName("Sheet1", s.name)
		} else {
			_, err = f.NewSheet(s.name)
		}
		if err != nil {
			return err
		}
		if err := stream(f, s, styles); err != nil {
			return err
		}
	}
	return nil
}

// stream writes a sheet; printed, it is as wide as the page.
func stream(f *excelize.File, s sheet, styles [looks]int) error {
	across, wide, high, fit := "landscape", 1, 0, true
	if err := f.SetPageLayout(s.name, &excelize.PageLayoutOptions{Orientation: &across, FitToWidth: &wide, FitToHeight: &high}); err != nil {
		return err
	}
	if err := f.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: &fit}); err != nil {
		return err
	}
	sw, err := f.NewStreamWriter(s.name)
	if err != nil {
		return err
	}
	if err := settle(sw, s); err != nil {
		return err
	}
	for i, row := range s.rows {
		values := make([]any, len(row))
		for j, c := range row {
			if values[j], err = c.value(styles); err != nil {
				return err
			}
		}
		if err := sw.SetRow("A"+strconv.Itoa(i+1), values); err != nil {
			return err
		}
	}
	return sw.Flush()
}

// settle sets the widths of the columns and what stays in place.
func settle(sw *excelize.StreamWriter, s sheet) error {
	for i, w := range s.widths {
		if err := sw.SetColWidth(i+1, i+1, w); err != nil {
			return err
		}
	}
	if s.frozen > 0 {
		below := "A" + strconv.Itoa(s.frozen+1)
		if err := sw.SetPanes(&excelize.Panes{Freeze: true, YSplit: s.frozen, TopLeftCell: below, ActivePane: "bottomLeft"}); err != nil {
			return err
		}
	}
	return nil
}

// value is the cell for the writer. A text never goes in as a formula: formulas
// are ours alone.
func (c cell) value(styles [looks]int) (any, error) {
	out := excelize.Cell{StyleID: styles[c.look], Formula: c.formula}
	switch {
	case c.figure != "":
		number, err := strconv.ParseFloat(c.figure, 64)
		if err != nil {
			return nil, err
		}
		out.Value = number
	case c.text != "":
		out.Value = visible(c.text)
	case c.formula == "" && c.look == lookPlain:
		return nil, nil
	}
	return out, nil
}

// visible drops what XML cannot hold, and what is longer than a cell can be.
func visible(text string) string {
	text = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "\uFFFD"))
	if units := utf16.Encode([]rune(text)); len(units) > excelize.TotalCellChars {
		text = string(utf16.Decode(units[:excelize.TotalCellChars-1]))
	}
	return text
}

func (b *book) styles(f *excelize.File) (out [looks]int, err error) {
	places := "#,##0"
	if n := b.currency.Places(); n > 0 {
		places += "." + strings.Repeat("0", int(n))
	}
	paper := func(color string) excelize.Fill {
		return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{color}}
	}
	wrapped := &excelize.Alignment{Vertical: "top", WrapText: true}
	shown := [looks]excelize.Style{
		lookTitle:  {Font: &excelize.Font{Family: "Calibri", Bold: true, Size: 14}},
		lookHead:   {Font: &excelize.Font{Family: "Calibri", Bold: true}, Fill: paper("E8E4DC"), Alignment: wrapped, Border: []excelize.Border{{Type: "bottom", Color: "555555", Style: 1}}},
		lookText:   {NumFmt: 49, Alignment: wrapped},
		lookInput:  {Font: &excelize.Font{Family: "Calibri", Color: "1F4E79"}, Fill: paper("F3F7FB")},
		lookMoney:  {CustomNumFmt: &places},
		lookSum:    {CustomNumFmt: &places, Font: &excelize.Font{Family: "Calibri", Bold: true}},
		lookFigure: {Font: &excelize.Font{Family: "Calibri", Color: "555555"}},
		lookNote:   {Font: &excelize.Font{Family: "Calibri", Italic: true, Color: "555555"}},
	}
	for l := lookTitle; l < looks; l++ {
		if out[l], err = f.NewStyle(&shown[l]); err != nil {
			return out, err
		}
	}
	return out, nil
}

// sortedZip keeps what is written and packs it in order of names, because the
// library hands several sheets over in no order.
type sortedZip struct {
	out   io.Writer
	parts []zipPart
}

type zipPart struct {
	name    string
	content *bytes.Buffer
}

// Create makes room for a part.
func (z *sortedZip) Create(name string) (io.Writer, error) {
	z.parts = append(z.parts, zipPart{name, &bytes.Buffer{}})
	return z.parts[len(z.parts)-1].content, nil
}

// AddFS is not used by the library's writing.
func (z *sortedZip) AddFS(fs.FS) error { return fs.ErrInvalid }

// Close packs the parts.
func (z *sortedZip) Close() error {
	slices.SortFunc(z.parts, func(a, b zipPart) int { return strings.Compare(a.name, b.name) })
	archive := zip.NewWriter(z.out)
	for _, p := range z.parts {
		w, err := archive.Create(p.name)
		if err != nil {
			return err
		}
		if _, err := w.Write(p.content.Bytes()); err != nil {
			return err
		}
	}
	return archive.Close()
}
