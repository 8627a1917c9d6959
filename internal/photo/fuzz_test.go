package photo

import (
	"bytes"
	"context"
	"encoding/binary"
	"testing"

	"bareframe/internal/fault"
)

// Whatever comes is either refused with one of the package's own reasons or
// becomes two clean JPEGs within the limits.
func FuzzSanitise(f *testing.F) {
	good := asJPEG(f, quarters(40, 30, "RGBW"))
	for _, upload := range [][]byte{
		nil, good, good[:len(good)/2],
		withExif(good, binary.BigEndian, 6), withExif(good, binary.LittleEndian, 8),
		flatJPEG(false, 228, 64, 28, 228), flatJPEG(true, 228), flatJPEG(false, 228, 64, 28),
		jpegHeader(sof2, 300, 200, 3, 0x22, 0x11, 0x11), jpegHeader(sof0, 60_000, 60_000, 1, 0x41, 0x14, 0x22),
		asPNG(f, quarters(20, 20, "RGBW")), pngHeader(10_000, 10_000, 8, 2), interlaced(pngHeader(30, 20, 16, 6)),
		pngHeader(8, 8, 8, 2, chunk("eXIf", exifOf(binary.BigEndian, 5))),
		from64(f, losslessWebP), from64(f, lossyWebP), from64(f, halfClear), from64(f, movingWebP),
		webpHeader(1<<3|1<<4, 30, 20), []byte("\x00\x00\x00\x18ftypheic"),
	} {
		f.Add(upload)
	}
	limits := Limits{Bytes: 1 << 16, Pixels: 1 << 16, Side: 2000, Longest: 64, Thumbnail: 16}.withDefaults()
	reasons := map[string]bool{"photo-type": true, "photo-pixels": true, "photo-broken": true}
	f.Fuzz(func(t *testing.T, upload []byte) {
		p, err := develop(context.Background(), bytes.NewReader(upload), limits)
		if err != nil {
			if e := fault.As(err); e == nil || !reasons[e.Code] || e.Kind != fault.Invalid {
				t.Fatalf("refused without a reason: %v", err)
			}
			return
		}
		clean(t, p.Picture)
		clean(t, p.Thumbnail)
		if c := config(t, p.Picture); max(c.Width, c.Height) > 64 || c.Width != p.Width || c.Height != p.Height {
			t.Errorf("%d x %d, said to be %d x %d", c.Width, c.Height, p.Width, p.Height)
		}
	})
}
