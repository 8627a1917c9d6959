package photo

import (
	"bufio"
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"slices"
	"strings"
	"time"

	"bareframe/internal/fault"
)

// header is what is known of an upload before a pixel is decoded.
type header struct {
	kind          *kind
	width, height int
	turn          int // Exif orientation, 1 to 8
	taken         time.Time
	decoder       int64 // bytes that the decoder holds at its worst moment
	kept          int64 // bytes of the picture that it returns
}

// kind is a type of picture that is taken in.
type kind struct {
	name    string
	matches func(start []byte) bool
	inspect func(io.ReadSeeker) (header, error)
	decode  func(io.Reader) (image.Image, error)
}

// kinds is filled by init because inspecting a kind names it again.
var kinds []*kind

func init() {
	kinds = []*kind{
		{"JPEG", func(b []byte) bool { return bytes.HasPrefix(b, []byte("\xff\xd8\xff")) }, inspectJPEG, jpeg.Decode},
		{"PNG", func(b []byte) bool { return bytes.HasPrefix(b, []byte(pngSignature)) }, inspectPNG, png.Decode},
		{"WebP", func(b []byte) bool { return riffForm(b) == "WEBP" }, inspectWebP, decodeWebP},
	}
}

// inspect tells the type by content and reads the headers of the upload.
func inspect(upload io.ReadSeeker) (header, error) {
	if _, err := upload.Seek(0, io.SeekStart); err != nil {
		return header{}, err
	}
	start := make([]byte, 32)
	n, err := io.ReadFull(upload, start)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return header{}, err
	}
	start = start[:n]
	for _, k := range kinds {
		if k.matches(start) {
			return k.header(upload)
		}
	}
	return header{}, unknown(start)
}

func (k *kind) header(upload io.ReadSeeker) (header, error) {
	if _, err := upload.Seek(0, io.SeekStart); err != nil {
		return header{}, err
	}
	h, err := k.inspect(upload)
	if fault.As(err) != nil {
		return header{}, err
	}
	if err != nil || h.width < 1 || h.height < 1 {
		return header{}, broken(err)
	}
	h.kind = k
	if h.turn < 1 || h.turn > 8 {
		h.turn = 1
	}
	return h, nil
}

// fits refuses what is too large to be decoded.
func (h header) fits(l Limits) error {
	pixels := int64(h.width) * int64(h.height)
	switch {
	case max(h.width, h.height) > l.Side:
		return fault.New(fault.Invalid, "photo-pixels", "The photograph is %d by %d pixels; the longer side may have %d at most. Send it in a smaller size.", h.width, h.height, l.Side)
	case pixels > l.Pixels:
		return fault.New(fault.Invalid, "photo-pixels", "The photograph has %d megapixels; at most %d are taken. Send it in a smaller size.", (pixels+999_999)/1_000_000, l.Pixels/1_000_000)
	case h.decoder > l.Memory:
		return fault.New(fault.Invalid, "photo-pixels", "The photograph of %d by %d pixels is stored in a way that takes too much memory to open. Send it in a smaller size, or saved as an ordinary JPEG.", h.width, h.height)
	}
	return nil
}

// cost is the memory that one upload takes at its worst moment, in bytes.
func (h header) cost(longest int) int64 {
	w, ht := fit(h.width, h.height, longest)
	return max(h.decoder, h.kept+4*int64(w)*int64(ht))
}

// heifBrands are the brands of ISO/IEC 23008-12 and of AVIF that phones write.
var heifBrands = []string{"heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1", "avif", "avis"}

// unknown says what an upload is not, and for phone pictures what to do.
func unknown(start []byte) error {
	if len(start) >= 12 && string(start[4:8]) == "ftyp" && slices.Contains(heifBrands, strings.ToLower(string(start[8:12]))) {
		return fault.New(fault.Invalid, "photo-type", "This is an HEIC or AVIF picture, which is not taken. Set the phone's camera to save JPEG, or send the picture as JPEG.")
	}
	return fault.New(fault.Invalid, "photo-type", "This is not a photograph that can be taken: send JPEG, PNG or WebP.")
}

// exactly reads n bytes.
func exactly(r *bufio.Reader, n int) ([]byte, error) {
	b := make([]byte, n)
	_, err := io.ReadFull(r, b)
	return b, err
}
