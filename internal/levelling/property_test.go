package levelling

import (
	"context"
	"testing"

	"pgregory.net/rapid"
)

func solved(t *rapid.T, in Input, e Effort) Result {
	r, err := Solve(context.Background(), in, e, nil)
	if err != nil {
		t.Fatalf("refused: %v", err)
	}
	return r
}

// The separate inspector finds nothing in any plan.
func TestNoPlanBreaksARule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawShop(t, 14)
		r := solved(t, in, Effort{Schedules: 12, Seed: 3})
		for _, said := range Check(in, r) {
			t.Error(said)
		}
	})
}
