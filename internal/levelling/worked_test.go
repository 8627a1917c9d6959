package levelling

import (
	"context"
	"encoding/json"
	"os"
	"testing"
	"time"
)

func TestWorkedByHand(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/levelling/two-cars-one-stand.json")
	if err != nil {
		t.Fatal(err)
	}
	var c struct {
		Input Input
		Want  struct {
			Finish int64 `json:"finish_weighted"`
			Start  map[string]time.Time
		}
	}
	if err := json.Unmarshal(raw, &c); err != nil {
		t.Fatal(err)
	}
	r, err := Solve(context.Background(), c.Input, Effort{Schedules: 50, Seed: 1}, nil)
	if err != nil || r.Cost.Finish != c.Want.Finish || len(r.Tasks) != len(c.Want.Start) {
		t.Fatalf("got %v, %d tasks, finish %d; want %d tasks, finish %d", err, len(r.Tasks), r.Cost.Finish, len(c.Want.Start), c.Want.Finish)
	}
	for _, p := range r.Tasks {
		if !p.Start.Equal(c.Want.Start[p.Task]) {
			t.Errorf("%s starts %v, want %v", p.Task, p.Start, c.Want.Start[p.Task])
		}
	}
	gains, err := Relief(context.Background(), c.Input, r, Effort{Schedules: 50, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range gains {
		// Nobody else can weld and there is one stand, so one more of one alone saves nothing.
		if g.Late != 0 || g.Finish != 0 {
			t.Errorf("one more of %s%s saves %+v, want nothing", g.Station, g.Skill, g)
		}
	}
}
