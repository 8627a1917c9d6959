package levelling

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"bareframe/internal/calendar"
	"bareframe/internal/network"
)

// Worked on paper: one welder, open day and night. Known are a1 0-4, b1 4-8, c1 8-12
// and a2 12-16 h. Two hours n come in between a1 and a2. Their turn is at 4, after b1,
// whose turn it is then too and which was known before: b1 stays, n is done
// 8-10, so c1 goes 10-14 and a2 14-18. Cars A and C finish two hours later, B does not.
func TestWorkThatComesInTakesItsTurn(t *testing.T) {
	now := time.Date(2031, 3, 3, 0, 0, 0, 0, time.UTC)
	at := func(h int) time.Time { return now.Add(time.Duration(h) * time.Hour) }
	task := func(id, job string, hours int) Task {
		return Task{ID: id, Job: job, Duration: calendar.Minutes(60 * hours), Kind: calendar.Working, Crew: []Crew{{"weld", 1}}}
	}
	in := Input{Now: now, People: []Person{{ID: "w", Skills: []string{"weld"}}}, Jobs: []Job{{ID: "A"}, {ID: "B"}, {ID: "C"}},
		Tasks: []Task{task("a1", "A", 4), task("a2", "A", 4), task("b1", "B", 4), task("c1", "C", 4)},
		Links: []network.Link{{ID: "l", From: "a1", To: "a2", Type: network.FS}},
		Previous: []Placement{{Task: "a1", Start: at(0), Finish: at(4)}, {Task: "b1", Start: at(4), Finish: at(8)},
			{Task: "c1", Start: at(8), Finish: at(12)}, {Task: "a2", Start: at(12), Finish: at(16)}}}
	more := in
	more.Tasks = append(more.Tasks[:4:4], task("n", "A", 2))
	more.Links = append(more.Links[:1:1], network.Link{ID: "m", From: "a1", To: "n", Type: network.FS}, network.Link{ID: "o", From: "n", To: "a2", Type: network.FS})
	for _, row := range []struct {
		name string
		in   Input
		want map[string]int
	}{
		{"as it was", in, map[string]int{"a1": 0, "b1": 4, "c1": 8, "a2": 12}},
		{"two hours more", more, map[string]int{"a1": 0, "b1": 4, "n": 8, "c1": 10, "a2": 14}},
	} {
		r, err := Follow(row.in)
		if err != nil || len(r.Tasks) != len(row.want) {
			t.Fatalf("%s: got %v and %d tasks", row.name, err, len(r.Tasks))
		}
		for _, p := range r.Tasks {
			if want := at(row.want[p.Task]); !p.Start.Equal(want) {
				t.Errorf("%s: %s starts %v, want %v", row.name, p.Task, p.Start, want)
			}
		}
		if broken := Check(row.in, r); len(broken) > 0 {
			t.Errorf("%s: %v", row.name, broken)
		}
	}
}

// What follows a plan breaks no rule, and is the same each time; what Solve refuses it
// refuses too.
func TestFollowingAPlanBreaksNoRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawShop(t, 14)
		known := solved(t, in, Effort{Schedules: 12, Seed: 3})
		for _, p := range known.Tasks {
			if rapid.IntRange(0, 4).Draw(t, "known") > 0 {
				in.Previous = append(in.Previous, p)
			}
		}
		r, err := Follow(in)
		if err != nil {
			t.Fatalf("refused: %v", err)
		}
		for _, said := range Check(in, r) {
			t.Error(said)
		}
		again, _ := Follow(in)
		if diff := cmp.Diff(r, again); diff != "" {
			t.Errorf("followed twice (-once +twice):\n%s", diff)
		}
	})
}

// Where nothing has changed, nobody is moved. (With maximum lags, or links into a
// finish, a task may be shifted inside its block.)
func TestAPlanIsFollowedToTheMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawShop(t, 14)
		in.Previous = nil
		for k := range in.Links {
			in.Links[k].Type, in.Links[k].MaxLag = network.FS, nil
		}
		known := solved(t, in, Effort{Schedules: 12, Seed: 3})
		in.Previous = known.Tasks
		r, err := Follow(in)
		if err != nil {
			t.Fatalf("refused: %v", err)
		}
		if diff := cmp.Diff(known.Tasks, r.Tasks); diff != "" {
			t.Errorf("with nothing changed (-known +followed):\n%s", diff)
		}
	})
}

func BenchmarkFollow(b *testing.B) {
	for _, tasks := range []int{150, 1500} {
		in := busyShop(tasks)
		r, err := Solve(context.Background(), in, Effort{Schedules: 100, Seed: 1}, nil)
		if err != nil {
			b.Fatal(err)
		}
		in.Previous = r.Tasks
		b.Run(fmt.Sprintf("%d tasks", tasks), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f, err := Follow(in)
				if err != nil {
					b.Fatal(err)
				}
				later := 0
				for i := range f.Jobs {
					if f.Jobs[i].Finish.After(r.Jobs[i].Finish) {
						later++
					}
				}
				b.ReportMetric(float64(later), "jobs-later")
			}
		})
	}
}
