package photo

import (
	"bufio"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"io"

	"bareframe/internal/fault"

	"golang.org/x/image/webp"
)

const pngSignature = "\x89PNG\r\n\x1a\n"

// exifAtMost is the size from which metadata is not read for its orientation.
const exifAtMost = 64 << 10

// chunksAtMost bounds the search for metadata.
const chunksAtMost = 1000

// inspectPNG reads the header (PNG 11.2.1) and looks for the eXIf chunk ahead
// of the pixels.
func inspectPNG(upload io.ReadSeeker) (header, error) {
	r := bufio.NewReader(upload)
	b, err := exactly(r, 33)
	if err != nil {
		return header{}, err
	}
	width, height := binary.BigEndian.Uint32(b[16:]), binary.BigEndian.Uint32(b[20:])
	if string(b[12:16]) != "IHDR" || width >= 1<<31 || height >= 1<<31 {
		return header{}, errors.New("no image header")
	}
	h := header{width: int(width), height: int(height)}
	h.kept = pngPixel(b[24], b[25]) * int64(h.width) * int64(h.height)
	h.decoder = h.kept
	if b[28] != 0 { // interlaced: the last pass is a picture of half the size
		h.decoder += h.kept / 2
	}
	for range chunksAtMost {
		b, err := exactly(r, 8)
		if err != nil {
			return header{}, err
		}
		size, name := binary.BigEndian.Uint32(b), string(b[4:])
		if name == "IDAT" || size >= 1<<31 {
			break
		}
		if name == "eXIf" && size <= exifAtMost {
			if b, err = exactly(r, int(size)); err != nil {
				return header{}, err
			}
			h.turn, h.taken = readExif(b)
			break
		}
		if _, err := io.CopyN(io.Discard, r, int64(size)+4); err != nil {
			return header{}, err
		}
	}
	return h, nil
}

// pngPixel is the most that the standard library's decoder keeps for a pixel,
// in bytes, whatever transparency comes with it.
func pngPixel(depth, colour byte) int64 {
	const palette = 3
	switch {
	case colour == palette:
		return 1
	case depth == 16:
		return 8
	}
	return 4
}

// riffForm returns the form of a RIFF file, "" for another.
func riffForm(b []byte) string {
	if len(b) < 12 || string(b[:4]) != "RIFF" {
		return ""
	}
	return string(b[8:12])
}

// inspectWebP reads the size (RFC 9649, 2.5 to 2.7) and looks for metadata,
// which comes after the pixels.
func inspectWebP(upload io.ReadSeeker) (header, error) {
	b := make([]byte, 30)
	if _, err := io.ReadFull(upload, b); err != nil {
		return header{}, err
	}
	const animated, withExif = 1 << 1, 1 << 3
	extended := string(b[12:16]) == "VP8X"
	if extended && b[20]&animated != 0 {
		return header{}, fault.New(fault.Invalid, "photo-type", "This is a moving picture, which is not taken. Send a still one.")
	}
	if _, err := upload.Seek(0, io.SeekStart); err != nil {
		return header{}, err
	}
	c, err := webp.DecodeConfig(bufio.NewReader(upload))
	if err != nil {
		return header{}, err
	}
	pixels := int64(c.Width+15) &^ 15 * (int64(c.Height+15) &^ 15) // lossy ones are stored in blocks of 16 by 16
	h := header{width: c.Width, height: c.Height}
	switch {
	case !extended && c.ColorModel == color.YCbCrModel: // lossy, colour at half the resolution
		h.kept, h.decoder = pixels*3/2, pixels*2
	case !extended: // lossless: the picture and one transform of it
		h.kept, h.decoder = pixels*4, pixels*8
	default: // either, and the transparency decoded beside it
		h.kept, h.decoder = pixels*4, pixels*10
	}
	if extended && b[20]&withExif != 0 {
		h.turn, h.taken = readExif(webpExif(upload))
	}
	return h, nil
}

// webpExif finds the metadata chunk; nil when there is none to be read.
func webpExif(upload io.ReadSeeker) []byte {
	at := int64(12)
	for range chunksAtMost {
		if _, err := upload.Seek(at, io.SeekStart); err != nil {
			return nil
		}
		b := make([]byte, 8)
		if _, err := io.ReadFull(upload, b); err != nil {
			return nil
		}
		size := int64(binary.LittleEndian.Uint32(b[4:]))
		if string(b[:4]) == "EXIF" && size <= exifAtMost {
			b = make([]byte, size)
			if _, err := io.ReadFull(upload, b); err != nil {
				return nil
			}
			return b
		}
		at += 8 + size + size&1
	}
	return nil
}

// decodeWebP decodes and widens the levels of a lossy picture. Those are stored
// from 16 to 235, colour differences from 16 to 240 (RFC 6386, 9.2, after BT.601),
// which the decoder hands on as it finds them; Go's pictures use the full range.
func decodeWebP(r io.Reader) (image.Image, error) {
	img, err := webp.Decode(r)
	if err != nil {
		return nil, err
	}
	switch p := img.(type) {
	case *image.YCbCr:
		widen(p)
	case *image.NYCbCrA:
		widen(&p.YCbCr)
	}
	return img, nil
}

func widen(p *image.YCbCr) {
	var light, colour [256]byte
	for v := range 256 {
		light[v] = byte(min(max(((v-16)*510+219)/438, 0), 255))
		colour[v] = byte(min(max(((v-16)*510+224)/448, 0), 255)) // 128 stays 128: (112*510+224)/448
	}
	for i, v := range p.Y {
		p.Y[i] = light[v]
	}
	for i, v := range p.Cb {
		p.Cb[i], p.Cr[i] = colour[v], colour[p.Cr[i]]
	}
}
