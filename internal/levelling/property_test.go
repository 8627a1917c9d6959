package levelling

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func solved(t *rapid.T, in Input, e Effort) Result {
	r, err := Solve(context.Background(), in, e, nil)
	if err != nil {
		t.Fatalf("refused: %v", err)
	}
	return r
}

// The separate inspector finds nothing in any plan, and none is below its bound.
func TestNoPlanBreaksARule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawShop(t, 14)
		r := solved(t, in, Effort{Schedules: 12, Seed: 3})
		if r.Bound.Late > r.Cost.Late || r.Bound.Finish > r.Cost.Finish || r.Bound.Changes > r.Cost.Changes {
			t.Errorf("cost %+v is below the bound %+v", r.Cost, r.Bound)
		}
		for _, said := range Check(in, r) {
			t.Error(said)
		}
	})
}

// The same seed gives the same plan with one worker and with two, and more effort
// never gives a worse one.
func TestPlansDependOnSeedAndEffortAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawShop(t, 10)
		one := solved(t, in, Effort{Schedules: 60, Seed: 5, Workers: 1})
		two := solved(t, in, Effort{Schedules: 60, Seed: 5, Workers: 2})
		if diff := cmp.Diff(one, two); diff != "" {
			t.Errorf("one worker and two differ (-one +two):\n%s", diff)
		}
		less := solved(t, in, Effort{Schedules: 20, Seed: 5})
		if lowerCost(less.Cost, one.Cost) {
			t.Errorf("20 schedules cost %v and 60 cost %v", less.Cost, one.Cost)
		}
	})
}

func lowerCost(a, b Cost) bool {
	if a.Late != b.Late {
		return a.Late < b.Late
	}
	if a.Finish != b.Finish {
		return a.Finish < b.Finish
	}
	return a.Changes < b.Changes
}

// A search that was stopped at once answers with a whole plan.
func TestACancelledSearchKeepsAPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawShop(t, 10)
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		r, err := Solve(ctx, in, Effort{Schedules: 500, Seed: 1}, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, said := range Check(in, r) {
			t.Error(said)
		}
	})
}
