package photo

import (
	"bytes"
	"image"
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// size is what a decoded picture holds, in bytes.
func size(img image.Image) int {
	switch p := img.(type) {
	case *image.YCbCr:
		return len(p.Y) + len(p.Cb) + len(p.Cr)
	case *image.NYCbCrA:
		return len(p.Y) + len(p.Cb) + len(p.Cr) + len(p.A)
	case *image.Gray:
		return len(p.Pix)
	case *image.CMYK:
		return len(p.Pix)
	case *image.RGBA:
		return len(p.Pix)
	case *image.NRGBA:
		return len(p.Pix)
	case *image.NRGBA64:
		return len(p.Pix)
	case *image.Paletted:
		return len(p.Pix)
	}
	return -1
}

// What is reckoned from the header is held against what decoding allocates, on
// pictures of our own and on the standard library's test pictures where they are
// installed. Decoders also hold tables and buffers of a fixed size, and more
// while they unpack lossless data: 300 kB are allowed for those.
func TestTheMemoryOfDecodingIsKnownBefore(t *testing.T) {
	uploads := map[string][]byte{
		"JPEG": asJPEG(t, quarters(640, 480, "RGBW")), "four inks": flatJPEG(false, 228, 64, 28, 228),
		"PNG": asPNG(t, quarters(640, 480, "RGBW")), "16-bit PNG": asPNG(t, image.NewNRGBA64(image.Rect(0, 0, 300, 200))),
		"lossy": from64(t, lossyWebP), "lossless": from64(t, losslessWebP), "half clear": from64(t, halfClear),
	}
	found, err := filepath.Glob(filepath.Join(runtime.GOROOT(), "src/image/testdata/video-*.[jp][pn]*g"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range found {
		if uploads[filepath.Base(path)], err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
	}
	held := 0
	for name, upload := range uploads {
		h, err := inspect(bytes.NewReader(upload))
		if err != nil {
			continue // some are cut off on purpose
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		img, err := decode(bytes.NewReader(upload), h)
		runtime.ReadMemStats(&after)
		if err != nil {
			continue
		}
		held++
		if got := size(img); got < 0 || int64(got) > h.kept {
			t.Errorf("%s: %T of %d bytes, reckoned with %d", name, img, got, h.kept)
		}
		if got := int64(after.TotalAlloc - before.TotalAlloc); got > h.decoder+300_000 {
			t.Errorf("%s: decoding allocated %d bytes, reckoned with %d", name, got, h.decoder)
		}
	}
	if held < 7 {
		t.Errorf("only %d pictures were decoded", held)
	}
}
