package project

import (
	"context"
	"testing"

	"bareframe/internal/levelling/search"
)

// BenchmarkSchedules5000 is 5,000 schedules of a drawn project of 120 activities on one
// core. Budget: 0.5 s.
func BenchmarkSchedules5000(b *testing.B) {
	p := random(11, 120, 0)
	b.ReportAllocs()
	for b.Loop() {
		r, err := Solve(context.Background(), p, search.Effort{Schedules: 5000, Seed: 1, Workers: 1})
		if err != nil {
			b.Fatal(err)
		}
		if r.Optimal() {
			b.Fatal("it ended before its effort; draw a harder project")
		}
	}
}
