package project

import (
	"slices"
	"testing"

	"bareframe/internal/levelling/search"
	"pgregory.net/rapid"
)

// Every scheme, in both directions of time, makes a schedule that holds and is active: no
// activity could start earlier while the others stay. Without a delay it is a
// non-delay schedule besides: at no time could anything have started beside what
// had begun by then (both theorems: Kolisch, EJOR 90, 1996).
func TestSchemesMakeTheSchedulesTheyAreKnownFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := random(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(1, 25).Draw(t, "activities"), 0)
		forward, _ := lay(p, false)
		backward, _ := lay(p, true)
		g := newGenerator(forward, backward)
		src := search.NewSource(rapid.Uint64().Draw(t, "chance"))
		scheme := rapid.Int32Range(0, schemes-1).Draw(t, "scheme")
		turned := rapid.Bool().Draw(t, "backward")
		if turned {
			g, p = g.mirror, mirrored(p)
		}
		order := slices.Clone(g.order(src))
		into := search.NewSchedule(len(order))
		into.Scheme = scheme
		placed, ok := g.Decode(order, search.None, into)
		if placed != len(order) || !ok {
			t.Fatalf("%d of %d placed, %v", placed, len(order), ok)
		}
		if wrong := p.Check(into.Start); len(wrong) > 0 {
			t.Fatalf("scheme %d: %v", scheme, wrong)
		}
		if end := makespan(p, into.Start); int64(end) != into.Cost[0] {
			t.Fatalf("it ends at %d and costs %d", end, into.Cost[0])
		}
		starts := slices.Clone(into.Start)
		for i := range starts {
			for at := range into.Start[i] {
				starts[i] = at
				if len(p.Check(starts)) == 0 {
					t.Fatalf("scheme %d: activity %d starts at %d and could at %d", scheme, i, into.Start[i], at)
				}
				if scheme == 0 && len(p.begun(starts, at).Check(starts)) == 0 {
					t.Fatalf("without delay: at %d activity %d could start beside what had begun, and does at %d", at, i, into.Start[i])
				}
			}
			starts[i] = into.Start[i]
		}
	})
}

// A limit turns away exactly the schedules that are longer, by every scheme.
func TestALimitTurnsAwayWhatIsLonger(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := random(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(1, 30).Draw(t, "activities"), 0)
		forward, _ := lay(p, false)
		backward, _ := lay(p, true)
		g := newGenerator(forward, backward)
		order := slices.Clone(g.order(search.NewSource(rapid.Uint64().Draw(t, "chance"))))
		into := search.NewSchedule(len(order))
		into.Scheme = rapid.Int32Range(0, schemes-1).Draw(t, "scheme")
		g.Decode(order, search.None, into)
		end := into.Cost[0]
		if _, ok := g.Decode(order, search.Cost{end}, into); !ok || into.Cost[0] != end {
			t.Fatalf("a schedule of %d is turned away at %d", end, end)
		}
		if placed, ok := g.Decode(order, search.Cost{end - 1}, into); ok || placed > len(order) {
			t.Fatalf("a schedule of %d passes at %d, or counts for %d of %d", end, end-1, placed, len(order))
		}
	})
}

// mirrored is p with time running backward; its arcs all wait for a finish.
func mirrored(p *Project) *Project {
	out := &Project{Durations: p.Durations, Needs: p.Needs, Capacities: p.Capacities}
	for _, a := range p.Arcs {
		out.Arcs = append(out.Arcs, p.After(a.To, a.From))
	}
	return out
}

// begun is p in which what starts after at needs nothing: what was begun by then, alone.
func (p *Project) begun(starts []int32, at int32) *Project {
	out := *p
	out.Needs = slices.Clone(p.Needs)
	out.Arcs = nil
	for i, s := range starts {
		if s > at {
			out.Needs[i] = make([]int32, len(p.Capacities))
		}
	}
	for _, a := range p.Arcs {
		if starts[a.To] <= at {
			out.Arcs = append(out.Arcs, a)
		}
	}
	return &out
}
