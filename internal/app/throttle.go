package app

import (
	"sync"
	"time"

	"golang.org/x/time/rate"

	"bareframe/internal/fault"
)

// throttle slows down guessing: so many attempts by account and by address,
// then one every so often. It lives in memory: each instance counts for itself.
type throttle struct {
	mu      sync.Mutex
	buckets map[string]*rate.Limiter
}

const mostBuckets = 50_000

func newThrottle() *throttle { return &throttle{buckets: map[string]*rate.Limiter{}} }

// take uses up one attempt of a key, of which burst are free at once and one
// more comes back in every interval.
func (t *throttle) take(key string, burst int, every time.Duration, now time.Time) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	b, ok := t.buckets[key]
	if !ok {
		if len(t.buckets) >= mostBuckets {
			clear(t.buckets)
		}
		b = rate.NewLimiter(rate.Every(every), burst)
		t.buckets[key] = b
	}
	if !b.AllowN(now, 1) {
		return fault.New(fault.Throttled, "too-many-attempts", "Too many attempts; wait a minute and try again.")
	}
	return nil
}
