package levelling

import (
	"context"
	"testing"
)

// On paper: the second car's lift needs two body hands, and one of the two welds
// the first car until Tuesday evening; so it waits from Monday 08:00, and the
// stand or the body hands are what it waits for.
func TestTheSecondCarWaitsForTheFirst(t *testing.T) {
	q := Example()
	r, err := Solve(context.Background(), q.Input, *q.Effort, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range Explain(q.Input, r) {
		if w.Task != "b-lift" {
			continue
		}
		if w.Cause != ByQueue || w.Waited != 960 || len(w.By) == 0 || w.By[0] != "a-weld" {
			t.Errorf("got %+v; want a queue of 960 minutes behind a-weld", w)
		}
		return
	}
	t.Error("nothing is said of b-lift")
}
