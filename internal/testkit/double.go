package testkit

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"time"
	"unicode/utf8"

	"bareframe/internal/domain"
)

// Clock is what the program takes for the time. It stands still until set.
type Clock struct {
	mu  sync.Mutex
	now time.Time
}

// Now returns the instant set last.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

// Set moves the clock to an instant, forward or back.
func (c *Clock) Set(at time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = at.UTC()
}

// Advance moves the clock by a duration.
func (c *Clock) Advance(by time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(by)
}

// keeper is a double of the password keeper: a bare digest, fast and the same
// every time. It refuses short passwords as the real one does.
type keeper struct{ checks atomic.Int64 }

func (*keeper) Hash(_ context.Context, password string) (string, error) {
	sum := sha256.Sum256([]byte("double " + password))
	return "double$" + hex.EncodeToString(sum[:]), nil
}

func (k *keeper) Matches(ctx context.Context, password, hash string) (bool, error) {
	k.checks.Add(1)
	own, err := k.Hash(ctx, password)
	return hash != "" && own == hash, err
}

func (*keeper) Weakness(password string, personal ...string) string {
	if utf8.RuneCountInString(password) < 12 {
		return "Take at least twelve characters."
	}
	for _, word := range personal {
		if word != "" && strings.EqualFold(word, password) {
			return "That is your own name."
		}
	}
	return ""
}

// counter gives IDs that count up, so that a failure looks the same each time.
type counter struct{ last atomic.Uint64 }

func (c *counter) next() domain.ID {
	return fmt.Sprintf("0193f000-0000-7000-8000-%012x", c.last.Add(1))
}

func secret() string {
	var b [32]byte
	_, _ = rand.Read(b[:]) // never fails: it ends the program instead
	return base64.RawURLEncoding.EncodeToString(b[:])
}
