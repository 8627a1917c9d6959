package store

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func readFrame(t *testing.T, r app.Reader, f furniture) {
	t.Helper()
	zones, err := r.Zones(f.job.ID)
	same(t, "Zones", zones, []domain.Zone{f.zone}, err)
	seen, err := r.Observations(f.job.ID)
	same(t, "Observations", seen, []domain.Observation{f.seen}, err)
	one, err := r.Observation(f.seen.ID)
	same(t, "Observation", one, f.seen, err)
	found, err := r.Findings(f.job.ID)
	same(t, "Findings", found, []domain.Finding{f.found}, err)
	finding, err := r.Finding(f.found.ID)
	same(t, "Finding", finding, f.found, err)
	photos, err := r.Photos(f.job.ID)
	same(t, "Photos", photos, []domain.Photo{f.photo}, err)
	photo, err := r.Photo(f.photo.ID)
	same(t, "Photo", photo, f.photo, err)
	for name, want := range map[string]bool{f.photo.Blob: true, f.photo.Thumb: true, "none": false, "": false} {
		kept, err := r.PhotoKept(name)
		same(t, "PhotoKept "+name, kept, want, err)
	}
}

func readsNoFrame(t *testing.T, r app.Reader, a furniture) {
	t.Helper()
	zones, err := r.Zones(a.job.ID)
	same(t, "Zones", zones, []domain.Zone{}, err)
	seen, err := r.Observations(a.job.ID)
	same(t, "Observations", seen, []domain.Observation{}, err)
	found, err := r.Findings(a.job.ID)
	same(t, "Findings", found, []domain.Finding{}, err)
	photos, err := r.Photos(a.job.ID)
	same(t, "Photos", photos, []domain.Photo{}, err)
	kept, err := r.PhotoKept(a.photo.Blob)
	same(t, "PhotoKept", kept, false, err)
}

// Zones come by position, findings newest first; what was removed is not read,
// its code is free again, and its row is still there to refer to.
func TestAFrameIsReadInItsOrder(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		first, second := f.zone, f.zone
		first.ID, first.Code, first.Position = "a-first", "first", 0
		second.ID, second.Position = "a-again", 9 // the code of the removed one
		next := f.found
		next.ID, next.ZoneID, next.TaskID, next.Repairs, next.PhotoIDs = "a-next", first.ID, "", nil, nil
		update(t, s, "a", func(tx app.Tx) error {
			number, err := tx.NextFindingNumber(f.job.ID)
			next.Number = number
			return must(err, tx.RemoveZone(f.zone.ID, at(40)), tx.AddZones([]domain.Zone{second, first}), tx.AddFinding(next))
		})
		view(t, s, "a", func(r app.Reader) {
			zones, err := r.Zones(f.job.ID)
			same(t, "Zones", zones, []domain.Zone{first, second}, err)
			found, err := r.Findings(f.job.ID)
			same(t, "Findings", found, []domain.Finding{next, f.found}, err)
			same(t, "number", next.Number, 2, nil)
		})
		refused(t, "a removed zone", s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.RemoveZone(f.zone.ID, at(41)) }), fault.NotFound, "zone-not-found")
	})
}

// An observation is voided once; of a finding all may move but what it was
// reported as.
func TestWhatMayMoveOnAFrame(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		void := f.seen
		void.VoidedAt, void.VoidedBy, void.VoidReason = ptr(at(50)), "Ida Kranz", "wrong side"
		moved := f.found
		moved.Version, moved.What, moved.Condition, moved.State, moved.StateReason = 3, domain.FoundBrokenBolt, "", domain.FindingDismissed, "fine"
		moved.DismissedAt, moved.TaskID, moved.PhotoIDs, moved.OrderID = ptr(at(51)), "", nil, "an order"
		kept := moved
		moved.Number, moved.By, moved.ByName, moved.At = 77, "x", "x", at(99)
		update(t, s, "a", func(tx app.Tx) error { return must(tx.VoidObservation(void), tx.SaveFinding(moved)) })
		view(t, s, "a", func(r app.Reader) {
			seen, err := r.Observation(void.ID)
			same(t, "Observation", seen, void, err)
			found, err := r.Finding(kept.ID)
			same(t, "Finding", found, kept, err)
		})
		refused(t, "voided again", s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.VoidObservation(void) }), fault.Conflict, "append-only")
	})
}
