package load

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"time"
)

// Nearest rank: of 1 to 100 the 50th percentile is 50, the 99th 99 (arithmetic).
func TestPercentiles(t *testing.T) {
	var s Spread
	for i := 1; i <= 100; i++ {
		s.Took = append(s.Took, time.Duration(i))
	}
	for p, want := range map[float64]time.Duration{0: 1, 1: 1, 50: 50, 99: 99, 99.5: 100, 100: 100} {
		if got := s.At(p); got != want {
			t.Errorf("percentile %v of 1 to 100: got %d, want %d", p, got, want)
		}
	}
	if got := (Spread{}).At(99); got != 0 {
		t.Errorf("percentile of nothing: got %v, want 0", got)
	}
	if got := (Spread{Took: []time.Duration{7}}).At(1); got != 7 {
		t.Errorf("percentile of one: got %v, want 7", got)
	}
}

func TestMedian(t *testing.T) {
	for _, c := range []struct {
		in   []float64
		want float64
	}{{nil, 0}, {[]float64{3}, 3}, {[]float64{9, 1, 5}, 5}, {[]float64{4, 1, 3, 2}, 2.5}} {
		if got := Median(c.in); got != c.want {
			t.Errorf("median of %v: got %v, want %v", c.in, got, c.want)
		}
	}
}

// A server that stalls once is charged for all who were due meanwhile.
func TestSteadyCountsTheWait(t *testing.T) {
	release := make(chan struct{})
	time.AfterFunc(200*time.Millisecond, func() { close(release) })
	s := Steady(t.Context(), 100, 10, func(context.Context, int) error {
		<-release
		return nil
	})
	if len(s.Took) != 10 || s.Failed != 0 {
		t.Fatalf("%v, want 10 answered", s)
	}
	// Due at 0, 10 ... 90 ms and all answered at 200 ms or after: the shortest
	// waits about 110 ms, the longest 200 ms.
	if s.Took[0] < 100*time.Millisecond || s.At(100) < 195*time.Millisecond {
		t.Errorf("waits from %v to %v, want from about 110 ms to 200 ms", s.Took[0], s.At(100))
	}
}

func TestFailuresAreCounted(t *testing.T) {
	odd := errors.New("odd")
	var calls atomic.Int64
	s := Greedy(t.Context(), 3, 10, time.Minute, func(_ context.Context, _, i int) error {
		calls.Add(1)
		if i%2 == 1 {
			return odd
		}
		return nil
	})
	if calls.Load() != 30 || len(s.Took) != 15 || s.Failed != 15 || !errors.Is(s.First, odd) {
		t.Errorf("%d calls, %v, first %v; want 30 calls, 15 answered, 15 failed", calls.Load(), s, s.First)
	}
}

// Entries of different slots share no time and lie in the past.
func TestSlotsLieSideBySide(t *testing.T) {
	now := time.Date(2031, 5, 6, 0, 0, 1, 0, time.UTC)
	for slot := range 3 {
		a, b := HoursAt(now, "t", slot, ""), HoursAt(now, "t", slot+1, "")
		if !a.FinishedAt.Equal(b.StartedAt) {
			t.Errorf("slot %d ends %v, the next begins %v", slot, a.FinishedAt, b.StartedAt)
		}
	}
	if last := HoursAt(now, "t", MostSlots-1, ""); !last.FinishedAt.Before(now) {
		t.Errorf("the last slot ends %v, after %v", last.FinishedAt, now)
	}
}
