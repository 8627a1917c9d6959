package network

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"bareframe/internal/calendar"
)

// shopWeek is Monday to Friday 08:00-12:00 and 12:30-16:30 in a zone that
// changes its clocks.
func shopWeek(zone string) calendar.Spec {
	day := []calendar.Interval{{From: "08:00", To: "12:00"}, {From: "12:30", To: "16:30"}}
	return calendar.Spec{TimeZone: zone, Week: map[string][]calendar.Interval{
		"monday": day, "tuesday": day, "wednesday": day, "thursday": day, "friday": day}}
}

// wideNetwork is a thousand lines of work side by side, a hundred tasks each,
// with links of every type and lag of both kinds among them.
func wideNetwork(tasks, links int) Input {
	rng := rand.New(rand.NewPCG(1, 2))
	in := Input{Start: time.Date(2031, 3, 3, 8, 0, 0, 0, time.UTC)}
	kinds := []calendar.Kind{calendar.Working, calendar.Working, calendar.Working, calendar.Elapsed}
	for i := range tasks {
		in.Tasks = append(in.Tasks, Task{ID: fmt.Sprintf("task-%06d", i),
			Duration: calendar.Minutes(rng.IntN(960)), Kind: kinds[rng.IntN(4)]})
	}
	types := []LinkType{FS, FS, FS, SS, FF, SF}
	const abreast = 1000
	for k := range links {
		to := abreast + k%(tasks-abreast)
		from := to - abreast
		if k >= tasks-abreast {
			from = (to/abreast-1)*abreast + rng.IntN(abreast)
		}
		in.Links = append(in.Links, Link{From: in.Tasks[from].ID, To: in.Tasks[to].ID,
			Type: types[rng.IntN(6)], Lag: calendar.Minutes(rng.IntN(600) - 60), LagKind: kinds[rng.IntN(4)]})
	}
	return in
}

const (
	benchTasks = 100_000
	benchLinks = 300_000
)

func BenchmarkCPM100k(b *testing.B) {
	in := wideNetwork(benchTasks, benchLinks)
	cal, err := calendar.New(shopWeek("Europe/Berlin"))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := CalculateOn(cal, in); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/benchLinks, "ns/link")
}

// BenchmarkMemoryWalk touches the same input once and writes as many results:
// what any answer to the same question costs in memory traffic alone.
func BenchmarkMemoryWalk(b *testing.B) {
	in := wideNetwork(benchTasks, benchLinks)
	b.ReportAllocs()
	for b.Loop() {
		var sum int64
		out := make([]TaskResult, len(in.Tasks))
		for i := range in.Tasks {
			sum += int64(in.Tasks[i].Duration)
			out[i].ID = in.Tasks[i].ID
		}
		for k := range in.Links {
			l := &in.Links[k]
			sum += int64(l.Lag) + int64(l.From[len(l.From)-1]) + int64(l.To[len(l.To)-1])
		}
		out[0].TotalFloat = calendar.Minutes(sum)
		sink = out
	}
}

var sink []TaskResult
