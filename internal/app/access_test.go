package app_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

var here = app.Place{Address: "192.0.2.9", Device: "test"}

// invited lets a technician choose a password and returns the session.
func (b *bench) invited(who domain.Actor, password string) app.SignedIn {
	b.t.Helper()
	link, err := b.app.Invite(b.t.Context(), b.owner, who.PersonID)
	b.ok("inviting", err)
	in, err := b.app.AcceptInvitation(b.t.Context(), link.Token, password, here)
	b.ok("accepting the invitation", err)
	_, err = b.app.AcceptInvitation(b.t.Context(), link.Token, password, here)
	refused(b.t, "an invitation twice", err, "link-over")
	return in
}

func TestSignIn(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	b.invited(b.marik, "rivets and rust")
	in, err := b.app.SignIn(ctx, " Marik@Example.org ", "rivets and rust", here)
	b.ok("signing in", err)
	actor, err := b.app.Authenticate(ctx, in.Token, here)
	b.ok("the session", err)
	if actor.PersonID != b.marik.PersonID || actor.Role != domain.Technician || actor.ShopID != b.shop {
		t.Errorf("the session is %+v", actor)
	}
	_, err1 := b.app.SignIn(ctx, "marik@example.org", "wrong", here)
	_, err2 := b.app.SignIn(ctx, "nobody@example.org", "wrong", here)
	refused(t, "a wrong password", err1, "sign-in-refused")
	if err1.Error() != err2.Error() {
		t.Errorf("a wrong password says %v, an unknown address %v", err1, err2)
	}
	b.ok("signing out", b.app.SignOut(ctx, actor))
	_, err = b.app.Authenticate(ctx, in.Token, here)
	refused(t, "after signing out", err, "session-over")
	for range 10 {
		_, err = b.app.SignIn(ctx, "tessel@example.org", "guess", here)
	}
	_, err = b.app.SignIn(ctx, "tessel@example.org", "guess", app.Place{Address: "192.0.2.77"})
	refused(t, "the eleventh guess, from elsewhere", err, "too-many-attempts")
	b.pass(time.Minute)
	_, err = b.app.SignIn(ctx, "tessel@example.org", "guess", here)
	refused(t, "a guess a minute later", err, "sign-in-refused")
}

func TestASessionIsProlongedByUseButNotPastItsLink(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	staff := b.invited(b.marik, "rivets and rust")
	link, err := b.app.MakeClientLink(ctx, b.owner, b.client.PersonID, "", 10)
	b.ok("a link for ten days", err)
	client, err := b.app.OpenClientLink(ctx, link.Token, here)
	b.ok("opening it", err)
	for range 9 {
		b.pass(24 * time.Hour)
		_, err1 := b.app.Authenticate(ctx, staff.Token, here)
		_, err2 := b.app.Authenticate(ctx, client.Token, here)
		if err1 != nil || err2 != nil {
			t.Fatalf("at %v: staff %v, client %v", b.now(), err1, err2)
		}
	}
	b.pass(24*time.Hour + time.Minute)
	_, err = b.app.Authenticate(ctx, client.Token, here)
	refused(t, "the client's session after ten days of use", err, "session-over")
	_, err = b.app.OpenClientLink(ctx, link.Token, here)
	refused(t, "the link after ten days", err, "link-over")
	b.pass(12 * 24 * time.Hour)
	if _, err := b.app.Authenticate(ctx, staff.Token, here); err != nil {
		t.Errorf("a technician's session that was used thirteen days ago: %v", err)
	}
	b.pass(15 * 24 * time.Hour)
	_, err = b.app.Authenticate(ctx, staff.Token, here)
	refused(t, "unused for fifteen days", err, "session-over")
}

func TestPrivateLinks(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.job(b.template)
	second := b.job(b.template)
	_, err := b.app.MakeClientLink(ctx, b.owner, b.other.PersonID, p.Job.ID, 30)
	refused(t, "another client's job", err, "job-of-another")
	_, err = b.app.MakeClientLink(ctx, b.owner, b.marik.PersonID, "", 30)
	refused(t, "a link for a technician", err, "not-a-client")
	_, err = b.app.Invite(ctx, b.owner, b.client.PersonID)
	refused(t, "an invitation for a client", err, "client-not-invited")

	link, err := b.app.MakeClientLink(ctx, b.owner, b.client.PersonID, p.Job.ID, 30)
	b.ok("a link for one job", err)
	in, err := b.app.OpenClientLink(ctx, link.Token, here)
	b.ok("opening it", err)
	actor, err := b.app.Authenticate(ctx, in.Token, here)
	b.ok("the session", err)
	jobs, err := b.app.ClientJobs(ctx, actor)
	b.ok("jobs", err)
	if len(jobs) != 1 || jobs[0].Job.ID != p.Job.ID {
		t.Errorf("a link for one job shows %d", len(jobs))
	}
	_, err = b.app.ClientJob(ctx, actor, second.Job.ID)
	refused(t, "the client's other job", err, "not-found")
	refused(t, "a password from a link for one job", b.app.ChangePassword(ctx, actor, "", "a long enough one"), "link-for-one-job")
	_, err = b.app.AcceptInvitation(ctx, link.Token, "a long enough one", here)
	refused(t, "a client's link as an invitation", err, "link-over")

	b.ok("revoking", b.app.RevokeLink(ctx, b.owner, link.Link.ID))
	_, err = b.app.Authenticate(ctx, in.Token, here)
	refused(t, "the session of a revoked link", err, "session-over")
	_, err = b.app.OpenClientLink(ctx, link.Token, here)
	refused(t, "a revoked link", err, "link-over")
}

func (b *bench) person(who domain.Actor) (domain.Person, app.Precondition) {
	b.t.Helper()
	p, err := b.app.Person(b.t.Context(), b.owner, who.PersonID)
	b.ok("person", err)
	return p, app.Precondition{Given: true, Version: p.Version}
}

func TestAClientNeverBecomesStaffThroughALink(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p, version := b.person(b.client)
	p.Role = domain.Owner
	_, err := b.app.ChangePerson(ctx, b.owner, p.ID, version, p)
	refused(t, "a client made owner", err, "role-fixed")
	p, version = b.person(b.marik)
	p.Role, p.Email = domain.Client, ""
	_, err = b.app.ChangePerson(ctx, b.owner, p.ID, version, p)
	refused(t, "a technician made client", err, "role-fixed")
	p, version = b.person(b.marik)
	p.Role = domain.Owner
	_, err = b.app.ChangePerson(ctx, b.owner, p.ID, version, p)
	b.ok("a technician made owner", err)

	boss, version := b.person(b.owner)
	boss.Active = false
	_, err = b.app.ChangePerson(ctx, b.owner, boss.ID, version, boss)
	b.ok("one of two owners leaves", err)
	last, version := b.person(b.marik)
	last.Active = false
	_, err = b.app.ChangePerson(ctx, b.owner, last.ID, version, last)
	refused(t, "the last owner leaves", err, "last-owner")
}

func TestAnInactivePersonIsOut(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	in := b.invited(b.marik, "rivets and rust")
	open, err := b.app.Invite(ctx, b.owner, b.marik.PersonID)
	b.ok("an invitation that stays open", err)
	p, version := b.person(b.marik)
	p.Active = false
	_, err = b.app.ChangePerson(ctx, b.owner, p.ID, version, p)
	b.ok("making inactive", err)
	_, err = b.app.Authenticate(ctx, in.Token, here)
	refused(t, "the session", err, "session-over")
	_, err = b.app.SignIn(ctx, "marik@example.org", "rivets and rust", here)
	refused(t, "signing in", err, "sign-in-refused")
	_, err = b.app.AcceptInvitation(ctx, open.Token, "another long one", here)
	refused(t, "an open invitation", err, "link-over")
}

func TestChangePassword(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	in := b.invited(b.marik, "rivets and rust")
	elsewhere, err := b.app.SignIn(ctx, "marik@example.org", "rivets and rust", here)
	b.ok("on a second device", err)
	actor, err := b.app.Authenticate(ctx, in.Token, here)
	b.ok("the session", err)
	refused(t, "a wrong current password", b.app.ChangePassword(ctx, actor, "wrong", "a long enough one"), "password-wrong")
	refused(t, "a weak one", b.app.ChangePassword(ctx, actor, "rivets and rust", "short"), "password-weak")
	b.ok("changing", b.app.ChangePassword(ctx, actor, "rivets and rust", "a long enough one"))
	if _, err := b.app.Authenticate(ctx, in.Token, here); err != nil {
		t.Errorf("the session that changed it: %v", err)
	}
	_, err = b.app.Authenticate(ctx, elsewhere.Token, here)
	refused(t, "the other device", err, "session-over")
	_, err = b.app.SignIn(ctx, "marik@example.org", "rivets and rust", here)
	refused(t, "the old password", err, "sign-in-refused")
}

// No password, hash or token reaches the trail, the kept answers or what the
// use cases return as JSON.
func TestSecretsStayInTheStore(t *testing.T) {
	b := open(t, settings("EUR", "document"))
	ctx := t.Context()
	p := b.soldJob()
	in := b.invited(b.marik, "rivets and rust")
	link, err := b.app.MakeClientLink(ctx, b.owner, b.client.PersonID, "", 30)
	b.ok("link", err)
	opened, err := b.app.OpenClientLink(ctx, link.Token, here)
	b.ok("opening", err)
	actor, err := b.app.Authenticate(ctx, in.Token, here)
	b.ok("session", err)
	b.ok("new password", b.app.ChangePassword(ctx, actor, "rivets and rust", "a long enough one"))
	person, version := b.person(b.marik)
	person.Phone = "+00 555 0134"
	_, err = b.app.ChangePerson(ctx, b.owner, person.ID, version, person)
	b.ok("changing a person", err)
	_, err = b.app.ChangePerson(ctx, b.owner, person.ID, version, person)
	refused(t, "a stale edit", err, "stale-edit")
	stale, _ := json.Marshal(err)
	added, err := b.app.AddPerson(ctx, b.owner, "secret-draft-1", domain.Person{Name: "New", Email: "new@example.org", Role: domain.Technician, Skills: []string{}, Active: true, PasswordHash: hashMark + "smuggled"})
	b.ok("adding with a hash in the draft", err)
	if added.PasswordHash != "" {
		t.Errorf("a draft's hash is kept: %s", added.PasswordHash)
	}

	var trail []domain.TrailEntry
	var kept app.Answer
	err = b.store.Update(ctx, b.shop, func(tx app.Tx) (err error) {
		if trail, err = tx.TrailFrom(1, 1000); err != nil {
			return err
		}
		kept, _, err = tx.Answer(b.owner.PersonID, "secret-draft-1")
		return err
	})
	b.ok("reading", err)
	if len(trail) < 12 || len(kept.Body) == 0 {
		t.Fatalf("%d trail entries and a kept answer of %d bytes", len(trail), len(kept.Body))
	}
	all, err := json.Marshal(map[string]any{"trail": trail, "page": p, "me": in.Me, "session": in.Session, "link": link.Link, "client": opened.Session, "answer": string(kept.Body), "stale": string(stale)})
	b.ok("as JSON", err)
	for _, secret := range []string{hashMark, "rivets and rust", "a long enough one", "secret-", link.Token, in.Token, "PasswordHash", "TokenHash"} {
		if strings.Contains(string(all), secret) {
			t.Errorf("%q reaches JSON", secret)
		}
	}
}
