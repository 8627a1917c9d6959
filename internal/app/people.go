package app

import (
	"context"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// People lists the shop's people; role "" means all.
func (a *App) People(ctx context.Context, actor domain.Actor, role domain.Role, page Page) (people []domain.Person, next string, err error) {
	err = a.view(ctx, actor, "listPeople", func(r Reader) (err error) {
		people, next, err = r.People(role, page)
		return err
	})
	return people, next, err
}

// Person returns one person.
func (a *App) Person(ctx context.Context, actor domain.Actor, id domain.ID) (p domain.Person, err error) {
	err = a.view(ctx, actor, "getPerson", func(r Reader) (err error) {
		p, err = r.Person(id)
		return err
	})
	return p, err
}

// AddPerson adds a technician, client or owner. The draft's ID, version and
// password are ignored.
func (a *App) AddPerson(ctx context.Context, actor domain.Actor, key string, draft domain.Person) (domain.Person, error) {
	return once(ctx, a, actor, "addPerson", key, draft, func(w *work) (domain.Person, error) {
		p := draft
		p.ID, p.Version, p.PasswordHash, p.CreatedAt = a.newID(), 1, "", w.now
		shop, err := w.Shop()
		if err != nil {
			return p, err
		}
		if err := p.Validate(shop.PriceBook); err != nil {
			return p, err
		}
		if err := p.ValidateRoster(shop); err != nil {
			return p, err
		}
		if err := w.AddPerson(p); err != nil {
			return p, err
		}
		w.events = append(w.events, Event{ShopID: actor.ShopID, What: "people"})
		return p, w.trail("person "+p.ID, "", nil, p)
	})
}

// ChangePerson edits a person. Someone made inactive is signed out everywhere;
// the last active owner stays.
func (a *App) ChangePerson(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, draft domain.Person) (p domain.Person, err error) {
	err = a.change(ctx, actor, "changePerson", func(w *work) error {
		before, err := w.Person(id)
		if err != nil {
			return err
		}
		if err := made.check(before.Version, before); err != nil {
			return err
		}
		shop, err := w.Shop()
		if err != nil {
			return err
		}
		p = draft
		p.ID, p.Version, p.PasswordHash, p.CreatedAt = before.ID, before.Version+1, before.PasswordHash, before.CreatedAt
		if p.Roster == nil {
			p.Roster = before.Roster
		}
		if err := p.Validate(shop.PriceBook); err != nil {
			return err
		}
		if err := p.ValidateRoster(shop); err != nil {
			return err
		}
		if (p.Role == domain.Client) != (before.Role == domain.Client) {
			return fault.InvalidField("role-fixed", "/role", "A client stays a client and staff stay staff: their links and jobs go by it. Add a second person instead.")
		}
		if err := w.keepsAnOwner(before, p); err != nil {
			return err
		}
		if p.Email == "" {
			p.PasswordHash = ""
		}
		if err := w.SavePerson(p); err != nil {
			return err
		}
		if !p.Active || p.Role != before.Role {
			if err := w.EndSessions(p.ID, "", ""); err != nil {
				return err
			}
		}
		w.events = append(w.events, Event{ShopID: actor.ShopID, What: "people"})
		return w.trail("person "+p.ID, "", before, p)
	})
	return p, err
}

func (w *work) keepsAnOwner(before, after domain.Person) error {
	if before.Role != domain.Owner || after.Role == domain.Owner && after.Active {
		return nil
	}
	owners, _, err := w.People(domain.Owner, Page{Limit: 200})
	if err != nil {
		return err
	}
	for _, o := range owners {
		if o.ID != before.ID && o.Active {
			return nil
		}
	}
	return fault.New(fault.Conflict, "last-owner", "A shop keeps at least one active owner.")
}

// MadeLink is a private link with its token, shown once.
type MadeLink struct {
	Link  domain.PrivateLink
	Token string
}

// Invite makes a one-time invitation for an owner or technician; earlier ones
// stop working.
func (a *App) Invite(ctx context.Context, actor domain.Actor, personID domain.ID) (out MadeLink, err error) {
	err = a.change(ctx, actor, "invitePerson", func(w *work) error {
		p, err := w.Person(personID)
		if err != nil {
			return err
		}
		if p.Role == domain.Client {
			return fault.New(fault.Conflict, "client-not-invited", "A client gets a private link, not an invitation.")
		}
		if !p.Active {
			return fault.New(fault.Conflict, "person-inactive", "%s is inactive; make them active first.", p.Name)
		}
		earlier, err := w.Links(personID)
		if err != nil {
			return err
		}
		for _, l := range earlier {
			if l.Purpose == domain.InvitationLink && l.Usable(w.now) {
				l.RevokedAt = &w.now
				if err := w.SaveLink(l); err != nil {
					return err
				}
			}
		}
		out, err = w.makeLink(p, domain.InvitationLink, "", invitationLasts)
		return err
	})
	return out, err
}

// MakeClientLink makes a private link for a client, for all their jobs or one.
func (a *App) MakeClientLink(ctx context.Context, actor domain.Actor, personID, onlyJob domain.ID, validDays int) (out MadeLink, err error) {
	err = a.change(ctx, actor, "makeClientLink", func(w *work) error {
		p, err := w.Person(personID)
		if err != nil {
			return err
		}
		if p.Role != domain.Client {
			return fault.New(fault.Conflict, "not-a-client", "%s is not a client.", p.Name)
		}
		if onlyJob != "" {
			job, err := w.Job(onlyJob)
			if err != nil {
				return err
			}
			if job.ClientID != p.ID {
				return fault.InvalidField("job-of-another", "/job_id", "That job is not %s's.", p.Name)
			}
		}
		out, err = w.makeLink(p, domain.ClientAccess, onlyJob, time.Duration(validDays)*24*time.Hour)
		return err
	})
	return out, err
}

func (w *work) makeLink(p domain.Person, purpose domain.LinkPurpose, onlyJob domain.ID, lasts time.Duration) (MadeLink, error) {
	token := w.app.secret()
	l := domain.PrivateLink{ID: w.app.newID(), ShopID: w.actor.ShopID, PersonID: p.ID, Purpose: purpose, OnlyJob: onlyJob,
		TokenHash: tokenHash(token), CreatedAt: w.now, ExpiresAt: w.now.Add(lasts)}
	if err := w.AddLink(l); err != nil {
		return MadeLink{}, err
	}
	return MadeLink{Link: l, Token: token}, w.trail("link "+l.ID, onlyJob, nil, map[string]any{"person": p.ID, "purpose": purpose, "expires_at": l.ExpiresAt})
}

// ClientLinks lists a person's private links that give a client access.
func (a *App) ClientLinks(ctx context.Context, actor domain.Actor, personID domain.ID) ([]domain.PrivateLink, error) {
	out := []domain.PrivateLink{}
	err := a.view(ctx, actor, "listClientLinks", func(r Reader) error {
		if _, err := r.Person(personID); err != nil {
			return err
		}
		all, err := r.Links(personID)
		for _, l := range all {
			if l.Purpose == domain.ClientAccess {
				out = append(out, l)
			}
		}
		return err
	})
	return out, err
}

// RevokeLink makes a private link worthless and ends the sessions it opened.
func (a *App) RevokeLink(ctx context.Context, actor domain.Actor, id domain.ID) error {
	return a.change(ctx, actor, "revokeClientLink", func(w *work) error {
		l, err := w.Link(id)
		if err != nil {
			return err
		}
		if l.RevokedAt == nil {
			l.RevokedAt = &w.now
			if err := w.SaveLink(l); err != nil {
				return err
			}
		}
		if err := w.EndSessions(l.PersonID, l.ID, ""); err != nil {
			return err
		}
		return w.trail("link "+l.ID, l.OnlyJob, nil, map[string]string{"link": "revoked"})
	})
}
