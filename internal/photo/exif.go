package photo

import (
	"bytes"
	"encoding/binary"
	"strings"
	"time"
)

// Exif tags (CIPA DC-008-2019, 4.6.3 to 4.6.5) and TIFF field types.
const (
	tagOrientation = 0x0112
	tagExif        = 0x8769
	tagTaken       = 0x9003
	tagTakenOffset = 0x9011

	typeASCII, typeShort, typeLong = 2, 3, 4
)

// readExif returns the orientation (0 when there is none) and when the picture
// was taken (zero unless the offset from UTC is given too). What cannot be read
// counts as not there: metadata is a help, never a reason to refuse.
func readExif(b []byte) (turn int, taken time.Time) {
	b = bytes.TrimPrefix(b, []byte("Exif\x00\x00")) // some writers keep it in WebP
	if len(b) < 8 {
		return 0, time.Time{}
	}
	t := tiff{b: b}
	switch string(b[:4]) {
	case "II*\x00":
		t.order = binary.LittleEndian
	case "MM\x00*":
		t.order = binary.BigEndian
	default:
		return 0, time.Time{}
	}
	first := t.order.Uint32(b[4:])
	turn = int(t.number(first, tagOrientation))
	inner := t.number(first, tagExif)
	if inner == 0 {
		return turn, time.Time{}
	}
	taken, err := time.Parse("2006:01:02 15:04:05-07:00", t.text(inner, tagTaken)+t.text(inner, tagTakenOffset))
	if err != nil {
		return turn, time.Time{}
	}
	return turn, taken.UTC()
}

type tiff struct {
	b     []byte
	order binary.ByteOrder
}

// entry returns the twelve bytes of a tag in the directory at an offset, or nil.
func (t tiff) entry(dir uint32, tag uint16) []byte {
	if int64(dir)+2 > int64(len(t.b)) {
		return nil
	}
	n := int(t.order.Uint16(t.b[dir:]))
	rest := t.b[dir+2:]
	for ; n > 0 && len(rest) >= 12; n-- {
		if t.order.Uint16(rest) == tag {
			return rest[:12]
		}
		rest = rest[12:]
	}
	return nil
}

// number returns a single whole number, 0 when there is none.
func (t tiff) number(dir uint32, tag uint16) uint32 {
	e := t.entry(dir, tag)
	if e == nil || t.order.Uint32(e[4:]) != 1 {
		return 0
	}
	switch t.order.Uint16(e[2:]) {
	case typeShort:
		return uint32(t.order.Uint16(e[8:]))
	case typeLong:
		return t.order.Uint32(e[8:])
	}
	return 0
}

// text returns a text of more than four bytes without its closing zeros.
func (t tiff) text(dir uint32, tag uint16) string {
	e := t.entry(dir, tag)
	if e == nil || t.order.Uint16(e[2:]) != typeASCII {
		return ""
	}
	from, n := int64(t.order.Uint32(e[8:])), int64(t.order.Uint32(e[4:]))
	if n > 64 || from+n > int64(len(t.b)) {
		return ""
	}
	return strings.TrimRight(string(t.b[from:from+n]), "\x00 ")
}
