package app

import (
	"testing"

	"bareframe/internal/domain"
)

// shelf is a store of which only the estimates are asked for: each has one
// phase, named by what was stored last.
type shelf struct {
	Reader
	name  string
	asked [][]domain.ID
}

func (s *shelf) Estimates(ids []domain.ID) (map[domain.ID]domain.Estimate, error) {
	s.asked = append(s.asked, ids)
	out := map[domain.ID]domain.Estimate{}
	for _, id := range ids {
		out[id] = domain.Estimate{Phases: []domain.Phase{{Name: s.name}}}
	}
	return out, nil
}

// writing is the same shelf inside a use case that writes.
type writing struct {
	Tx
	*shelf
}

func (w writing) Estimates(ids []domain.ID) (map[domain.ID]domain.Estimate, error) {
	return w.shelf.Estimates(ids)
}

func TestEstimatesAreReadOnceAVersion(t *testing.T) {
	a := New(Options{})
	s := &shelf{name: "first"}
	read := func(r Reader, wantName string, wantAsked int, jobs ...domain.Job) {
		t.Helper()
		s.asked = nil
		got, err := a.estimatesOf(r, jobs)
		if err != nil {
			t.Fatal(err)
		}
		asked := 0
		for _, ids := range s.asked {
			asked += len(ids)
		}
		if len(s.asked) > 1 || asked != wantAsked {
			t.Errorf("asked the store %v, want %d estimates in one go", s.asked, wantAsked)
		}
		for _, j := range jobs {
			if e := got[j.ID]; len(e.whole.Phases) != 1 || e.whole.Phases[0].Name != wantName {
				t.Errorf("job %s at version %d: got %+v, want phase %q", j.ID, j.Version, e, wantName)
			}
		}
	}
	one, two := domain.Job{ID: "one", Version: 1}, domain.Job{ID: "two", Version: 1}
	read(s, "first", 1, one)
	read(s, "first", 1, one, two) // only what is missing
	read(s, "first", 0, one, two)

	// An edit sees its own rows, and what it read stays its own: were it undone,
	// another edit would reach the same version with other rows.
	s.name = "undone"
	edited := domain.Job{ID: "one", Version: 2}
	read(writing{shelf: s}, "undone", 1, edited)
	s.name = "second"
	read(s, "second", 1, edited)
	read(writing{shelf: s}, "second", 1, edited) // from its own rows again
}
