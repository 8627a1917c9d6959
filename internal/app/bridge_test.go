package app

import (
	"slices"
	"testing"

	"bareframe/internal/domain"
	"bareframe/internal/network"
)

func TestWhatClosesTheGapOfARemovedTask(t *testing.T) {
	for _, r := range []struct {
		name  string
		links []domain.Link
		want  []string
	}{
		{"one before, one after", []domain.Link{follows("a", "x"), follows("x", "b")}, []string{"a FS b"}},
		{"two and two", []domain.Link{follows("a", "x"), follows("b", "x"), follows("x", "c"), follows("x", "d")}, []string{"a FS c", "a FS d", "b FS c", "b FS d"}},
		{"linked already", []domain.Link{follows("a", "x"), follows("x", "b"), follows("a", "b")}, nil},
		{"linked otherwise", []domain.Link{follows("a", "x"), follows("x", "b"), linked("a", "b", network.SS)}, []string{"a FS b"}},
		{"twice linked makes one", []domain.Link{follows("a", "x"), linked("a", "x", network.SS), follows("x", "b")}, []string{"a FS b"}},
		{"nothing before", []domain.Link{follows("x", "b")}, nil},
		{"nothing after", []domain.Link{follows("a", "x")}, nil},
		{"from and to the same", []domain.Link{linked("a", "x", network.SS), linked("x", "a", network.FF)}, nil},
	} {
		a := New(Options{NewID: numbered()})
		var got []string
		for _, l := range a.bridge(domain.Estimate{Links: r.links}, domain.Task{ID: "x", JobID: "job"}) {
			got = append(got, l.FromID+" "+string(l.Type)+" "+l.ToID)
			if l.ID == "" || l.JobID != "job" || !l.LagHours.IsZero() {
				t.Errorf("%s: %+v", r.name, l)
			}
		}
		slices.Sort(got)
		if !slices.Equal(got, r.want) {
			t.Errorf("%s: %v, want %v", r.name, got, r.want)
		}
	}
}
