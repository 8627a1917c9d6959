package project

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"bareframe/internal/levelling/search"
)

// The beam with room for all states leaves nothing out but what is needless, and the
// tree of exact.go leaves nothing out at all; they share no rule. So both find the
// least makespan, whichever way time runs, and nothing one unit shorter.
func TestABeamThatCutsNothingOffIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := random(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(5, 11).Draw(t, "activities"), 0)
		root, _ := pathsOf(p, false)
		starts, _, all := exhaust(p, root, apart(p), horizonOf(p)+1, 100_000)
		if !all {
			t.Skip("too large for the tree")
		}
		want := makespan(p, starts)
		for _, backward := range []bool{false, true} {
			f, _ := lay(p, backward)
			b := newBeam(p, f)
			got, placed, all := b.pass(context.Background(), horizonOf(p), 1<<12, 1e9)
			if !all || got == nil || makespan(p, got) != want {
				t.Fatalf("backward %v: got %v, all %v, want makespan %d: %+v", backward, got, all, want, p)
			}
			if shorter, _, all := b.pass(context.Background(), want-1, 1<<12, 1e9); shorter != nil || !all {
				t.Errorf("backward %v: got %v within %d, all %v, want nothing: %+v", backward, shorter, want-1, all, p)
			}
			if _, again, _ := b.pass(context.Background(), horizonOf(p), 1<<12, placed/2); again > placed/2+float64(len(p.Durations)) {
				t.Errorf("backward %v: got %v placements, want at most %v and those of one state", backward, again, placed/2)
			}
		}
	})
}

func TestMoreEffortIsNeverWorseWithBeams(t *testing.T) {
	for seed := range uint64(4) {
		p := random(seed+100, 34, 0)
		last, bound := int32(1<<30), int32(0)
		for _, schedules := range []float64{1, 400, 900, 1300, 1301, 2500, 4000, 6000} {
			got, err := Solve(context.Background(), p, search.Effort{Schedules: schedules, Aim: 1200, Seed: seed})
			if err != nil {
				t.Fatal(err)
			}
			if wrong := p.Check(got.Starts); len(wrong) > 0 {
				t.Fatalf("seed %d, %v schedules: %v", seed, schedules, wrong)
			}
			if got.Makespan > last || got.Bound < bound || got.Bound > got.Makespan {
				t.Errorf("seed %d: %v schedules give %d to %d, fewer gave %d to %d", seed, schedules, got.Bound, got.Makespan, bound, last)
			}
			if got.Schedules > schedules+2 {
				t.Errorf("seed %d: got %v schedules, want at most %v and one state more", seed, got.Schedules, schedules)
			}
			last, bound = got.Makespan, got.Bound
		}
	}
}

// A beam's inner loop allocates nothing once it has its room.
func TestABeamAllocatesNothingForAState(t *testing.T) {
	p := random(5, 30, 0)
	f, _ := lay(p, false)
	b := newBeam(p, f)
	ctx := context.Background()
	placed := 0.0
	pass := func() { _, placed, _ = b.pass(ctx, horizonOf(p), 300, 1e9) }
	pass()
	if got := testing.AllocsPerRun(5, pass); got > 3*30 || placed < 3000 {
		t.Errorf("got %v allocations for %v placements, want at most three for each of 30 levels", got, placed)
	}
}
