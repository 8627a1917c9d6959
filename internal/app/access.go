package app

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// How long sign-ins last. A session that is used is prolonged, except one that
// a private link opened: the link opens another while it lasts.
const (
	staffSession    = 14 * 24 * time.Hour
	clientSession   = 30 * 24 * time.Hour
	invitationLasts = 7 * 24 * time.Hour
	touchEvery      = 5 * time.Minute
)

// SignedIn is a fresh session. The token is shown to the browser only once.
type SignedIn struct {
	Token   string
	Session domain.Session
	Me      Me
}

// Me is the signed-in person and their shop.
type Me struct {
	Person    domain.Person
	Shop      domain.Shop
	SessionID domain.ID
}

// Place is where a request comes from.
type Place struct {
	Address   string
	Device    string
	RequestID string
}

func tokenHash(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// Authenticate returns who a session token stands for. It fails with
// Unauthenticated when the session is over or the person inactive.
func (a *App) Authenticate(ctx context.Context, token string, from Place) (domain.Actor, error) {
	now := a.now()
	s, p, err := a.store.SessionByHash(ctx, tokenHash(token), now)
	if fault.KindOf(err) == fault.NotFound || err == nil && !p.Active {
		return domain.Actor{}, fault.New(fault.Unauthenticated, "session-over", "Your session is over; sign in again.")
	}
	if err != nil {
		return domain.Actor{}, err
	}
	if now.Sub(s.LastSeenAt) > touchEvery {
		expires := s.ExpiresAt // of what a link opened: use must not outlive the link
		if s.LinkID == "" {
			expires = now.Add(sessionLength(p.Role))
		}
		if err := a.store.TouchSession(ctx, s.ID, now, expires); err != nil {
			return domain.Actor{}, err
		}
	}
	return domain.Actor{ShopID: s.ShopID, PersonID: p.ID, Name: p.Name, Role: p.Role, OnlyJob: s.OnlyJob,
		SessionID: s.ID, From: from.Address, RequestID: from.RequestID}, nil
}

func sessionLength(role domain.Role) time.Duration {
	if role == domain.Client {
		return clientSession
	}
	return staffSession
}

// SignIn checks e-mail and password. An unknown address and a wrong password
// get the same answer after the same work.
func (a *App) SignIn(ctx context.Context, email, password string, from Place) (SignedIn, error) {
	now := a.now()
	email = strings.ToLower(strings.TrimSpace(email))
	if err := a.attempts.take("address "+from.Address, 30, 4*time.Second, now); err != nil {
		return SignedIn{}, err
	}
	if err := a.attempts.take("account "+email, 10, 20*time.Second, now); err != nil {
		return SignedIn{}, err
	}
	person, shopID, err := a.store.PersonByEmail(ctx, email)
	if err != nil && fault.KindOf(err) != fault.NotFound {
		return SignedIn{}, err
	}
	ok, err := a.passwords.Matches(ctx, password, person.PasswordHash)
	if err != nil {
		return SignedIn{}, err
	}
	if !ok || !person.Active {
		return SignedIn{}, fault.New(fault.Unauthenticated, "sign-in-refused", "E-mail or password is not right.")
	}
	return a.openSession(ctx, shopID, person.ID, domain.PrivateLink{}, "signIn", from)
}

// openSession makes a session within the shop and writes it into the trail.
func (a *App) openSession(ctx context.Context, shopID, personID domain.ID, link domain.PrivateLink, action policy.Action, from Place) (SignedIn, error) {
	var out SignedIn
	err := a.store.Update(ctx, shopID, func(tx Tx) error {
		person, err := tx.Person(personID)
		if err != nil {
			return err
		}
		shop, err := tx.Shop()
		if err != nil {
			return err
		}
		w := &work{Tx: tx, app: a, action: action, now: a.now(),
			actor: domain.Actor{ShopID: shopID, PersonID: person.ID, Name: person.Name, Role: person.Role, From: from.Address}}
		out, err = w.newSession(shop, person, link, from)
		return err
	})
	return out, err
}

func (w *work) newSession(shop domain.Shop, person domain.Person, link domain.PrivateLink, from Place) (SignedIn, error) {
	token := w.app.secret()
	expires := w.now.Add(sessionLength(person.Role))
	if link.Purpose == domain.ClientAccess && link.ExpiresAt.Before(expires) {
		expires = link.ExpiresAt
	}
	s := domain.Session{ID: w.app.newID(), ShopID: shop.ID, PersonID: person.ID, LinkID: link.ID, OnlyJob: link.OnlyJob,
		TokenHash: tokenHash(token), Device: from.Device, CreatedAt: w.now, LastSeenAt: w.now, ExpiresAt: expires}
	if err := w.AddSession(s); err != nil {
		return SignedIn{}, err
	}
	if err := w.trail("session "+s.ID, "", nil, map[string]any{"person": person.ID, "device": s.Device}); err != nil {
		return SignedIn{}, err
	}
	return SignedIn{Token: token, Session: s, Me: Me{Person: person, Shop: shop, SessionID: s.ID}}, nil
}

// SignOut ends the actor's own session.
func (a *App) SignOut(ctx context.Context, actor domain.Actor) error {
	return a.change(ctx, actor, "signOut", func(w *work) error { return w.endSession(actor.SessionID) })
}

func (w *work) endSession(id domain.ID) error {
	if err := w.EndSession(id); err != nil {
		return err
	}
	return w.trail("session "+id, "", nil, map[string]string{"session": "ended"})
}

// Sessions lists where the actor is signed in.
func (a *App) Sessions(ctx context.Context, actor domain.Actor) ([]domain.Session, error) {
	var out []domain.Session
	err := a.view(ctx, actor, "listSessions", func(r Reader) (err error) {
		out, err = r.Sessions(actor.PersonID, a.now())
		return err
	})
	return out, err
}

// EndSession signs the actor out on another device.
func (a *App) EndSession(ctx context.Context, actor domain.Actor, id domain.ID) error {
	return a.change(ctx, actor, "endSession", func(w *work) error {
		all, err := w.Sessions(actor.PersonID, w.now)
		if err != nil {
			return err
		}
		for _, s := range all {
			if s.ID == id {
				return w.endSession(id)
			}
		}
		return fault.New(fault.NotFound, "session-not-found", "You have no such session.")
	})
}

// Me returns the signed-in person and shop.
func (a *App) Me(ctx context.Context, actor domain.Actor) (Me, error) {
	out := Me{SessionID: actor.SessionID}
	err := a.view(ctx, actor, "getMe", func(r Reader) (err error) {
		if out.Shop, err = r.Shop(); err != nil {
			return err
		}
		out.Person, err = r.Person(actor.PersonID)
		return err
	})
	return out, err
}

// ChangePassword sets a new password and ends the person's other sessions. The
// current one is asked for when there is one. A session for one job sets none:
// a password opens all jobs of the person.
func (a *App) ChangePassword(ctx context.Context, actor domain.Actor, current, next string) error {
	if err := policy.Allow(actor, "changePassword"); err != nil {
		return err
	}
	if actor.OnlyJob != "" {
		return fault.New(fault.Forbidden, "link-for-one-job", "This link shows one job only; ask the shop for one that covers all of yours before choosing a password.")
	}
	if err := a.attempts.take("password "+actor.PersonID, 10, 20*time.Second, a.now()); err != nil {
		return err
	}
	me, err := a.Me(ctx, actor)
	if err != nil {
		return err
	}
	if me.Person.Email == "" {
		return fault.New(fault.Conflict, "no-email", "A password needs an e-mail address; ask the shop to add yours.")
	}
	if me.Person.PasswordHash != "" {
		ok, err := a.passwords.Matches(ctx, current, me.Person.PasswordHash)
		if err != nil {
			return err
		}
		if !ok {
			return fault.InvalidField("password-wrong", "/current", "That is not your current password.")
		}
	}
	hash, err := a.newPassword(ctx, "/new", next, me.Person, me.Shop)
	if err != nil {
		return err
	}
	return a.change(ctx, actor, "changePassword", func(w *work) error {
		p, err := w.Person(actor.PersonID)
		if err != nil {
			return err
		}
		p.PasswordHash = hash
		p.Version++
		if err := w.SavePerson(p); err != nil {
			return err
		}
		if err := w.EndSessions(p.ID, "", actor.SessionID); err != nil {
			return err
		}
		return w.trail("person "+p.ID, "", nil, map[string]string{"password": "changed"})
	})
}

func (a *App) newPassword(ctx context.Context, pointer, password string, p domain.Person, shop domain.Shop) (string, error) {
	if why := a.passwords.Weakness(password, p.Name, p.Email, shop.Settings.Name); why != "" {
		return "", fault.InvalidField("password-weak", pointer, "%s", why)
	}
	return a.passwords.Hash(ctx, password)
}

// AcceptInvitation lets an owner or technician choose a password, once.
func (a *App) AcceptInvitation(ctx context.Context, token, password string, from Place) (SignedIn, error) {
	link, err := a.usableLink(ctx, token, domain.InvitationLink, from)
	if err != nil {
		return SignedIn{}, err
	}
	var person domain.Person
	var shop domain.Shop
	err = a.store.View(ctx, link.ShopID, func(r Reader) (err error) {
		if shop, err = r.Shop(); err != nil {
			return err
		}
		person, err = r.Person(link.PersonID)
		return err
	})
	if err != nil {
		return SignedIn{}, err
	}
	hash, err := a.newPassword(ctx, "/password", password, person, shop)
	if err != nil {
		return SignedIn{}, err
	}
	var out SignedIn
	err = a.store.Update(ctx, link.ShopID, func(tx Tx) error {
		w := &work{Tx: tx, app: a, action: "acceptInvitation", now: a.now(),
			actor: domain.Actor{ShopID: link.ShopID, PersonID: person.ID, Name: person.Name, Role: person.Role, From: from.Address}}
		fresh, err := tx.Link(link.ID)
		if err != nil {
			return err
		}
		if !fresh.Usable(w.now) {
			return linkOver()
		}
		fresh.RevokedAt, fresh.LastUsedAt = &w.now, &w.now
		if err := tx.SaveLink(fresh); err != nil {
			return err
		}
		p, err := tx.Person(person.ID)
		if err != nil {
			return err
		}
		if !p.Active || p.Role == domain.Client {
			return linkOver()
		}
		p.PasswordHash = hash
		p.Version++
		if err := tx.SavePerson(p); err != nil {
			return err
		}
		if err := tx.EndSessions(p.ID, "", ""); err != nil {
			return err
		}
		out, err = w.newSession(shop, p, domain.PrivateLink{}, from)
		return err
	})
	return out, err
}

// OpenClientLink exchanges a client's private link for a session.
func (a *App) OpenClientLink(ctx context.Context, token string, from Place) (SignedIn, error) {
	link, err := a.usableLink(ctx, token, domain.ClientAccess, from)
	if err != nil {
		return SignedIn{}, err
	}
	var out SignedIn
	err = a.store.Update(ctx, link.ShopID, func(tx Tx) error {
		fresh, err := tx.Link(link.ID)
		if err != nil {
			return err
		}
		p, err := tx.Person(link.PersonID)
		if err != nil {
			return err
		}
		shop, err := tx.Shop()
		if err != nil {
			return err
		}
		w := &work{Tx: tx, app: a, action: "openClientLink", now: a.now(),
			actor: domain.Actor{ShopID: link.ShopID, PersonID: p.ID, Name: p.Name, Role: p.Role, From: from.Address}}
		if !fresh.Usable(w.now) || !p.Active || p.Role != domain.Client {
			return linkOver()
		}
		fresh.LastUsedAt = &w.now
		if err := tx.SaveLink(fresh); err != nil {
			return err
		}
		out, err = w.newSession(shop, p, fresh, from)
		return err
	})
	return out, err
}

func linkOver() error {
	return fault.New(fault.Unauthenticated, "link-over", "This link does not work any more; ask the shop for a new one.")
}

func (a *App) usableLink(ctx context.Context, token string, purpose domain.LinkPurpose, from Place) (domain.PrivateLink, error) {
	if err := a.attempts.take("link "+from.Address, 30, 4*time.Second, a.now()); err != nil {
		return domain.PrivateLink{}, err
	}
	link, err := a.store.LinkByHash(ctx, tokenHash(token))
	if fault.KindOf(err) == fault.NotFound || err == nil && (link.Purpose != purpose || !link.Usable(a.now())) {
		return domain.PrivateLink{}, linkOver()
	}
	return link, err
}
