package photo

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"

	"bareframe/internal/fault"
)

// JPEG markers (T.81, table B.1).
const (
	sof0, sof1, sof2 = 0xc0, 0xc1, 0xc2
	rst0, rst7       = 0xd0, 0xd7
	soi, eoi, sos    = 0xd8, 0xd9, 0xda
	app1, app14      = 0xe1, 0xee
)

// scansAtMost bounds the time that a progressive JPEG can cost: every scan goes
// over all blocks, and an empty one takes some fifty bytes. Encoders in use write
// about ten (common practice).
const scansAtMost = 100

// frame is what a JPEG says of itself.
type frame struct {
	width, height int
	sampling      [][2]int // horizontal and vertical, by component
	ids           []byte
	progressive   bool
	noTransform   bool // an Adobe segment says that the colours are as they are
	scans         int
	exif          []byte
}

func inspectJPEG(upload io.ReadSeeker) (header, error) {
	var f frame
	if err := f.walk(bufio.NewReaderSize(upload, 64<<10)); err != nil {
		return header{}, err
	}
	if f.scans > scansAtMost {
		return header{}, fault.New(fault.Invalid, "photo-pixels", "The photograph is stored in %d passes; at most %d are taken. Send it saved as an ordinary JPEG.", f.scans, scansAtMost)
	}
	if len(f.sampling) == 0 || f.scans == 0 {
		return header{}, errors.New("no frame or no scan")
	}
	h := header{width: f.width, height: f.height}
	h.decoder, h.kept = f.memory()
	h.turn, h.taken = readExif(f.exif)
	return h, nil
}

// walk goes from marker to marker to the end of the image. Between markers it
// skips what no marker begins, as decoders do; entropy-coded data is such.
func (f *frame) walk(r *bufio.Reader) error {
	if _, err := r.Discard(2); err != nil {
		return err
	}
	for {
		m, err := nextMarker(r)
		switch {
		case err != nil:
			return err
		case m == eoi:
			return nil
		case m >= rst0 && m <= rst7:
			continue
		}
		if err := f.segment(m, r); err != nil {
			return err
		}
		if f.scans > scansAtMost {
			return nil
		}
	}
}

// nextMarker finds the next byte after 0xff that is neither stuffing nor fill.
func nextMarker(r *bufio.Reader) (byte, error) {
	for {
		if _, err := r.ReadSlice(0xff); err != nil && !errors.Is(err, bufio.ErrBufferFull) {
			return 0, err
		} else if err != nil {
			continue
		}
		m := byte(0xff)
		for m == 0xff {
			var err error
			if m, err = r.ReadByte(); err != nil {
				return 0, err
			}
		}
		if m != 0 {
			return m, nil
		}
	}
}

func (f *frame) segment(marker byte, r *bufio.Reader) error {
	b, err := exactly(r, 2)
	if err != nil {
		return err
	}
	n := int(b[0])<<8 + int(b[1]) - 2
	if n < 0 {
		return errors.New("short segment")
	}
	switch marker {
	case sof0, sof1, sof2, app1, app14:
		if b, err = exactly(r, n); err != nil {
			return err
		}
	default:
		if marker == sos {
			f.scans++
		}
		_, err = r.Discard(n)
		return err
	}
	switch marker {
	case app1:
		if tiff, ok := bytes.CutPrefix(b, []byte("Exif\x00\x00")); ok && f.exif == nil {
			f.exif = tiff
		}
		return nil
	case app14:
		f.noTransform = len(b) >= 12 && string(b[:5]) == "Adobe" && b[11] == 0
		return nil
	}
	return f.start(marker, b)
}

// start reads a start of frame (T.81, B.2.2).
func (f *frame) start(marker byte, b []byte) error {
	if len(f.sampling) > 0 {
		return errors.New("two frames")
	}
	if len(b) < 6 || len(b) != 6+3*int(b[5]) || b[5] < 1 || b[5] > 4 {
		return errors.New("start of frame has the wrong length")
	}
	f.progressive = marker == sof2
	f.height, f.width = int(b[1])<<8+int(b[2]), int(b[3])<<8+int(b[4])
	for c := b[6:]; len(c) > 0; c = c[3:] {
		s := [2]int{int(c[1] >> 4), int(c[1] & 15)}
		if min(s[0], s[1]) < 1 || max(s[0], s[1]) > 4 {
			return fmt.Errorf("sampling %v", s)
		}
		f.sampling, f.ids = append(f.sampling, s), append(f.ids, c[0])
	}
	return nil
}

// memory is what the standard library's decoder allocates, in bytes: a byte a
// sample, four a coefficient if progressive, and another picture when colours
// are converted. Unusual sampling is decoded as if there were none.
func (f *frame) memory() (decoder, kept int64) {
	mh, mv, units := 1, 1, 0
	for _, s := range f.sampling {
		mh, mv, units = max(mh, s[0]), max(mv, s[1]), units+s[0]*s[1]
	}
	mcus := int64((f.width+8*mh-1)/(8*mh)) * int64((f.height+8*mv-1)/(8*mv))
	samples := mcus * int64(units) * 64
	full := mcus * int64(mh*mv) * 64
	kept = samples
	if len(f.sampling) > 1 && (f.sampling[1] != [2]int{1, 1} || len(f.sampling) > 3) {
		kept = full * int64(len(f.sampling))
	}
	decoder = kept
	if len(f.sampling) == 4 || len(f.sampling) == 3 && (f.noTransform || string(f.ids) == "RGB") {
		decoder, kept = kept+4*full, 4*full
	}
	if f.progressive {
		decoder += 4 * samples
	}
	return decoder, kept
}
