package tabular

import (
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"

	"bareframe/internal/fault"
)

// maxToken bounds one tag or one piece of text: a cell's text of the largest
// length with every character escaped.
const maxToken = 1 << 20

// markup reads the XML of one part, tag by tag. It takes names without their
// prefix, keeps no entity of its own and refuses a document type.
type markup struct {
	decoder *xml.Decoder
	source  *bounded
	depth   int
	deepest int
}

// bounded refuses a single token that does not end.
type bounded struct {
	r          io.Reader
	read, mark int64
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.read-b.mark > maxToken {
		return 0, tooLarge("the workbook holds a tag or text of more than %d KB", maxToken>>10)
	}
	n, err := b.r.Read(p)
	b.read += int64(n)
	return n, err
}

func newMarkup(r io.Reader, limits Limits) *markup {
	source := &bounded{r: r}
	return &markup{decoder: xml.NewDecoder(source), source: source, deepest: limits.Depth}
}

// next returns the next start, end or text; io.EOF after the last, when the
// part's checksum has been read and was right.
func (m *markup) next() (xml.Token, error) {
	token, err := m.decoder.RawToken()
	m.source.mark = m.decoder.InputOffset()
	if errors.Is(err, io.EOF) && m.depth == 0 {
		return nil, io.EOF
	}
	if f := fault.As(err); f != nil {
		return nil, f
	}
	if err != nil {
		return nil, damaged("a part of it breaks off or is no XML").Because(err)
	}
	switch token.(type) {
	case xml.StartElement:
		if m.depth++; m.depth > m.deepest {
			return nil, tooLarge("the workbook nests more than %d elements", m.deepest)
		}
	case xml.EndElement:
		if m.depth--; m.depth < 0 {
			return nil, damaged("a part of it closes an element that is not open")
		}
	case xml.Directive:
		return nil, invalid("table-format", "the workbook declares a document type, which none does; %s", saveAs)
	}
	return token, nil
}

// each calls start for every element that begins and text for the text inside
// it, until the part ends.
func (m *markup) each(start func(xml.StartElement) error) error {
	for {
		token, err := m.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if s, ok := token.(xml.StartElement); ok {
			if err := start(s); err != nil {
				return err
			}
		}
	}
}

// text gathers the text of the element that just began, to its end; elements
// for which skip is true are left out with all inside them.
func (m *markup) text(skip func(name string) bool, limit int) (string, error) {
	first, more := "", strings.Builder{}
	hidden, outer := 0, m.depth-1
	for {
		token, err := m.next()
		if err != nil {
			if errors.Is(err, io.EOF) {
				err = damaged("a part of it breaks off")
			}
			return "", err
		}
		switch t := token.(type) {
		case xml.StartElement:
			if hidden == 0 && skip != nil && skip(t.Name.Local) {
				hidden = m.depth
			}
		case xml.EndElement:
			if m.depth < hidden {
				hidden = 0
			}
			if m.depth == outer {
				return first + more.String(), nil
			}
		case xml.CharData:
			if hidden > 0 {
				continue
			}
			if len(first)+more.Len()+len(t) > limit {
				return "", tooLarge("a cell of the workbook has more than %d bytes", limit)
			}
			if first == "" {
				first = string(t)
			} else {
				more.Write(t)
			}
		}
	}
}

// attribute returns the value of an attribute, "" when there is none.
func attribute(s xml.StartElement, name string) string {
	for i := range s.Attr {
		if s.Attr[i].Name.Local == name {
			return s.Attr[i].Value
		}
	}
	return ""
}

// is reports whether an attribute of SpreadsheetML is true.
func is(value string) bool { return value == "1" || value == "true" }

// unescaped undoes the escapes of ECMA-376 22.9.2.19: _x000D_ is a carriage return.
func unescaped(text string) string {
	if !strings.Contains(text, "_x") {
		return text
	}
	var out strings.Builder
	for i := 0; i < len(text); {
		if i+7 <= len(text) && text[i:i+2] == "_x" && text[i+6] == '_' {
			if unit, err := strconv.ParseUint(text[i+2:i+6], 16, 16); err == nil {
				out.WriteRune(rune(unit)) // half of a surrogate pair becomes U+FFFD
				i += 7
				continue
			}
		}
		out.WriteByte(text[i])
		i++
	}
	return out.String()
}

func damaged(detail string, args ...any) *fault.Error {
	return invalid("table-damaged", "the workbook is damaged: "+detail+"; open it in a spreadsheet program and save it again", args...)
}
