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

// jobNetwork is a network of the size that one job has: 75 tasks in five lines
// of work with 120 links, a third of it done, a promise and a calendar.
func jobNetwork() Input {
	const tasks, links, abreast = 75, 120, 5
	rng := rand.New(rand.NewPCG(3, 4))
	data := time.Date(2031, 3, 17, 12, 0, 0, 0, time.UTC)
	promise := data.AddDate(0, 2, 0)
	in := Input{Start: data.AddDate(0, 0, -14), DataDate: &data, Promise: &promise}
	for i := range tasks {
		task := Task{ID: fmt.Sprintf("task-%02d", i), Duration: calendar.Minutes(30 + rng.IntN(900))}
		if i%8 == 7 {
			task.Kind = calendar.Elapsed
		}
		if i < tasks/3 {
			began := in.Start.Add(time.Duration(i) * 8 * time.Hour)
			ended := began.Add(7 * time.Hour)
			task.ActualStart, task.ActualFinish = &began, &ended
		}
		in.Tasks = append(in.Tasks, task)
	}
	for k := range links {
		to := abreast + k%(tasks-abreast)
		from := to - abreast
		if k >= tasks-abreast {
			from = to - 1 - rng.IntN(abreast)
		}
		l := Link{ID: fmt.Sprintf("link-%03d", k), From: in.Tasks[from].ID, To: in.Tasks[to].ID}
		if k%4 == 0 {
			l.Lag, l.LagKind = calendar.Minutes(rng.IntN(480)), calendar.Elapsed
		}
		in.Links = append(in.Links, l)
	}
	return in
}

// BenchmarkJobNetwork is what every view of a job costs.
func BenchmarkJobNetwork(b *testing.B) {
	in := jobNetwork()
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
