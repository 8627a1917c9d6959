package domain

import (
	"fmt"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Role says which of the three faces a person sees.
type Role string

// The roles.
const (
	Owner      Role = "owner"
	Technician Role = "technician"
	Client     Role = "client"
)

// Person is somebody of one shop: an owner, a technician or a client.
type Person struct {
	ID           ID
	Version      int
	Name         string
	Email        string
	Phone        string
	Role         Role
	Skills       []string
	CostRate     decimal.Decimal // per hour, for technicians
	Active       bool
	Roster       *Roster // of those who work in the shop; nil: the shop's hours hold
	PasswordHash string  `json:"-"` // never leaves the store; empty: no password, so no sign-in by e-mail
	CreatedAt    time.Time
}

// Validate names what is wrong with a person. known holds the shop's skills.
func (p Person) Validate(known PriceBook) error {
	var c fault.Collector
	if p.Role != Owner && p.Role != Technician && p.Role != Client {
		c.Add("/role", "A person is an owner, a technician or a client.")
	}
	if p.Role != Client && p.Email == "" {
		c.Add("/email", "An owner or technician signs in with an e-mail address; give one.")
	}
	if p.CostRate.IsNegative() {
		c.Add("/cost_rate", "A cost rate is not negative.")
	}
	seen := map[string]bool{}
	for i, s := range p.Skills {
		if _, ok := known.Rate(s); !ok {
			c.Add(fmt.Sprintf("/skills/%d", i), "The price book has no skill %q; add its rate first.", s)
		}
		if seen[s] {
			c.Add(fmt.Sprintf("/skills/%d", i), "Skill %q stands twice.", s)
		}
		seen[s] = true
	}
	return c.Err("person-invalid")
}

// ValidateRoster names what is wrong with a person's hours and absences, given the
// shop's calendar.
func (p Person) ValidateRoster(shop Shop) error {
	var c fault.Collector
	if p.Role == Client && !p.Roster.Empty() {
		c.Add("/roster", "A client has no working hours.")
	}
	p.Roster.faults(&c, "/roster", shop, PersonReasons())
	return c.Err("roster-invalid")
}

// Actor is who asks for something, from where. It is made by the HTTP layer
// from a session, or by the command line.
type Actor struct {
	ShopID    ID
	PersonID  ID
	Name      string
	Role      Role
	OnlyJob   ID // a client whose link is for one job
	SessionID ID
	From      string // address or "console"
	RequestID string
}

// Session is one sign-in on one device. Only a hash of its token is stored.
type Session struct {
	ID         ID
	ShopID     ID
	PersonID   ID
	LinkID     ID // the client link that opened it, if any
	OnlyJob    ID
	TokenHash  string `json:"-"` // never leaves the store
	Device     string
	CreatedAt  time.Time
	LastSeenAt time.Time
	ExpiresAt  time.Time
}

// LinkPurpose says what a private link may be exchanged for.
type LinkPurpose string

// What a link is for.
const (
	InvitationLink LinkPurpose = "invitation" // choose a password; works once
	ClientAccess   LinkPurpose = "client"     // open a client session; works until it ends
)

// PrivateLink is a secret address for one person. Only its hash is stored.
type PrivateLink struct {
	ID         ID
	ShopID     ID
	PersonID   ID
	Purpose    LinkPurpose
	OnlyJob    ID
	TokenHash  string `json:"-"` // never leaves the store
	CreatedAt  time.Time
	ExpiresAt  time.Time
	RevokedAt  *time.Time
	LastUsedAt *time.Time
}

// Usable reports whether the link still opens anything at an instant.
func (l PrivateLink) Usable(now time.Time) bool {
	return l.RevokedAt == nil && now.Before(l.ExpiresAt)
}
