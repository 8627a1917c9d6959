package paper

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
)

//go:embed sheet.html
var sheetSource string

//go:embed document.css
var documentStyle string

// StyleSheet is the one style sheet of every document that is written now.
func StyleSheet() string { return documentStyle }

// formerStyles are the SHA-256 sums, in base64, of the style sheets that stored
// documents were written with before. One that is released is added when
// document.css changes.
var formerStyles = []string{"R0GAfXZygIKqanlAMeM++aVhRCjRHe/DhPShpljyIB8="}

// FormerStyles returns the sums of the style sheets of older documents, which
// the security policy allows too.
func FormerStyles() []string { return formerStyles }

var sheetTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{
	"style":  func() template.CSS { return template.CSS(documentStyle) },
	"headed": func(t *Table) bool { return t.headed() },
	"placed": placed,
	"box":    func(b Box) string { return map[Box]string{Open: "☐ ", Ticked: "☒ "}[b] },
	"svg":    func(p *Plan) template.HTML { return p.svg() },
	"photo": func(jpeg []byte) template.URL {
		return template.URL("data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(jpeg))
	},
}).Parse(sheetSource))

// HTML writes a document that stands by itself and prints well. All text is
// escaped.
func HTML(s Sheet) ([]byte, error) {
	var out bytes.Buffer
	if err := sheetTemplate.Execute(&out, s); err != nil {
		return nil, fmt.Errorf("writing %s: %w", s.Name, err)
	}
	return out.Bytes(), nil
}

// placedCell is a cell in its column.
type placedCell struct {
	Cell
	Column int
	Number bool
	Room   bool
}

// placed puts the cells of a row into their columns. A cell that spans stands in
// the first of them.
func placed(r Row, columns []Column) []placedCell {
	out, at := make([]placedCell, 0, len(r.Cells)), 0
	for _, c := range r.Cells {
		c.Span = max(1, min(c.Span, len(columns)-at))
		if at >= len(columns) {
			break
		}
		in := columns[at]
		out = append(out, placedCell{c, at, c.Span == 1 && in.Number, in.Room > 0})
		at += c.Span
	}
	return out
}
