package project

import (
	"context"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bareframe/internal/levelling/search"
)

// small draws a project of a few activities; with lags, also maximum ones.
func small(t *rapid.T, lags bool) *Project {
	n := rapid.IntRange(1, 4).Draw(t, "activities")
	r := rapid.IntRange(1, 6).Draw(t, "resources") // five and more take a second word of the board
	p := &Project{}
	for range r {
		p.Capacities = append(p.Capacities, rapid.Int32Range(1, 4).Draw(t, "capacity"))
	}
	for range n {
		p.Durations = append(p.Durations, rapid.Int32Range(0, 3).Draw(t, "duration"))
		needs := make([]int32, r)
		for k := range needs {
			needs[k] = rapid.Int32Range(0, p.Capacities[k]).Draw(t, "need")
		}
		p.Needs = append(p.Needs, needs)
	}
	for j := 1; j < n; j++ {
		for i := range j {
			if rapid.IntRange(0, 2).Draw(t, "linked") > 0 {
				continue
			}
			p.Arcs = append(p.Arcs, p.After(int32(i), int32(j)))
			if lags {
				least := rapid.Int32Range(0, 3).Draw(t, "lag")
				p.Arcs[len(p.Arcs)-1].Lag = least
				if rapid.Bool().Draw(t, "maximum") {
					p.Arcs = append(p.Arcs, Arc{int32(j), int32(i), -least - rapid.Int32Range(0, 4).Draw(t, "slack")})
				}
			}
		}
	}
	return p
}

// trial is the least makespan of all starts up to latest, found by trying each;
// -1 when none holds. It only asks Check.
func trial(p *Project, latest int32) int32 {
	starts := make([]int32, len(p.Durations))
	best := int32(-1)
	for {
		end := int32(0)
		for i, s := range starts {
			end = max(end, s+p.Durations[i])
		}
		if (best < 0 || end < best) && len(p.Check(starts)) == 0 {
			best = end
		}
		k := 0
		for k < len(starts) && starts[k] == latest {
			starts[k] = 0
			k++
		}
		if k == len(starts) {
			return best
		}
		starts[k]++
	}
}

// Durations of at most 3 and lags of at most 3 for 4 activities: where there is a
// schedule there is one within 12 + 9 units; the least one starts nothing after 10
// unless lags add up, which the few drawn here do not.
func TestSmallProjectsAgainstTryingAllStarts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lags := rapid.Bool().Draw(t, "lags")
		p := small(t, lags)
		want := trial(p, 10)
		solve := Solve
		if lags {
			solve = SolveLags
		}
		got, err := solve(context.Background(), p, search.Effort{Schedules: 400, Seed: 1})
		if err != nil {
			t.Fatalf("%v of %+v", err, p)
		}
		if want < 0 {
			if got.Status != Infeasible {
				t.Fatalf("got %s with makespan %d, no start up to 10 holds: %+v", got.Status, got.Makespan, p)
			}
			return
		}
		if wrong := p.Check(got.Starts); len(wrong) > 0 {
			t.Fatalf("%v: %+v of %+v", wrong, got.Starts, p)
		}
		if got.Makespan != want || got.Bound > want {
			t.Fatalf("got makespan %d and bound %d, want %d: %+v", got.Makespan, got.Bound, want, p)
		}
	})
}

// random draws a larger project from a plain seed, with n activities.
func random(seed uint64, n int, most int32) *Project {
	src := search.NewSource(seed)
	p := &Project{Capacities: []int32{6, 5, 4}}
	for j := range n {
		p.Durations = append(p.Durations, int32(src.Int(9)))
		p.Needs = append(p.Needs, []int32{int32(src.Int(4)), int32(src.Int(4)), int32(src.Int(3))})
		for range 2 {
			if j > 0 && src.Int(4) > 0 {
				i := int32(src.Int(j))
				p.Arcs = append(p.Arcs, p.After(i, int32(j)))
				if most > 0 && src.Int(4) == 0 {
					p.Arcs = append(p.Arcs, Arc{int32(j), i, -p.Durations[i] - most})
				}
			}
		}
	}
	return p
}

func TestTheAnswerDependsOnSeedAndEffortAlone(t *testing.T) {
	for seed := range uint64(6) {
		for name, p := range map[string]*Project{"plain": random(seed, 60, 0), "lags": random(seed, 30, 25)} {
			solve := Solve
			if name == "lags" {
				solve = SolveLags
			}
			var first Result
			for _, workers := range []int{1, 2, 5} {
				got, err := solve(context.Background(), p, search.Effort{Schedules: 600, Seed: seed, Workers: workers})
				if err != nil {
					t.Fatal(err)
				}
				if wrong := p.Check(got.Starts); got.Starts != nil && len(wrong) > 0 {
					t.Fatalf("%s, seed %d: %v", name, seed, wrong)
				}
				if workers == 1 {
					first = got
				} else if got.Makespan != first.Makespan || !slices.Equal(got.Starts, first.Starts) || got.Schedules != first.Schedules {
					t.Errorf("%s, seed %d: %d workers give %d after %v, one gives %d after %v", name, seed, workers, got.Makespan, got.Schedules, first.Makespan, first.Schedules)
				}
			}
		}
	}
}

func TestMoreEffortIsNeverWorse(t *testing.T) {
	for seed := range uint64(4) {
		p := random(seed, 50, 0)
		last := int32(1 << 30)
		for _, schedules := range []float64{1, 7, 50, 120, 121, 300, 900, 1000} {
			got, err := Solve(context.Background(), p, search.Effort{Schedules: schedules, Aim: 100, Seed: seed})
			if err != nil {
				t.Fatal(err)
			}
			if got.Makespan > last || got.Makespan < got.Bound {
				t.Errorf("seed %d: %v schedules give %d, fewer gave %d; the bound is %d", seed, schedules, got.Makespan, last, got.Bound)
			}
			last = got.Makespan
		}
	}
}

func TestASearchThatIsEndedStillAnswers(t *testing.T) {
	ended, end := context.WithCancel(context.Background())
	end()
	p := random(3, 40, 0)
	got, err := Solve(ended, p, search.Effort{Schedules: 1000, Seed: 1, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if wrong := p.Check(got.Starts); len(wrong) > 0 || got.Schedules > 2 {
		t.Errorf("got %v after %v schedules, want one schedule that holds", wrong, got.Schedules)
	}
}

func TestInstancesThatAreNone(t *testing.T) {
	for name, p := range map[string]*Project{
		"no activity":        {},
		"needs of one only":  {Durations: []int32{1, 2}, Needs: [][]int32{{1}}, Capacities: []int32{1}},
		"negative duration":  {Durations: []int32{-1}, Needs: [][]int32{{}}},
		"negative need":      {Durations: []int32{1}, Needs: [][]int32{{-1}}, Capacities: []int32{1}},
		"need past a word":   {Durations: []int32{1}, Needs: [][]int32{{40_000}}, Capacities: []int32{30_000}},
		"arc to nothing":     {Durations: []int32{1}, Needs: [][]int32{{}}, Arcs: []Arc{{0, 1, 1}}},
		"arc to itself":      {Durations: []int32{1}, Needs: [][]int32{{}}, Arcs: []Arc{{0, 0, 1}}},
		"longer than a year": {Durations: []int32{1 << 25}, Needs: [][]int32{{}}},
	} {
		if _, err := Solve(context.Background(), p, search.Effort{Schedules: 1}); err == nil {
			t.Errorf("%s was accepted", name)
		}
	}
	for name, p := range map[string]*Project{
		"too small":  {Durations: []int32{1}, Needs: [][]int32{{2}}, Capacities: []int32{1}},
		"a circle":   {Durations: []int32{1, 1}, Needs: [][]int32{{}, {}}, Arcs: []Arc{{0, 1, 1}, {1, 0, 1}}},
		"both sides": {Durations: []int32{2, 2}, Needs: [][]int32{{1}, {1}}, Capacities: []int32{1}, Arcs: []Arc{{0, 1, 0}, {1, 0, -1}}},
	} {
		got, err := SolveLags(context.Background(), p, search.Effort{Schedules: 10})
		if err != nil || got.Status != Infeasible {
			t.Errorf("%s: got %s and %v, want infeasible", name, got.Status, err)
		}
	}
}
