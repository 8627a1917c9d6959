package domain

import (
	"strings"
	"testing"
	"time"

	"bareframe/internal/fault"
)

func TestDecideInEachState(t *testing.T) {
	expiry := time.Date(2031, 4, 1, 22, 0, 0, 0, time.UTC)
	before, at, after := expiry.Add(-time.Nanosecond), expiry, expiry.Add(time.Hour)
	for _, r := range []struct {
		name  string
		state QuoteState
		now   time.Time
		code  string // "" when the decision stands
	}{
		{"open, the last instant", QuoteOpen, before, ""},
		{"open, as it expires", QuoteOpen, at, "quote-expired"},
		{"open, later", QuoteOpen, after, "quote-expired"},
		{"accepted", QuoteAccepted, before, "quote-decided"},
		{"accepted, later", QuoteAccepted, after, "quote-decided"},
		{"declined", QuoteDeclined, before, "quote-decided"},
		{"superseded", QuoteSuperseded, before, "quote-superseded"},
		{"superseded, later", QuoteSuperseded, after, "quote-superseded"},
		{"withdrawn", QuoteWithdrawn, before, "quote-decided"},
		{"expired as stored", QuoteExpired, before, "quote-expired"},
	} {
		for _, accepted := range []bool{true, false} {
			earlier := &Decision{Name: "earlier"}
			q := Quote{Number: "7-2", State: r.state, ExpiresAt: expiry, Decision: earlier}
			err := q.Decide(Decision{Accepted: accepted, Name: "Sorei Vantesse"}, r.now)
			if r.code != "" {
				if e := fault.As(err); e == nil || e.Kind != fault.Conflict || e.Code != r.code || !strings.Contains(e.Detail, "7-2") {
					t.Errorf("%s: %v, want %s that names the quote", r.name, err, r.code)
				}
				if q.State != r.state || q.Decision != earlier {
					t.Errorf("%s: a refused decision changed the quote to %s by %s", r.name, q.State, q.Decision.Name)
				}
				continue
			}
			want := map[bool]QuoteState{true: QuoteAccepted, false: QuoteDeclined}[accepted]
			if err != nil || q.State != want || q.Decision.Name != "Sorei Vantesse" || q.Decision.Accepted != accepted {
				t.Errorf("%s: %v, state %s, decision %+v; want %s", r.name, err, q.State, q.Decision, want)
			}
			if err := q.Decide(Decision{Accepted: true}, r.now); fault.As(err) == nil || fault.As(err).Code != "quote-decided" {
				t.Errorf("%s: a second decision: %v", r.name, err)
			}
		}
	}
}

func TestOnlyAnOpenQuoteExpires(t *testing.T) {
	expiry := time.Date(2031, 4, 1, 22, 0, 0, 0, time.UTC)
	for _, s := range []QuoteState{QuoteAccepted, QuoteDeclined, QuoteSuperseded, QuoteWithdrawn} {
		if got := (Quote{State: s, ExpiresAt: expiry}).StateAt(expiry.AddDate(1, 0, 0)); got != s {
			t.Errorf("%s a year later reads %s", s, got)
		}
	}
}

func TestWhenALinkIsUsable(t *testing.T) {
	expiry := time.Date(2031, 4, 1, 22, 0, 0, 0, time.UTC)
	gone := expiry.AddDate(0, 0, -3)
	for _, r := range []struct {
		name string
		link PrivateLink
		now  time.Time
		want bool
	}{
		{"in time", PrivateLink{ExpiresAt: expiry}, expiry.Add(-time.Second), true},
		{"as it expires", PrivateLink{ExpiresAt: expiry}, expiry, false},
		{"revoked", PrivateLink{ExpiresAt: expiry, RevokedAt: &gone}, expiry.AddDate(0, 0, -1), false},
	} {
		if got := r.link.Usable(r.now); got != r.want {
			t.Errorf("%s: %v, want %v", r.name, got, r.want)
		}
	}
}
