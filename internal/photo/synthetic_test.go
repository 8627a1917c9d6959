package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"testing"
)

func pixels(t *testing.T, jpg []byte) image.Image {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(jpg))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// share returns which part of a picture's pixels is of a kind.
func share(img image.Image, is func(r, g, b int) bool) float64 {
	n, b := 0, img.Bounds()
	for y := range b.Dy() {
		for x := range b.Dx() {
			r, g, bl, _ := img.At(x, y).RGBA()
			if is(int(r>>8), int(g>>8), int(bl>>8)) {
				n++
			}
		}
	}
	return float64(n) / float64(b.Dx()*b.Dy())
}

func TestAMotifIsDrawnTheSameEveryTime(t *testing.T) {
	m := Motif{Seed: 3, Width: 240, Height: 180, Rust: 0.5, Pits: 0.3, Holes: 2, Patch: true}
	first := Drawn(m)
	if !bytes.Equal(first, Drawn(m)) {
		t.Error("the same motif gave two pictures")
	}
	m.Seed++
	if bytes.Equal(first, Drawn(m)) {
		t.Error("two seeds gave one picture")
	}
}

func TestADrawnPictureShowsItsMotif(t *testing.T) {
	rusty := func(r, _, b int) bool { return r > b+25 }
	black := func(r, g, b int) bool { return r < 32 && g < 26 && b < 24 }
	at := func(m Motif) image.Image {
		m.Seed, m.Width, m.Height = 11, 400, 300
		return pixels(t, Drawn(m))
	}
	none, some, much := share(at(Motif{}), rusty), share(at(Motif{Rust: 0.4}), rusty), share(at(Motif{Rust: 0.9}), rusty)
	if none > 0.01 || some < none+0.05 || much < some+0.2 {
		t.Errorf("rust 0, 0.4, 0.9 show %.2f, %.2f, %.2f of the picture rusty; want clearly more each time", none, some, much)
	}
	if sound, holed := share(at(Motif{Bare: true}), black), share(at(Motif{Bare: true, Holes: 4}), black); holed < sound+0.01 {
		t.Errorf("four holes: %.3f of the picture black, without %.3f", holed, sound)
	}
	if painted, bare := share(at(Motif{}), func(r, g, b int) bool { return r+g+b > 330 }), share(at(Motif{Bare: true}), func(r, g, b int) bool { return r+g+b > 330 }); bare < painted+0.3 {
		t.Errorf("bare metal: %.2f of the picture light, painted %.2f", bare, painted)
	}
}

func TestADrawnPictureCanBeTakenIn(t *testing.T) {
	p := sanitised(t, Drawn(Motif{Seed: 1, Rust: 0.6, Holes: 1}), Limits{})
	if p.Width != 1200 || p.Height != 900 {
		t.Errorf("%d x %d, want 1200 x 900", p.Width, p.Height)
	}
}

func TestAnySizeCanBeDrawn(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {3, 200}, {200, 3}, {-5, 7}, {333, 251}} {
		img := pixels(t, Drawn(Motif{Width: size[0], Height: size[1], Rust: 0.5, Holes: 2, Patch: true, Pits: 1}))
		want := image.Pt(size[0], size[1])
		if size[0] < 1 {
			want = image.Pt(1200, 900)
		}
		if got := img.Bounds().Max; got != want {
			t.Errorf("asked for %v, drew %v", size, got)
		}
	}
}

// Every closer view of a perforated place shows a hole: it is looked at for it.
func TestEachViewOfAPlaceShowsIt(t *testing.T) {
	black := func(r, g, b int) bool { return r < 32 && g < 26 && b < 24 }
	seen := map[string]int{}
	for seed := range uint64(6) {
		for view := range 5 {
			jpg := Drawn(Motif{Seed: seed, Width: 240, Height: 180, Bare: true, Rust: 0.8, Holes: 2, View: view})
			if other, twice := seen[string(jpg)]; twice {
				t.Errorf("seed %d: views %d and %d are one picture", seed, other, view)
			}
			seen[string(jpg)] = view
			if got := share(pixels(t, jpg), black); got < 0.003 {
				t.Errorf("seed %d, view %d: %.4f of the picture is black, want a hole in it", seed, view, got)
			}
		}
	}
}

// The standard library converts single colours by the same standard (ITU-T T.871);
// colour differences are halved both ways, so that areas of one colour compare.
func TestSubsampledAgreesWithTheStandardLibrary(t *testing.T) {
	for _, size := range []image.Point{{1, 1}, {2, 2}, {5, 3}, {4, 7}} {
		for _, c := range []color.RGBA{{0, 0, 0, 255}, {255, 255, 255, 255}, {255, 0, 0, 255}, {0, 255, 0, 255}, {0, 0, 255, 255}, {112, 66, 42, 255}} {
			img := image.NewRGBA(image.Rectangle{Max: size})
			draw.Draw(img, img.Rect, image.NewUniform(c), image.Point{}, draw.Src)
			out := subsampled(img)
			wantY, wantB, wantR := color.RGBToYCbCr(c.R, c.G, c.B)
			for y := range size.Y {
				for x := range size.X {
					got := out.YCbCrAt(x, y)
					if off(got.Y, wantY) > 1 || off(got.Cb, wantB) > 1 || off(got.Cr, wantR) > 1 {
						t.Errorf("%v at %d, %d of %v: got %v, want %d %d %d", c, x, y, size, got, wantY, wantB, wantR)
					}
				}
			}
		}
	}
}

func off(a, b byte) int { return max(int(a)-int(b), int(b)-int(a)) }
