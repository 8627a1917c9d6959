package levelling

import (
	"context"
	"fmt"
	"testing"

	"bareframe/internal/calendar"
	"bareframe/internal/levelling/search"
	"bareframe/internal/network"
)

// benchShop is a shop with 12 people and 8 stations, and jobs of 50 tasks each: a
// chain with side branches, cures, and primer that must follow blasting.
func benchShop(tasks int) Input {
	src := search.NewSource(7)
	in := Example().Input
	in.People, in.Stations, in.Jobs, in.Tasks, in.Links = nil, nil, nil, nil, nil
	skills := []string{"weld", "blast", "paint", "body"}
	for i := range 12 {
		in.People = append(in.People, Person{ID: fmt.Sprintf("p%02d", i), Skills: []string{skills[i%4], skills[(i+1+i/4)%4]}})
	}
	for i := range 8 {
		in.Stations = append(in.Stations, Station{ID: fmt.Sprintf("s%d", i), Capacity: 1 + i%2})
	}
	window := calendar.Minutes(1440)
	for i := range tasks {
		job, k := i/50, i%50
		if k == 0 {
			promise := in.Now.AddDate(0, 0, 60+src.Int(200))
			in.Jobs = append(in.Jobs, Job{ID: fmt.Sprintf("j%d", job), Promise: &promise, Weight: 1 + src.Int(5)})
		}
		t := Task{ID: fmt.Sprintf("t%05d", i), Job: fmt.Sprintf("j%d", job), Duration: calendar.Minutes(60 * (1 + src.Int(8))), Kind: calendar.Working}
		if k%10 == 9 {
			t.Kind = calendar.Elapsed
		} else {
			t.Crew = []Crew{{skills[src.Int(4)], 1 + src.Int(8)/7}}
			if src.Int(3) == 0 {
				t.Places = []Place{{Station: in.Stations[src.Int(8)].ID}}
			}
		}
		in.Tasks = append(in.Tasks, t)
		if k > 0 {
			l := network.Link{From: in.Tasks[i-1-src.Int(min(k, 3))].ID, To: t.ID, Type: network.FS}
			if k%10 == 5 {
				l.From, l.LagKind, l.MaxLag = in.Tasks[i-1].ID, calendar.Elapsed, &window
			}
			in.Links = append(in.Links, l)
		}
	}
	return in
}

func BenchmarkShop(b *testing.B) {
	for _, size := range []struct{ tasks, schedules int }{{150, 1}, {1500, 1}, {15_000, 1}, {150, 500}, {1500, 500}} {
		in := benchShop(size.tasks)
		b.Run(fmt.Sprintf("%d tasks, %d schedules", size.tasks, size.schedules), func(b *testing.B) {
			b.ReportAllocs()
			var r Result
			for b.Loop() {
				var err error
				if r, err = Solve(context.Background(), in, Effort{Schedules: size.schedules, Seed: 1}, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(r.Cost.Late)/1440, "late-days")
			b.ReportMetric(float64(len(r.Unplaced)), "unplaced")
		})
	}
}

// busyShop is the same with promises within a quarter of a year, which its people
// cannot keep.
func busyShop(tasks int) Input {
	in := benchShop(tasks)
	for k := range in.Jobs {
		promise := in.Now.AddDate(0, 0, 8+7*k%90*tasks/1500)
		in.Jobs[k].Promise = &promise
	}
	return in
}

// What searching gains where the first plan is late, beside the bound.
func BenchmarkBusyShop(b *testing.B) {
	in := busyShop(1500)
	for _, schedules := range []int{1, 50, 500, 3000} {
		b.Run(fmt.Sprintf("1500 tasks, %d schedules", schedules), func(b *testing.B) {
			b.ReportAllocs()
			var r Result
			for b.Loop() {
				var err error
				if r, err = Solve(context.Background(), in, Effort{Schedules: schedules, Seed: 1}, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(r.Cost.Late)/1440, "late-days")
			b.ReportMetric(float64(r.Bound.Late)/1440, "least-late-days")
		})
	}
}

// A what-if from the question to the plan: one more welder in a shop whose plan is
// there.
func BenchmarkWhatIf(b *testing.B) {
	in := busyShop(1500)
	r, err := Solve(context.Background(), in, Effort{Schedules: 50, Seed: 1}, nil)
	if err != nil {
		b.Fatal(err)
	}
	in.Previous = r.Tasks
	for _, schedules := range []int{1, 100} {
		b.Run(fmt.Sprintf("1500 tasks, %d schedules", schedules), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				more, err := Apply(in, []Change{{Kind: AddPerson, Skill: "weld"}})
				if err != nil {
					b.Fatal(err)
				}
				if _, err = Solve(context.Background(), more, Effort{Schedules: schedules, Seed: 1}, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkExplain(b *testing.B) {
	for _, tasks := range []int{1500, 15_000} {
		in := busyShop(tasks)
		r, err := Solve(context.Background(), in, Effort{Schedules: 1, Seed: 1}, nil)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("%d tasks", tasks), func(b *testing.B) {
			for b.Loop() {
				Explain(in, r)
			}
		})
	}
}

// A decoder that has run once takes no more memory.
func TestDecodingAllocatesNothing(t *testing.T) {
	in := benchShop(150)
	p, err := prepare(&in)
	if err != nil {
		t.Fatal(err)
	}
	into := search.NewSchedule(len(p.s.blocks))
	if n := testing.AllocsPerRun(20, func() { p.d.Decode(p.order, search.None, into) }); n > 0 {
		t.Errorf("%v allocations a schedule, want none", n)
	}
}
