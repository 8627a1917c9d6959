package tabular

import (
	"bytes"
	"unicode/utf16"
	"unicode/utf8"
)

var utf8Mark = []byte("\xef\xbb\xbf")

// decoded returns the text of a CSV file as UTF-8 without a byte order mark.
func decoded(data []byte) ([]byte, error) {
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		return fromUTF16(data[2:], 0)
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return fromUTF16(data[2:], 1)
	}
	data = bytes.TrimPrefix(data, utf8Mark)
	if i := bytes.IndexByte(data, 0); i >= 0 {
		return nil, invalid("table-binary", "row %d holds a byte of zero, which no text has; %s", rowAt(data, i), saveAs)
	}
	if !utf8.Valid(data) {
		return nil, notUTF8(data)
	}
	return data, nil
}

// fromUTF16 decodes units whose low byte comes first (low 0) or second (low 1).
func fromUTF16(data []byte, low int) ([]byte, error) {
	out := make([]byte, 0, len(data))
	for i := 0; i < len(data); i += 2 {
		if i+1 == len(data) {
			return nil, invalid("table-encoding", "the file says that it is UTF-16 and ends inside a character; %s", saveAs)
		}
		r := rune(data[i+low]) | rune(data[i+1-low])<<8
		if utf16.IsSurrogate(r) {
			second := rune(-1)
			if i+3 < len(data) {
				second = rune(data[i+2+low]) | rune(data[i+3-low])<<8
			}
			r = utf16.DecodeRune(r, second)
			i += 2
		}
		if r == utf8.RuneError || r == 0 {
			return nil, invalid("table-encoding", "row %d holds what is no character of UTF-16; %s", rowAt(out, len(out)), saveAs)
		}
		out = utf8.AppendRune(out, r)
	}
	return out, nil
}

// notUTF8 names the row of the first byte that is not UTF-8, and shows how the
// cell would read in the encoding that such files mostly have.
func notUTF8(data []byte) error {
	at := 0
	for at < len(data) {
		r, size := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && size == 1 {
			break
		}
		at += size
	}
	return invalid("table-encoding", "row %d is not in UTF-8; as %s it would read %s. Save the file again and choose CSV UTF-8",
		rowAt(data, at), guess(data), quoted(fromWindows(around(data, at))))
}

// guess names the single-byte encoding that a file is most likely in: bytes
// from 0x80 to 0x9f are letters and signs in Windows-1252 and controls in Latin-1.
func guess(data []byte) string {
	for _, b := range data {
		if b >= 0x80 && b < 0xa0 {
			return "Windows-1252"
		}
	}
	return "Latin-1 (Windows-1252)"
}

// around returns the cell around a byte, more or less.
func around(data []byte, at int) []byte {
	isEnd := func(b byte) bool { return b == '\n' || b == '\r' || b == ',' || b == ';' || b == '\t' }
	from, to := at, at
	for from > 0 && at-from < 20 && !isEnd(data[from-1]) {
		from--
	}
	for to < len(data) && to-at < 20 && !isEnd(data[to]) {
		to++
	}
	return data[from:to]
}

// windows1252 are the characters of the bytes from 0x80 to 0x9f; the others are
// those of Latin-1. Source: the Unicode consortium's CP1252.TXT; 0 is undefined.
var windows1252 = [32]rune{'€', 0, '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', 0, 'Ž', 0,
	0, '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', 0, 'ž', 'Ÿ'}

func fromWindows(data []byte) string {
	out := make([]rune, len(data))
	for i, b := range data {
		out[i] = rune(b)
		if b >= 0x80 && b < 0xa0 {
			out[i] = windows1252[b-0x80]
		}
	}
	return string(out)
}

// rowAt counts the row that a byte stands in; a quoted cell may go over lines.
func rowAt(data []byte, at int) int {
	row, inside := 1, false
	for _, b := range data[:at] {
		switch {
		case b == '"':
			inside = !inside
		case b == '\n' && !inside:
			row++
		}
	}
	return row
}
