package load

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Spread is how long the requests of a load took.
type Spread struct {
	Took   []time.Duration // ascending, of those that were answered well
	Failed int             // not answered, or not as wanted
	First  error           // the first failure
	Lasted time.Duration   // from the first start to the last answer
}

// At returns the percentile p (0 to 100) by nearest rank, 0 when nothing was
// answered.
func (s Spread) At(p float64) time.Duration {
	if len(s.Took) == 0 {
		return 0
	}
	rank := int(math.Ceil(p / 100 * float64(len(s.Took))))
	return s.Took[min(max(rank, 1), len(s.Took))-1]
}

// PerSecond is how many were answered in a second.
func (s Spread) PerSecond() float64 {
	if s.Lasted <= 0 {
		return 0
	}
	return float64(len(s.Took)) / s.Lasted.Seconds()
}

// String says it in a line.
func (s Spread) String() string {
	return fmt.Sprintf("%d answered, %d failed, %.0f/s, p50 %v, p99 %v, longest %v", len(s.Took), s.Failed, s.PerSecond(),
		s.At(50).Round(10*time.Microsecond), s.At(99).Round(10*time.Microsecond), s.At(100).Round(10*time.Microsecond))
}

// Median returns the middle of some values, the mean of the two middle ones
// when their number is even, 0 of none.
func Median(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	v := slices.Sorted(slices.Values(values))
	if n := len(v); n%2 == 0 {
		return (v[n/2-1] + v[n/2]) / 2
	}
	return v[len(v)/2]
}
