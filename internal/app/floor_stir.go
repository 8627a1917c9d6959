package app

import (
	"sync"
	"time"

	"bareframe/internal/domain"
)

const (
	// settleFor is how long the floor has to be quiet before it is planned again by
	// itself, and stirredFor how long it may be kept waiting for that.
	settleFor  = 5 * time.Second
	stirredFor = time.Minute
	// lookAgain is how long a shop is left alone whose floor could not be looked at.
	lookAgain = 30 * time.Second
)

// stirred remembers the shops in which something happened since they were last
// planned.
type stirred struct {
	mu    sync.Mutex
	due   map[domain.ID]stir
	day   map[domain.ID]domain.Day // in which a shop was last looked at
	begun bool
}

// stir is from when on a shop is looked at: once it is quiet, and at the latest.
type stir struct{ quiet, latest time.Time }

// note has a shop looked at once it is quiet after what happened at an instant.
func (s *stirred) note(shop domain.ID, at time.Time) {
	s.lookAt(shop, stir{at.Add(settleFor), at.Add(stirredFor)})
}

func (s *stirred) lookAt(shop domain.ID, next stir) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.due == nil {
		s.due = map[domain.ID]stir{}
	}
	if was, ok := s.due[shop]; ok && was.latest.Before(next.latest) {
		next.latest = was.latest
	}
	s.due[shop] = next
}

// dawned reports whether a day of a shop is seen for the first time.
func (s *stirred) dawned(shop domain.ID, today domain.Day) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.day == nil {
		s.day = map[domain.ID]domain.Day{}
	}
	was := s.day[shop]
	s.day[shop] = today
	return was != today
}

// failed has a shop looked at again, after a while.
func (s *stirred) failed(shop domain.ID, now time.Time) {
	s.lookAt(shop, stir{now.Add(lookAgain), now.Add(lookAgain)})
}

// take gives the shops to look at now and forgets them; first is true once.
func (s *stirred) take(now time.Time) (out map[domain.ID]bool, first bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	first, s.begun = !s.begun, true
	out = map[domain.ID]bool{}
	for shop, at := range s.due {
		if !at.quiet.After(now) || !at.latest.After(now) {
			out[shop] = true
			delete(s.due, shop)
		}
	}
	return out, first
}

// untaken puts back what take gave, where nothing could be done about it.
func (s *stirred) untaken(shops map[domain.ID]bool, first bool, now time.Time) {
	for shop := range shops {
		s.failed(shop, now)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.begun = s.begun && !first
}
