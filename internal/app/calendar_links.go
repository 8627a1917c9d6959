package app

import (
	"context"
	"slices"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/policy"
)

// CalendarOf says of what a calendar shows the plan: of a person or job by ID, of
// a station by key. A person without an ID is who asks.
type CalendarOf struct {
	Kind domain.CalendarKind
	Of   string
}

// MadeCalendarLink is a calendar link with its token, shown once.
type MadeCalendarLink struct {
	Link  domain.CalendarLink
	Token string
}

// CalendarLinks lists the links that work, newest first: of all, of one kind, or
// of one person, station or job. A technician sees their own.
func (a *App) CalendarLinks(ctx context.Context, actor domain.Actor, of CalendarOf) (out []domain.CalendarLink, err error) {
	const action = "listCalendarLinks"
	err = a.view(ctx, actor, action, func(r Reader) error {
		all, err := r.CalendarLinks()
		out = slices.DeleteFunc(all, func(l domain.CalendarLink) bool {
			return of.Kind != "" && l.Kind != of.Kind || of.Of != "" && l.Of() != of.Of ||
				policy.AllowOn(actor, action, policy.Subject{PersonID: l.PersonID}) != nil
		})
		return err
	})
	return out, err
}

// MakeCalendarLink makes a link for a person, station or job; one that worked for
// the same stops. A technician makes one for themselves only.
func (a *App) MakeCalendarLink(ctx context.Context, actor domain.Actor, of CalendarOf) (out MadeCalendarLink, err error) {
	const action = "makeCalendarLink"
	err = a.change(ctx, actor, action, func(w *work) error {
		if of.Kind == domain.CalendarOfPerson && of.Of == "" {
			of.Of = actor.PersonID
		}
		subject := policy.Subject{}
		if of.Kind == domain.CalendarOfPerson {
			subject.PersonID = of.Of
		}
		if err := policy.AllowOn(actor, action, subject); err != nil {
			return err
		}
		shop, err := w.Shop()
		if err != nil {
			return err
		}
		if _, err := readFeedHead(w, shop, of); err != nil {
			return unknownFeed(err)
		}
		if err := w.stopEarlier(of); err != nil {
			return err
		}
		out, err = w.addCalendarLink(of)
		return err
	})
	return out, err
}

// unknownFeed names the field when there is nothing to make a calendar of.
func unknownFeed(err error) error {
	if fault.KindOf(err) != fault.NotFound {
		return err
	}
	return fault.InvalidField("no-calendar-of-it", "/of", "There is no person who works here, no station and no job still running by that name.").Because(err)
}

func (w *work) stopEarlier(of CalendarOf) error {
	earlier, ok, err := w.CalendarLinkOf(of.Kind, of.Of)
	if err != nil || !ok {
		return err
	}
	return w.stopCalendarLink(earlier)
}

func (w *work) addCalendarLink(of CalendarOf) (MadeCalendarLink, error) {
	token := w.app.secret()
	l := domain.CalendarLink{ID: w.app.newID(), ShopID: w.actor.ShopID, TokenHash: tokenHash(token), CreatedAt: w.now, CreatedBy: w.actor.Name}
	l.SetOf(of.Kind, of.Of)
	if err := w.AddCalendarLink(l); err != nil {
		return MadeCalendarLink{}, err
	}
	return MadeCalendarLink{Link: l, Token: token}, w.trail("calendar link "+l.ID, l.JobID, nil, map[string]string{"kind": string(of.Kind), "of": of.Of})
}

// StopCalendarLink makes a link worthless; one that was stopped stays so. A
// technician stops their own only.
func (a *App) StopCalendarLink(ctx context.Context, actor domain.Actor, id domain.ID) error {
	const action = "stopCalendarLink"
	return a.change(ctx, actor, action, func(w *work) error {
		l, err := w.CalendarLink(id)
		if err != nil {
			return err
		}
		if err := policy.AllowOn(actor, action, policy.Subject{PersonID: l.PersonID}); err != nil {
			return err
		}
		if l.RevokedAt != nil {
			return nil
		}
		return w.stopCalendarLink(l)
	})
}

func (w *work) stopCalendarLink(l domain.CalendarLink) error {
	if err := w.StopCalendarLink(l.ID, w.now); err != nil {
		return err
	}
	return w.trail("calendar link "+l.ID, l.JobID, nil, map[string]string{"calendar link": "stopped"})
}
