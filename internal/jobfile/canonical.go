package jobfile

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"unicode/utf16"
)

// sum is the SHA-256 of a value's canonical form, in hex.
func (n node) sum() string {
	var out strings.Builder
	n.canonical(&out)
	sum := sha256.Sum256([]byte(out.String()))
	return hex.EncodeToString(sum[:])
}

// canonical writes a value as RFC 8785 has it: names sorted by their UTF-16 code
// units, no blanks, as few escapes as can be. Numbers are whole and of at most
// nine digits here, which ECMAScript writes as they stand.
func (n node) canonical(out *strings.Builder) {
	switch n.kind {
	case '{':
		sorted := slices.Clone(n.members)
		slices.SortFunc(sorted, func(a, b member) int {
			return slices.Compare(utf16.Encode([]rune(a.name)), utf16.Encode([]rune(b.name)))
		})
		out.WriteByte('{')
		for i, m := range sorted {
			if i > 0 {
				out.WriteByte(',')
			}
			quoted(out, m.name)
			out.WriteByte(':')
			m.value.canonical(out)
		}
		out.WriteByte('}')
	case '[':
		out.WriteByte('[')
		for i, item := range n.items {
			if i > 0 {
				out.WriteByte(',')
			}
			item.canonical(out)
		}
		out.WriteByte(']')
	case 's':
		quoted(out, n.text)
	default:
		out.WriteString(n.text)
	}
}

var short = map[rune]string{'"': `\"`, '\\': `\\`, '\b': `\b`, '\f': `\f`, '\n': `\n`, '\r': `\r`, '\t': `\t`}

// quoted writes a string (RFC 8785, 3.2.2.2).
func quoted(out *strings.Builder, text string) {
	out.WriteByte('"')
	for _, r := range text {
		switch {
		case short[r] != "":
			out.WriteString(short[r])
		case r < ' ':
			fmt.Fprintf(out, `\u%04x`, r)
		default:
			out.WriteRune(r)
		}
	}
	out.WriteByte('"')
}
