package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
)

// What this file makes are uploads, good and hostile, byte by byte where no
// encoder would write them.

var (
	red   = color.RGBA{220, 30, 30, 255}
	green = color.RGBA{30, 180, 40, 255}
	blue  = color.RGBA{30, 50, 210, 255}
	white = color.RGBA{250, 250, 250, 255}
)

// quarters draws four quarters, named row by row: "RGBW".
func quarters(width, height int, colours string) *image.RGBA {
	named := map[byte]color.RGBA{'R': red, 'G': green, 'B': blue, 'W': white}
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			img.SetRGBA(x, y, named[colours[2*(2*y/height)+2*x/width]])
		}
	}
	return img
}

func asJPEG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asPNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// segment is a JPEG marker segment.
func segment(marker byte, parts ...[]byte) []byte {
	body := bytes.Join(parts, nil)
	return append([]byte{0xff, marker, byte((len(body) + 2) >> 8), byte(len(body) + 2)}, body...)
}

// withSegment puts a segment right behind the start of a JPEG.
func withSegment(jpg, seg []byte) []byte { return bytes.Join([][]byte{jpg[:2], seg, jpg[2:]}, nil) }

// chunk is a PNG chunk.
func chunk(name string, body []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(append(b, name...), body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// pngHeader is a PNG that promises pixels and ends after a little data.
func pngHeader(width, height int, depth, colour byte, after ...[]byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(width))
	b = binary.BigEndian.AppendUint32(b, uint32(height))
	b = append(b, depth, colour, 0, 0, 0)
	return append(append([]byte(pngSignature), chunk("IHDR", b)...), bytes.Join(append(after, chunk("IDAT", []byte{0x78, 0x9c, 0x63})), nil)...)
}

// gpsRational are the 24 bytes of an invented position, which must not survive.
var gpsRational = func() []byte {
	var b []byte
	for _, v := range []uint32{47, 1, 11, 1, 4242, 100} {
		b = binary.BigEndian.AppendUint32(b, v)
	}
	return b
}()

// exifOf writes metadata as a camera does: orientation, the time taken with its
// offset, and a position.
func exifOf(order binary.AppendByteOrder, turn uint16) []byte {
	b := []byte("MM\x00*\x00\x00\x00\x08")
	if order.String() == binary.LittleEndian.String() {
		b = []byte("II*\x00\x08\x00\x00\x00")
	}
	entry := func(tag, kind uint16, n uint32, value []byte) {
		b = order.AppendUint16(order.AppendUint16(b, tag), kind)
		b = append(order.AppendUint32(b, n), append(value, 0, 0, 0, 0)[:4]...)
	}
	short := func(v uint16) []byte { return order.AppendUint16(nil, v) }
	long := func(v uint32) []byte { return order.AppendUint32(nil, v) }
	const inner, gps = 8 + 2 + 3*12 + 4, 8 + 2 + 3*12 + 4 + 2 + 2*12 + 4
	const data = gps + 2 + 2*12 + 4
	b = order.AppendUint16(b, 3)
	entry(tagOrientation, 3, 1, short(turn))
	entry(tagExif, 4, 1, long(inner))
	entry(0x8825, 4, 1, long(gps)) // position
	b = order.AppendUint32(b, 0)
	b = order.AppendUint16(b, 2)
	entry(tagTaken, 2, 20, long(data))
	entry(tagTakenOffset, 2, 7, long(data+20))
	b = order.AppendUint32(b, 0)
	b = order.AppendUint16(b, 2)
	entry(1, 2, 2, []byte("N\x00"))
	entry(2, 5, 3, long(data+27))
	b = order.AppendUint32(b, 0)
	b = append(b, "2026:05:04 16:30:00\x00+02:00\x00"...)
	return append(b, gpsRational...)
}

func withExif(jpg []byte, order binary.AppendByteOrder, turn uint16) []byte {
	return withSegment(jpg, segment(app1, []byte("Exif\x00\x00"), exifOf(order, turn)))
}

// bits writes entropy-coded data.
type bits struct {
	b []byte
	n int
}

func (w *bits) put(value, count int) {
	for i := count - 1; i >= 0; i-- {
		if w.n%8 == 0 {
			w.b = append(w.b, 0)
		}
		w.b[len(w.b)-1] |= byte(value>>i&1) << (7 - w.n%8)
		w.n++
	}
}

// block writes an 8 by 8 block whose samples are all 128+dc, 64 <= |dc| < 128,
// with the Huffman tables of flatJPEG.
func (w *bits) block(dc int, ac bool) {
	w.put(0b10, 2) // difference of seven bits
	if dc < 0 {
		dc += 127
	}
	w.put(dc, 7)
	if ac {
		w.put(0, 1) // end of block
	}
}

// flatJPEG is a JPEG of 8 by 8 pixels of one colour, given by its components'
// samples; progressive ones hold no more than the first scan.
func flatJPEG(progressive bool, samples ...int) []byte {
	frame := []byte{8, 0, 8, 0, 8, byte(len(samples))}
	scan := []byte{byte(len(samples))}
	var w bits
	for i, s := range samples {
		frame = append(frame, byte(i+1), 0x11, 0)
		scan = append(scan, byte(i+1), 0)
		w.block(s-128, !progressive)
	}
	sof, last := byte(sof0), byte(63)
	if progressive {
		sof, last = sof2, 0
	}
	var lengths [16]byte
	lengths[0], lengths[1] = 1, 1
	one := [16]byte{1}
	out := [][]byte{
		{0xff, soi},
		segment(app14, []byte("Adobe\x00\x64\x00\x00\x00\x00\x00")),
		segment(0xdb, []byte{0}, bytes.Repeat([]byte{8}, 64)), // a step of 8 makes a DC coefficient a sample
		segment(sof, frame),
		segment(0xc4, []byte{0}, lengths[:], []byte{0, 7}), // DC: 0 -> no difference, 10 -> seven bits
		segment(0xc4, []byte{0x10}, one[:], []byte{0}),     // AC: 0 -> end of block
		segment(sos, scan, []byte{0, last, 0}),
		w.b,
		{0xff, eoi},
	}
	return bytes.Join(out, nil)
}

// jpegHeader is a JPEG that promises pixels and has scans without data.
func jpegHeader(sof byte, width, height, scans int, sampling ...byte) []byte {
	frame := []byte{8, byte(height >> 8), byte(height), byte(width >> 8), byte(width), byte(len(sampling))}
	for i, s := range sampling {
		frame = append(frame, byte(i+1), s, 0)
	}
	b := append([]byte{0xff, soi}, segment(sof, frame)...)
	for range scans {
		b = append(b, segment(sos, []byte{1, 1, 0, 0, 0, 0})...)
	}
	return append(b, 0xff, eoi)
}

// webpHeader is an extended WebP that promises a canvas.
func webpHeader(flags byte, width, height int) []byte {
	b := append([]byte("RIFF\x00\x01\x00\x00WEBPVP8X\x0a\x00\x00\x00"), flags, 0, 0, 0)
	for _, v := range []int{width - 1, height - 1} {
		b = append(b, byte(v), byte(v>>8), byte(v>>16))
	}
	return append(b, bytes.Repeat([]byte{0}, 64)...)
}
