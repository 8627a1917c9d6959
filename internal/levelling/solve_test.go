package levelling

import (
	"context"
	"testing"
)

func TestTheExampleIsPlannedWhole(t *testing.T) {
	q := Example()
	r, err := Solve(context.Background(), q.Input, *q.Effort, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Tasks) != len(q.Tasks) || len(r.Unplaced) > 0 || r.Cost.Late != 0 {
		t.Errorf("got %d tasks, unplaced %v, late %d; want all %d tasks on time", len(r.Tasks), r.Unplaced, r.Cost.Late, len(q.Tasks))
	}
	for _, said := range Check(q.Input, r) {
		t.Error(said)
	}
}
