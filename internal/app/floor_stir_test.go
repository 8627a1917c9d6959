package app

import (
	"testing"
	"time"
)

// A shop in which something happens every two seconds is planned all the same, and no
// later than a minute after the first.
func TestABusyShopIsLookedAtToo(t *testing.T) {
	var s stirred
	begin := time.Date(2031, 3, 3, 8, 0, 0, 0, time.UTC)
	if _, first := s.take(begin); !first {
		t.Error("the first look was not called the first")
	}
	for at := begin; at.Before(begin.Add(time.Minute)); at = at.Add(2 * time.Second) {
		s.note("busy", at)
		if due, first := s.take(at.Add(time.Second)); first || due["busy"] {
			t.Fatalf("%s after it began, and two seconds after the last: due %v, first %v; want neither", at.Sub(begin), due, first)
		}
	}
	if due, _ := s.take(begin.Add(time.Minute)); !due["busy"] {
		t.Error("a minute of work, and the shop is not looked at")
	}
	s.note("calm", begin)
	if due, _ := s.take(begin.Add(4 * time.Second)); due["calm"] {
		t.Error("looked at before it was quiet for five seconds")
	}
	due, first := s.take(begin.Add(5 * time.Second))
	if !due["calm"] || due["busy"] {
		t.Errorf("got %v; want the calm shop, and the busy one no second time", due)
	}
	s.untaken(due, first, begin)
	if due, _ := s.take(begin.Add(time.Minute)); !due["calm"] {
		t.Error("what could not be looked at was forgotten")
	}
}
