package demo_test

import (
	"image/jpeg"
	"testing"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/photo"
)

// checkFrames holds every car to what a shop would have seen of it by now: a
// survey on arrival of most zones, and of the car in work one after stripping,
// with findings of which some are decided and three wait.
func (s shop) checkFrames(t *testing.T) {
	t.Helper()
	for model, p := range s.pages {
		f, err := s.app.Frame(t.Context(), s.owner, p.Job.ID)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[domain.Moment]map[domain.ID]bool{}
		for _, o := range f.Observations {
			if seen[o.Moment] == nil {
				seen[o.Moment] = map[domain.ID]bool{}
			}
			seen[o.Moment][o.ZoneID] = true
		}
		whole := p.Job.TemplateName != "One rail section, body raised" // there only its side is looked at
		if n := len(seen[domain.OnArrival]); n == 0 || whole && 10*n < 8*len(f.Zones) {
			t.Errorf("%s: %d of %d zones were seen on arrival", model, n, len(f.Zones))
		}
		if len(f.Findings) == 0 {
			continue
		}
		if n := len(seen[domain.Stripped]); 10*n < 8*len(f.Zones) {
			t.Errorf("%s: %d of %d zones were seen after stripping", model, n, len(f.Zones))
		}
		states := map[domain.FindingState]int{}
		for _, x := range f.Findings {
			states[x.State]++
		}
		if n := len(f.Findings); n < 5 || n > 8 || states[domain.FindingReported] != 3 || states[domain.FindingApproved] == 0 || states[domain.FindingDeclined] == 0 {
			t.Errorf("%s: %d findings in the states %v", model, n, states)
		}
	}
}

func TestTheDemosPhotographsAreThere(t *testing.T) {
	folder, err := photo.OpenFolder(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer folder.Close()
	s := loadWith(t, time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC), folder)
	photos, most := 0, 0
	for model, p := range s.pages {
		f, err := s.app.Frame(t.Context(), s.owner, p.Job.ID)
		if err != nil {
			t.Fatal(err)
		}
		most = max(most, len(f.Photos))
		hung := map[domain.ID]bool{}
		for _, o := range f.Observations {
			for _, x := range f.PhotosOf(o.PhotoIDs) {
				hung[x.ID] = true
			}
		}
		for _, x := range f.Findings {
			if len(x.PhotoIDs) == 0 {
				t.Errorf("%s: finding %d has no photograph", model, x.Number)
			}
			for _, y := range f.PhotosOf(x.PhotoIDs) {
				hung[y.ID] = true
			}
		}
		if len(hung) != len(f.Photos) {
			t.Errorf("%s: %d of %d photographs hang on something", model, len(hung), len(f.Photos))
		}
		for _, x := range f.Photos {
			photos++
			open, err := s.app.OpenPhoto(t.Context(), s.owner, x.ID, photos%2 == 0)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := jpeg.Decode(open.Bytes); err != nil {
				t.Errorf("%s: a photograph cannot be read: %v", model, err)
			}
			_ = open.Bytes.Close()
		}
	}
	if most < 60 || photos < most+5 {
		t.Errorf("the demo has %d photographs, %d of them of one frame, want 60 there and some of the others", photos, most)
	}
}
