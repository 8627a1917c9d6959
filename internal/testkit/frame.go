package testkit

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/photo"
)

// FrameOf returns a job's frame past HTTP.
func (w *World) FrameOf(t testing.TB, boss *Person, id domain.ID) app.FramePage {
	t.Helper()
	page, err := w.App.Frame(t.Context(), boss.Actor, id)
	if err != nil {
		t.Fatalf("reading the frame of job %s: %v", id, err)
	}
	return page
}

// Uncover has Tech see the example job's first zone on arrival, with a photo,
// and report a finding there with the same photo. It remembers {observation},
// {photo} and {finding}.
func (w *World) Uncover(t testing.TB) {
	t.Helper()
	picture, err := w.App.AddPhoto(t.Context(), w.Tech.Actor, w.Job, FreshKey(), bytes.NewReader(Upload(t, 64, 48)))
	if err != nil {
		t.Fatalf("adding a photo: %v", err)
	}
	zone := w.Var("zone")
	seen, err := w.App.Observe(t.Context(), w.Tech.Actor, w.Job, FreshKey(), domain.Observation{ZoneID: zone, Moment: domain.OnArrival,
		Condition: domain.GradeC, Note: "Scale below the undercoating.", PhotoIDs: []domain.ID{picture.ID}})
	if err != nil {
		t.Fatalf("observing: %v", err)
	}
	found, err := w.App.ReportFinding(t.Context(), w.Tech.Actor, w.Job, FreshKey(), domain.Finding{ZoneID: zone, What: domain.FoundPerforation,
		Condition: domain.Perforated, LengthMM: 140, WidthMM: 60, Count: 1, Note: "Screwdriver goes through.", PhotoIDs: []domain.ID{picture.ID},
		Repairs: []string{"cut-out-and-fabricate"}})
	if err != nil {
		t.Fatalf("reporting: %v", err)
	}
	w.Set("photo", picture.ID)
	w.Set("observation", seen.Observation.ID)
	w.Set("finding", found.Finding.ID)
}

// Upload is a PNG of this size, as a phone would send one.
func Upload(t testing.TB, width, height int) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			img.Set(x, y, color.RGBA{R: uint8(x), G: uint8(y), B: uint8(x * y), A: 255})
		}
	}
	var out bytes.Buffer
	if err := png.Encode(&out, img); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// Blobs counts the files in the folder of photos.
func (w *World) Blobs(t testing.TB) int {
	t.Helper()
	n := 0
	if err := w.Photos.Each(func(photo.Kept) error { n++; return nil }); err != nil {
		t.Fatal(err)
	}
	return n
}
