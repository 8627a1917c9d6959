package jobfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode/utf8"

	"bareframe/internal/fault"
)

// Bounds of what is read.
const (
	MaxBytes  = 8 << 20
	maxDepth  = 14
	maxValues = 400_000
)

// node is one JSON value.
type node struct {
	kind    byte // { [ s(tring) n(umber) b(oolean)
	text    string
	members []member // in the order of the text
	items   []node
}

type member struct {
	name  string
	value node
}

func (n node) member(name string) (node, bool) {
	for _, m := range n.members {
		if m.name == name {
			return m.value, true
		}
	}
	return node{}, false
}

// parse reads bytes as one JSON value within the bounds.
func parse(raw []byte) (node, error) {
	if len(raw) > MaxBytes {
		return node{}, fault.New(fault.TooLarge, "job-file-size", "A job file is at most %d MiB.", MaxBytes>>20)
	}
	if err := encoded(raw); err != nil {
		return node{}, err
	}
	if !json.Valid(raw) {
		return node{}, fault.New(fault.Invalid, "job-file-json", "This is no job file: it cannot be read as JSON.")
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	p := parser{d: d}
	n, err := p.value(0)
	if err != nil {
		return node{}, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return node{}, fault.New(fault.Invalid, "job-file-json", "There is text after the job file.")
	}
	return n, nil
}

// encoded refuses what is not UTF-8 and says what it looks like.
func encoded(raw []byte) error {
	mark := "job-file-encoding"
	switch {
	case bytes.HasPrefix(raw, []byte{0xef, 0xbb, 0xbf}):
		return fault.New(fault.Invalid, mark, "The file begins with a byte order mark; save it as UTF-8 without one.")
	case bytes.HasPrefix(raw, []byte{0xff, 0xfe}), bytes.HasPrefix(raw, []byte{0xfe, 0xff}):
		return fault.New(fault.Invalid, mark, "The file is in UTF-16; save it as UTF-8.")
	case bytes.IndexByte(raw, 0) >= 0:
		return fault.New(fault.Invalid, mark, "The file holds NUL bytes; a job file is text in UTF-8.")
	case !utf8.Valid(raw):
		return fault.New(fault.Invalid, mark, "The file is not in UTF-8; save it as UTF-8.")
	}
	return nil
}

type parser struct {
	d      *json.Decoder
	values int
}

// whole are the only numbers that a file has: counts and millimetres.
var whole = regexp.MustCompile(`^(0|-?[1-9][0-9]{0,8})$`)

func (p *parser) value(depth int) (node, error) {
	if p.values++; p.values > maxValues {
		return node{}, fault.New(fault.TooLarge, "job-file-size", "A job file has at most %d values.", maxValues)
	}
	if depth > maxDepth {
		return node{}, wrong("This lies deeper than a job file goes.")
	}
	token, err := p.d.Token()
	if err != nil {
		return node{}, fault.New(fault.Invalid, "job-file-json", "This is no job file: it cannot be read as JSON.")
	}
	switch t := token.(type) {
	case json.Delim:
		if t == '{' {
			return p.object(depth)
		}
		return p.list(depth)
	case string:
		return node{kind: 's', text: t}, readable(t)
	case json.Number:
		if !whole.MatchString(t.String()) {
			return node{}, wrong("Numbers in a job file are whole, of at most nine digits and without exponent; amounts, hours and quantities are text.")
		}
		return node{kind: 'n', text: t.String()}, nil
	case bool:
		return node{kind: 'b', text: fmt.Sprint(t)}, nil
	}
	return node{}, wrong("There is no null in a job file; leave the field out.")
}

func (p *parser) object(depth int) (node, error) {
	n, seen := node{kind: '{'}, map[string]bool{}
	for p.d.More() {
		token, err := p.d.Token()
		name, ok := token.(string)
		if err != nil || !ok {
			return n, fault.New(fault.Invalid, "job-file-json", "This is no job file: it cannot be read as JSON.")
		}
		if seen[name] {
			return n, below(name, wrong("This field is there twice."))
		}
		seen[name] = true
		if err := readable(name); err != nil {
			return n, err
		}
		value, err := p.value(depth + 1)
		if err != nil {
			return n, below(name, err)
		}
		n.members = append(n.members, member{name, value})
	}
	_, err := p.d.Token()
	return n, err
}

func (p *parser) list(depth int) (node, error) {
	n := node{kind: '['}
	for p.d.More() {
		value, err := p.value(depth + 1)
		if err != nil {
			return n, below(fmt.Sprint(len(n.items)), err)
		}
		n.items = append(n.items, value)
	}
	_, err := p.d.Token()
	return n, err
}

// readable refuses characters that no text of a job has: controls but for line
// ends and tabs, and the mark that a decoder leaves where it could not read one.
func readable(text string) error {
	for _, r := range text {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f || r == utf8.RuneError {
			return wrong("This holds a character that no text here may have: %U.", r)
		}
	}
	return nil
}

func wrong(detail string, args ...any) error {
	return fault.InvalidField("job-file-invalid", "", detail, args...)
}

// below puts a step before the pointers of a refusal.
func below(step string, err error) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	for i := range e.Fields {
		e.Fields[i].Pointer = "/" + escaped(step) + e.Fields[i].Pointer
	}
	return e
}

// escaped writes a step of a JSON pointer (RFC 6901, 3). A name that the file
// made up is cut, so that a refusal stays short.
func escaped(step string) string {
	if utf8.RuneCountInString(step) > 60 {
		step = string([]rune(step)[:60]) + "…"
	}
	return strings.NewReplacer("~", "~0", "/", "~1").Replace(step)
}
