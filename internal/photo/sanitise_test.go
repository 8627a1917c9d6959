package photo

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"bareframe/internal/fault"
)

// WebP by ImageMagick 6.9.11: quarters red, green, blue, white, 32 by 24 pixels.
const (
	losslessWebP = "UklGRkYAAABXRUJQVlA4TDkAAAAvH8AFAB8gECAmJCiVrURIQNjm/wozJCEBccYmS62T5j/+BkwIBNk2k5zkJC9wgIj+h+q2/VYB/AIA"
	lossyWebP    = "UklGRo4AAABXRUJQVlA4IIIAAAAwBgCdASogABgAPi0QhkKhoQ36AAwBYlkAHgH8z/ADkDIAWgD+AfiBd/92Af0Ds/wTlhySntir+vYAAP75Cmj3J4//+jDrek6ou+OjWeP//2pZ2pZkJ7cliA7JNyp4GP//zEXNWh07JG9X/PHbkO2fuK38OTnEnc2v0/1FG9X64AAA"
	halfClear    = "UklGRrIAAABXRUJQVlA4WAoAAAAQAAAAHwAAFwAAQUxQSAoAAAABB1DAiAhERP8DVlA4IIIAAAAwBgCdASogABgAPi0QhkKhoQ36AAwBYlkAHgH8z/ADkDIAWgD+AfiBd/92Af0Ds/wTlhySntir+vYAAP75Cmj3J4//+jDrek6ou+OjWeP//2pZ2pZkJ7cliA7JNyp4GP//zEXNWh07JG9X/PHbkO2fuK38OTnEnc2v0/1FG9X64AAA"
	movingWebP   = "UklGRsAAAABXRUJQVlA4WAoAAAACAAAADwAACwAAQU5JTQYAAAD/////AABBTk1GRgAAAAAAAAAAAA8AAAsAAGQAAAJWUDggLgAAAJABAJ0BKhAADAACADQloAJ0ugADmAD+73bX/Abr4tcv/7nA/7nA/7nA/iQAAABBTk1GRgAAAAAAAAAAAA8AAAsAAGQAAABWUDggLgAAANQBAJ0BKhAADAAAADQloAJ0ugH4AAOwAP7aJv/kF6t823b/6MP40jxpHw5gAABSSUZGOgAAAFdFQlBWUDggLgAAAJABAJ0BKhAADAACADQloAJ0ugADmAD+73bX/Abr4tcv/7nA/7nA/7nA/iQAAAA="
)

func from64(t testing.TB, text string) []byte {
	t.Helper()
	b, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func sanitised(t *testing.T, upload []byte, l Limits) Photo {
	t.Helper()
	p, err := Sanitise(context.Background(), bytes.NewReader(upload), l)
	if err != nil {
		t.Fatalf("refused: %v", err)
	}
	clean(t, p.Picture)
	clean(t, p.Thumbnail)
	if sum := sha256.Sum256(p.Picture); p.SHA256 != hex.EncodeToString(sum[:]) {
		t.Errorf("SHA256 = %s, the picture's is %x", p.SHA256, sum)
	}
	if c := config(t, p.Picture); c.Width != p.Width || c.Height != p.Height {
		t.Errorf("the picture is %d x %d, said to be %d x %d", c.Width, c.Height, p.Width, p.Height)
	}
	return p
}

func config(t *testing.T, jpg []byte) image.Config {
	t.Helper()
	c, err := jpeg.DecodeConfig(bytes.NewReader(jpg))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// clean walks a JPEG by its markers: it may hold tables, one frame, one scan and
// the end, and nothing behind that. There is no application segment, hence no
// Exif, and no comment.
func clean(t *testing.T, jpg []byte) {
	t.Helper()
	allowed := map[byte]bool{0xdb: true, sof0: true, 0xc4: true, sos: true}
	i := 2
	for jpg[i+1] != sos {
		if jpg[i] != 0xff || !allowed[jpg[i+1]] {
			t.Fatalf("marker %#x%02x at %d", jpg[i], jpg[i+1], i)
		}
		i += 2 + int(jpg[i+2])<<8 + int(jpg[i+3])
	}
	end := bytes.Index(jpg[i:], []byte{0xff, eoi})
	if end < 0 || i+end+2 != len(jpg) {
		t.Errorf("%d bytes, the image ends at %d", len(jpg), i+end+2)
	}
	for _, mark := range [][]byte{[]byte("Exif"), []byte("GPS"), gpsRational, []byte("PK\x03\x04"), []byte("<script"), []byte("2026:05:04")} {
		if bytes.Contains(jpg, mark) {
			t.Errorf("%q is still in it", mark)
		}
	}
}

// shows checks the colours in the middle of the four quarters.
func shows(t *testing.T, jpg []byte, colours string) {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(jpg))
	if err != nil {
		t.Fatal(err)
	}
	b := img.Bounds()
	want := quarters(b.Dx(), b.Dy(), colours)
	for _, p := range []image.Point{{1, 1}, {3, 1}, {1, 3}, {3, 3}} {
		x, y := p.X*b.Dx()/4, p.Y*b.Dy()/4
		if !near(img.At(x, y), want.At(x, y), 14) {
			t.Errorf("at %d,%d of %v: %v, want %v", x, y, b.Max, color.RGBAModel.Convert(img.At(x, y)), want.At(x, y))
		}
	}
}

func near(a, b color.Color, by int) bool {
	ar, ag, ab, _ := a.RGBA()
	br, bg, bb, _ := b.RGBA()
	for _, d := range []int{int(ar) - int(br), int(ag) - int(bg), int(ab) - int(bb)} {
		if max(d, -d)>>8 > by {
			return false
		}
	}
	return true
}

// The stored pictures are written down from the definition of the tag (TIFF 6.0,
// section 8: on which side row 0 and column 0 are seen), not by the code under
// test. Upright, all show red, green / blue, white.
func TestEveryOrientationIsTurnedUpright(t *testing.T) {
	stored := map[uint16]string{
		1: "RGBW", // row 0 top, column 0 left
		2: "GRWB", // top, right
		3: "WBGR", // bottom, right
		4: "BWRG", // bottom, left
		5: "RBGW", // left, top
		6: "GWRB", // right, top
		7: "WGBR", // right, bottom
		8: "BRWG", // left, bottom

		0: "RGBW", 9: "RGBW", 65535: "RGBW", // no such orientation: as it lies
	}
	for turn, colours := range stored {
		for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
			t.Run(fmt.Sprint(turn, order), func(t *testing.T) {
				w, h := 96, 64
				if turn >= 5 && turn <= 8 {
					w, h = h, w
				}
				p := sanitised(t, withExif(asJPEG(t, quarters(w, h, colours)), order, turn), Limits{Longest: 80, Thumbnail: 40})
				if p.Width != 80 || p.Height != 53 { // 64 * 80/96 = 53.3
					t.Errorf("%d x %d, want 80 x 53", p.Width, p.Height)
				}
				shows(t, p.Picture, "RGBW")
				shows(t, p.Thumbnail, "RGBW")
			})
		}
	}
}

func TestPositionAndAllOtherMetadataAreGone(t *testing.T) {
	jpg := withExif(asJPEG(t, quarters(64, 48, "RGBW")), binary.LittleEndian, 1)
	jpg = withSegment(jpg, segment(0xfe, []byte("a comment with GPS in it")))
	jpg = withSegment(jpg, segment(0xe2, []byte("ICC_PROFILE\x00\x01\x01"), make([]byte, 200)))
	jpg = withSegment(jpg, segment(app1, []byte("http://ns.adobe.com/xap/1.0/\x00<x:xmpmeta>GPS</x:xmpmeta>")))
	for _, mark := range [][]byte{[]byte("Exif"), gpsRational, []byte("GPS"), {0xff, app1}} {
		if !bytes.Contains(jpg, mark) {
			t.Fatalf("the upload lacks %q: this test would show nothing", mark)
		}
	}
	p := sanitised(t, jpg, Limits{}) // looks for all of it
	if want := time.Date(2026, 5, 4, 14, 30, 0, 0, time.UTC); !p.Taken.Equal(want) {
		t.Errorf("taken %v, want %v: 16:30 two hours ahead of UTC", p.Taken, want)
	}
	png := asPNG(t, quarters(64, 48, "GWRB"))
	at := len(pngSignature) + 25
	png = bytes.Join([][]byte{png[:at], chunk("tEXt", []byte("Comment\x00GPS")), chunk("eXIf", exifOf(binary.BigEndian, 6)), png[at:]}, nil)
	p = sanitised(t, png, Limits{})
	shows(t, p.Picture, "RGBW")
	if p.Width != 48 || p.Height != 64 || p.Taken.IsZero() {
		t.Errorf("a PNG with metadata: %d x %d, taken %v", p.Width, p.Height, p.Taken)
	}
}

func TestWhatIsTakenIn(t *testing.T) {
	gray := image.NewGray(image.Rect(0, 0, 20, 10))
	for i := range gray.Pix {
		gray.Pix[i] = 130
	}
	deep := image.NewNRGBA64(image.Rect(0, 0, 20, 10))
	for i := 0; i < len(deep.Pix); i += 8 {
		copy(deep.Pix[i:], []byte{200, 0, 100, 0, 50, 0, 0x80, 0}) // half clear
	}
	clear := image.NewNRGBA(image.Rect(0, 0, 20, 10))
	moving := asPNG(t, quarters(40, 20, "RGBW"))
	at := len(pngSignature) + 25
	moving = bytes.Join([][]byte{moving[:at], chunk("acTL", []byte{0, 0, 0, 2, 0, 0, 0, 0}), moving[at : len(moving)-12],
		chunk("fdAT", []byte{0, 0, 0, 1, 1, 2, 3}), moving[len(moving)-12:]}, nil)
	for _, c := range []struct {
		name   string
		upload []byte
		want   color.Color
	}{
		{"JPEG of four inks", flatJPEG(false, 228, 64, 28, 228), color.RGBA{204, 57, 25, 255}}, // 228*228/255, 64*228/255, 28*228/255: Adobe stores inks inverted
		{"JPEG of three colours kept as they are", flatJPEG(false, 228, 64, 28), color.RGBA{228, 64, 28, 255}},
		{"progressive JPEG", flatJPEG(true, 228), color.Gray{228}},
		{"gray JPEG", asJPEG(t, gray), color.Gray{130}},
		{"two pictures in one file", append(asJPEG(t, quarters(20, 10, "RRRR")), asJPEG(t, quarters(20, 10, "BBBB"))...), red},
		{"16-bit PNG, half clear over white", asPNG(t, deep), color.RGBA{227, 177, 152, 255}}, // 200/2 + 255/2 and so on
		{"PNG that is all clear", asPNG(t, clear), color.White},
		{"PNG of one pixel", asPNG(t, quarters(1, 1, "RRRR")), red},
		{"animated PNG", moving, red},
		{"lossless WebP", from64(t, losslessWebP), red},
		{"lossy WebP", from64(t, lossyWebP), red},
		{"WebP, half clear over white", from64(t, halfClear), color.RGBA{237, 142, 142, 255}}, // 220/2 + 255/2, 30/2 + 255/2
	} {
		t.Run(c.name, func(t *testing.T) {
			p := sanitised(t, c.upload, Limits{})
			img, err := jpeg.Decode(bytes.NewReader(p.Picture))
			if err != nil {
				t.Fatal(err)
			}
			if x, y := img.Bounds().Dx()/4, img.Bounds().Dy()/4; !near(img.At(x, y), c.want, 8) {
				t.Errorf("at %d,%d: %v, want %v", x, y, color.RGBAModel.Convert(img.At(x, y)), c.want)
			}
		})
	}
}

func TestAWebPIsTurnedByItsMetadata(t *testing.T) {
	still := from64(t, lossyWebP)[12:]
	body := append(webpHeader(1<<3, 32, 24)[8:30], still...)
	exif := exifOf(binary.BigEndian, 3)
	body = append(append(body, "EXIF"...), binary.LittleEndian.AppendUint32(nil, uint32(len(exif)))...)
	body = append(body, exif...)
	if len(body)%2 == 1 {
		body = append(body, 0)
	}
	upload := append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body))), body...)
	p := sanitised(t, upload, Limits{})
	shows(t, p.Picture, "WBGR")
	if p.Taken.IsZero() {
		t.Error("the time taken was not read")
	}
}

func TestALargePictureIsMadeSmallerAndASmallOneStays(t *testing.T) {
	for _, c := range []struct{ w, h, pw, ph, tw, th int }{
		{4000, 3000, 2560, 1920, 480, 360},
		{3000, 4000, 1920, 2560, 360, 480},
		{2560, 100, 2560, 100, 480, 19}, // 18.75
		{300, 200, 300, 200, 300, 200},
		{12000, 1, 2560, 1, 480, 1},
	} {
		p := sanitised(t, asPNG(t, image.NewPaletted(image.Rect(0, 0, c.w, c.h), color.Palette{red, blue})), Limits{})
		small := config(t, p.Thumbnail)
		if got := [4]int{p.Width, p.Height, small.Width, small.Height}; got != [4]int{c.pw, c.ph, c.tw, c.th} {
			t.Errorf("%d x %d became %v, want %d x %d and %d x %d", c.w, c.h, got, c.pw, c.ph, c.tw, c.th)
		}
	}
}

func TestHostileUploadsAreRefused(t *testing.T) {
	good := asJPEG(t, quarters(640, 480, "RGBW"))
	var moving bytes.Buffer
	if err := gif.Encode(&moving, quarters(20, 10, "RGBW"), nil); err != nil {
		t.Fatal(err)
	}
	noise := make([]byte, 100_000)
	random := rand.NewChaCha8([32]byte{1})
	_, _ = random.Read(noise)
	flipped := asPNG(t, quarters(64, 64, "RGBW"))
	flipped[60] ^= 0x10 // the checksum of a chunk no longer holds
	for _, c := range []struct {
		name, code string
		upload     []byte
	}{
		{"nothing", "photo-type", nil},
		{"one byte", "photo-type", []byte{0xff}},
		{"noise", "photo-type", noise},
		{"GIF", "photo-type", moving.Bytes()},
		{"SVG", "photo-type", []byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`)},
		{"page", "photo-type", []byte("<!doctype html><img src=x onerror=alert(1)>")},
		{"zip", "photo-type", zipOf(t)},
		{"PDF", "photo-type", []byte("%PDF-1.7\n")},
		{"TIFF", "photo-type", exifOf(binary.LittleEndian, 1)},
		{"BMP", "photo-type", []byte("BM\x36\x00\x00\x00\x00\x00\x00\x00\x36\x00\x00\x00")},
		{"HEIC", "photo-type", []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic")},
		{"AVIF", "photo-type", []byte("\x00\x00\x00\x18ftypavif\x00\x00\x00\x00mif1avif")},
		{"moving WebP", "photo-type", from64(t, movingWebP)},
		{"sound in RIFF", "photo-type", []byte("RIFF\x24\x00\x00\x00WAVEfmt \x10\x00\x00\x00")},
		{"page behind a JPEG's start", "photo-broken", []byte("\xff\xd8\xff\xe0<html><script>alert(1)</script></html>")},
		{"page behind a PNG's start", "photo-broken", []byte(pngSignature + "<html><script>alert(1)</script></html>")},
		{"page behind a WebP's start", "photo-broken", []byte("RIFF\xff\x00\x00\x00WEBP<html><script>alert(1)</script></html>")},
		{"cut in the pixels", "photo-broken", good[:len(good)/2]},
		{"cut in the header", "photo-broken", good[:100]},
		{"cut before the end", "photo-broken", good[:len(good)-2]},
		{"cut PNG", "photo-broken", asPNG(t, quarters(640, 480, "RGBW"))[:200]},
		{"cut WebP", "photo-broken", from64(t, lossyWebP)[:100]},
		{"flipped bit in a PNG", "photo-broken", flipped},
		{"scan before frame", "photo-broken", append([]byte{0xff, soi}, append(segment(sos, []byte{1, 1, 0, 0, 63, 0}), 0xff, eoi)...)},
		{"two frames", "photo-broken", withSegment(good, segment(sof0, []byte{8, 0, 8, 0, 8, 1, 1, 0x11, 0}))},
		{"no width", "photo-broken", jpegHeader(sof0, 0, 10, 1, 0x11)},
		{"PNG of no height", "photo-broken", pngHeader(10, 0, 8, 2)},
		{"100 megapixels in a few bytes", "photo-pixels", pngHeader(10_000, 10_000, 8, 2)},
		{"PNG of four thousand million pixels a side", "photo-broken", pngHeader(1<<32-1, 1<<32-1, 16, 6)},
		{"PNG, side too long", "photo-pixels", pngHeader(12_001, 1, 8, 0)},
		{"39 megapixels of 16 bits", "photo-pixels", pngHeader(7_500, 5_200, 16, 6)},
		{"interlaced 20 megapixels", "photo-pixels", interlaced(pngHeader(5_000, 4_000, 8, 2))},
		{"JPEG of 65,535 by 65,535", "photo-pixels", jpegHeader(sof0, 65_535, 65_535, 1, 0x22, 0x11, 0x11)},
		{"progressive 39 megapixels", "photo-pixels", jpegHeader(sof2, 7_500, 5_200, 1, 0x22, 0x11, 0x11)},
		{"four inks, 39 megapixels", "photo-pixels", jpegHeader(sof0, 7_500, 5_200, 1, 0x11, 0x11, 0x11, 0x11)},
		{"thousands of passes", "photo-pixels", jpegHeader(sof2, 3_000, 2_000, 5_000, 0x22, 0x11, 0x11)},
		{"WebP of 16,384 a side", "photo-pixels", webpHeader(1<<4, 16_384, 16_384)},
		{"WebP, 39 megapixels", "photo-pixels", webpHeader(0, 7_500, 5_200)},
		{"13 MB", "photo-too-large", append(bytes.Clone(good), make([]byte, 13<<20)...)},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := Sanitise(context.Background(), bytes.NewReader(c.upload), Limits{})
			e := fault.As(err)
			if e == nil || e.Code != c.code || p.Picture != nil || p.Thumbnail != nil {
				t.Fatalf("got %d bytes, %v; want %s", len(p.Picture), err, c.code)
			}
			if want := map[bool]fault.Kind{true: fault.TooLarge, false: fault.Invalid}[c.code == "photo-too-large"]; e.Kind != want {
				t.Errorf("kind %s, want %s", e.Kind, want)
			}
			if !strings.HasSuffix(e.Detail, ".") || len(e.Detail) < 40 {
				t.Errorf("%q is not a sentence that a person can act on", e.Detail)
			}
		})
	}
}

func interlaced(png []byte) []byte {
	at := len(pngSignature) + 8
	body := bytes.Clone(png[at : at+13])
	body[12] = 1
	return bytes.Join([][]byte{png[:at-8], chunk("IHDR", body), png[at+17:]}, nil)
}

func zipOf(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	f, err := w.Create("page.html")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Write([]byte("<script>alert(1)</script>")); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A file that is a JPEG from the front and an archive from the back is both; what
// is kept of it is a JPEG only.
func TestAPolyglotIsCut(t *testing.T) {
	both := append(asJPEG(t, quarters(64, 48, "RGBW")), zipOf(t)...)
	if _, err := zip.NewReader(bytes.NewReader(both), int64(len(both))); err != nil {
		t.Fatalf("the upload is no archive: %v", err)
	}
	hidden := withSegment(both, segment(0xfe, []byte("<script>alert(1)</script>")))
	p := sanitised(t, hidden, Limits{})
	shows(t, p.Picture, "RGBW")
	for _, kept := range [][]byte{p.Picture, p.Thumbnail} {
		if _, err := zip.NewReader(bytes.NewReader(kept), int64(len(kept))); err == nil {
			t.Error("what is kept is still an archive")
		}
	}
}

func TestLimitsCanBeSet(t *testing.T) {
	upload := asJPEG(t, quarters(200, 100, "RGBW"))
	for name, c := range map[string]struct {
		limits Limits
		code   string
	}{
		"at the limits":       {Limits{Bytes: int64(len(upload)), Pixels: 20_000, Side: 200}, ""},
		"a byte too many":     {Limits{Bytes: int64(len(upload)) - 1}, "photo-too-large"},
		"a pixel too many":    {Limits{Pixels: 19_999}, "photo-pixels"},
		"a column too many":   {Limits{Side: 199}, "photo-pixels"},
		"too little memory":   {Limits{Memory: 20_000}, "photo-pixels"},
		"quality as low as 1": {Limits{Quality: 1}, ""},
	} {
		_, err := Sanitise(context.Background(), bytes.NewReader(upload), c.limits)
		if e := fault.As(err); (e == nil) != (c.code == "") || e != nil && e.Code != c.code {
			t.Errorf("%s: %v, want %q", name, err, c.code)
		}
	}
}

func TestWhatTheConnectionRefusesComesBackAsItIs(t *testing.T) {
	gone := errors.New("connection reset")
	if _, err := Sanitise(context.Background(), iotest.ErrReader(gone), Limits{}); !errors.Is(err, gone) || fault.As(err) != nil {
		t.Errorf("got %v", err)
	}
}

func TestAnUploadWaitsForItsTurnAndCanGiveUp(t *testing.T) {
	if err := decoding.Acquire(context.Background(), memoryForDecoding); err != nil {
		t.Fatal(err)
	}
	upload := asJPEG(t, quarters(64, 48, "RGBW"))
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error)
	go func() {
		_, err := Sanitise(ctx, bytes.NewReader(upload), Limits{})
		done <- err
	}()
	select {
	case err := <-done:
		t.Errorf("did not wait: %v", err)
	case <-time.After(50 * time.Millisecond):
	}
	cancel()
	if e := fault.As(<-done); e == nil || e.Code != "photo-no-room" || e.Kind != fault.Unavailable {
		t.Errorf("gave up with %v", e)
	}
	decoding.Release(memoryForDecoding)
	if _, err := Sanitise(context.Background(), bytes.NewReader(upload), Limits{}); err != nil {
		t.Errorf("afterwards: %v", err)
	}
}

// A temporary place that is not there stands for a full disk.
func TestWithoutRoomNothingIsKept(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir()+"/none")
	_, err := Sanitise(context.Background(), bytes.NewReader(asJPEG(t, quarters(8, 8, "RGBW"))), Limits{})
	if e := fault.As(err); e == nil || e.Code != "photo-no-room" || e.Kind != fault.Unavailable {
		t.Errorf("got %v", err)
	}
}

func TestNoTemporaryFileIsLeft(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	for _, upload := range [][]byte{asJPEG(t, quarters(8, 8, "RGBW")), []byte("no picture"), make([]byte, 13<<20)} {
		_, _ = Sanitise(context.Background(), bytes.NewReader(upload), Limits{}) // taken or refused
	}
	if left, err := os.ReadDir(dir); len(left) > 0 || err != nil {
		t.Errorf("left behind: %v, %v", left, err)
	}
}
