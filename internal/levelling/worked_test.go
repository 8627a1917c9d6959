package levelling

import (
	"context"
	"encoding/json"
	"os"
	"slices"
	"testing"
	"time"

	"bareframe/internal/calendar"
)

// worked is a shop that was planned on paper; how is told in its file.
type worked struct {
	Input Input
	Want  struct {
		Late   int64                       `json:"late_weighted"`
		Finish int64                       `json:"finish_weighted"`
		Jobs   map[string]calendar.Minutes `json:"late"`
		Start  map[string]time.Time        `json:"start"`
		Ends   map[string]time.Time        `json:"finish"`
		Why    map[string]Why              `json:"why"`
	}
}

func readWorked(t *testing.T, name string) (c worked) {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/levelling/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &c); err != nil {
		t.Fatal(err)
	}
	return c
}

func TestWorkedByHand(t *testing.T) {
	for _, name := range []string{"two-cars-one-stand.json", "one-promise-of-two.json", "clock-goes-forward.json", "clock-goes-back.json"} {
		t.Run(name, func(t *testing.T) {
			c := readWorked(t, name)
			r, err := Solve(context.Background(), c.Input, Effort{Schedules: 50, Seed: 1}, nil)
			if err != nil || r.Cost.Late != c.Want.Late || r.Cost.Finish != c.Want.Finish || len(r.Tasks) != len(c.Want.Start) {
				t.Fatalf("got %v, %d tasks, cost %+v; want %d tasks, late %d, finish %d", err, len(r.Tasks), r.Cost, len(c.Want.Start), c.Want.Late, c.Want.Finish)
			}
			for _, p := range r.Tasks {
				if !p.Start.Equal(c.Want.Start[p.Task]) {
					t.Errorf("%s starts %v, want %v", p.Task, p.Start, c.Want.Start[p.Task])
				}
				if end, ok := c.Want.Ends[p.Task]; ok && !p.Finish.Equal(end) {
					t.Errorf("%s is finished %v, want %v", p.Task, p.Finish, end)
				}
			}
			for _, j := range r.Jobs {
				if late, ok := c.Want.Jobs[j.Job]; ok && j.LateMinutes != late {
					t.Errorf("%s is %d minutes late, want %d", j.Job, j.LateMinutes, late)
				}
			}
			for _, got := range Explain(c.Input, r) {
				if want, ok := c.Want.Why[got.Task]; ok && (got.Cause != want.Cause || got.Waited != want.Waited || got.Skill != want.Skill || !slices.Equal(got.By, want.By)) {
					t.Errorf("%s waits for %+v, want %+v", got.Task, got, want)
				}
			}
			for _, said := range Check(c.Input, r) {
				t.Error(said)
			}
		})
	}
}

// Nobody else can weld there and there is one stand, so one more of one alone
// saves nothing.
func TestOneMoreOfOneAloneSavesNothing(t *testing.T) {
	c := readWorked(t, "two-cars-one-stand.json")
	effort := Effort{Schedules: 50, Seed: 1}
	r, err := Solve(context.Background(), c.Input, effort, nil)
	if err != nil {
		t.Fatal(err)
	}
	gains, err := Relief(context.Background(), c.Input, r, effort)
	if err != nil || len(gains) == 0 {
		t.Fatalf("got %v and %d answers", err, len(gains))
	}
	for _, g := range gains {
		if g.Late != 0 || g.Finish != 0 {
			t.Errorf("one more of %s%s saves %+v, want nothing", g.Station, g.Skill, g)
		}
	}
}
