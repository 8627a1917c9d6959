package api_test

import (
	"fmt"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"bareframe/internal/testkit"
)

func session(t testing.TB, c *testkit.Client) string {
	t.Helper()
	return c.Do(t, "GET", "/api/me", nil).Want(t, 200).Text("/session_id")
}

func TestSessionsAreListedAndEndedElsewhere(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	phone := w.Elsewhere(t, w.Owner)
	w.Set("phone", session(t, phone))
	w.Set("desk", session(t, w.Owner.Client))
	w.Run(t, []testkit.Step{
		{Name: "both are listed, newest first, this one marked", Who: w.Owner.Client, Do: "GET /api/sessions", Status: 200,
			Want: map[string]any{"/items/0/id": "{phone}", "/items/0/current": false, "/items/1/id": "{desk}", "/items/1/current": true, "/items/2": testkit.Absent}},
		{Name: "the phone is signed out from the desk", Who: w.Owner.Client, Do: "DELETE /api/sessions/{phone}", Status: 204},
		{Name: "and is over", Who: phone, Do: "GET /api/me", Status: 401, Code: "session-over"},
		{Name: "once more is not found", Who: w.Owner.Client, Do: "DELETE /api/sessions/{phone}", Status: 404, Code: "session-not-found"},
		{Name: "the desk signs out", Who: w.Owner.Client, Do: "DELETE /api/sessions/current", Status: 204},
		{Name: "and holds nothing any more", Who: w.Owner.Client, Do: "GET /api/me", Status: 401, Code: "sign-in-first"},
	})
	if left := w.Owner.Cookies(); len(left) != 0 {
		t.Errorf("after signing out the browser holds %v, want no cookie", left)
	}
}

func TestASessionTokenIsWorthlessOnceItsSessionIsOver(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	cookie := w.Owner.Cookies()[0]
	w.Owner.Do(t, "DELETE", "/api/sessions/current", nil).Want(t, 204)
	thief := w.Browser("somebody with the old cookie")
	thief.Do(t, "GET", "/api/me", nil, testkit.Header("Cookie", cookie.Name+"="+cookie.Value)).WantProblem(t, 401, "session-over")
	thief.Do(t, "GET", "/api/me", nil, testkit.Header("Cookie", cookie.Name+"=x")).WantProblem(t, 401, "session-over")
}

func TestTheSessionCookieIsKeptFromScriptsAndOtherSites(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	set := w.SignIn(t, w.Browser("fresh"), w.Owner.Email).Header.Get("Set-Cookie")
	for _, part := range []string{"bareframe_session=", "HttpOnly", "SameSite=Lax", "Path=/", "Max-Age=1209600"} { // fourteen days
		if !strings.Contains(set, part) {
			t.Errorf("Set-Cookie is %q, want %s in it", set, part)
		}
	}
	token := regexp.MustCompile(`bareframe_session=([A-Za-z0-9_-]+)`).FindStringSubmatch(set)
	if token == nil || len(token[1]) < 43 { // 256 bits in base64url
		t.Errorf("Set-Cookie is %q, want a token of 256 bits", set)
	}
}

func TestSessionsEndByThemselvesUnlessUsed(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	for range 4 { // used every ten days it lives on
		w.Clock.Advance(10 * 24 * time.Hour)
		w.Owner.Do(t, "GET", "/api/me", nil).Want(t, 200)
	}
	w.Clock.Advance(15 * 24 * time.Hour)
	w.Owner.Do(t, "GET", "/api/me", nil).WantProblem(t, 401, "session-over")
}

func TestANewPasswordEndsTheOtherSessions(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	phone := w.Elsewhere(t, w.Tech)
	change := "PUT /api/me/password"
	w.Run(t, []testkit.Step{
		{Name: "a wrong current password is refused", Who: w.Tech.Client, Do: change, Body: `{"current":"not this one at all","new":"nine brass shims remain"}`, Status: 422, Code: "password-wrong", Field: "/current"},
		{Name: "no current password is refused", Who: w.Tech.Client, Do: change, Body: `{"new":"nine brass shims remain"}`, Status: 422, Code: "password-wrong", Field: "/current"},
		{Name: "a weak new one is refused", Who: w.Tech.Client, Do: change, Body: `{"current":"` + testkit.Password + `","new":"short"}`, Status: 422, Code: "password-weak", Field: "/new"},
		{Name: "the phone is still signed in", Who: phone, Do: "GET /api/me", Status: 200},
		{Name: "the password is changed", Who: w.Tech.Client, Do: change, Body: `{"current":"` + testkit.Password + `","new":"nine brass shims remain"}`, Status: 204},
		{Name: "this session stays", Who: w.Tech.Client, Do: "GET /api/me", Status: 200},
		{Name: "the phone's is over", Who: phone, Do: "GET /api/me", Status: 401, Code: "session-over"},
		{Name: "the old password is refused", Who: phone, Do: "POST /api/sessions", Body: `{"email":"jory@example.org","password":"` + testkit.Password + `"}`, Status: 401, Code: "sign-in-refused"},
		{Name: "the new one opens, in capitals of the address too", Who: phone, Do: "POST /api/sessions", Body: `{"email":"Jory@Example.org","password":"nine brass shims remain"}`, Status: 201},
		{Name: "a client without an address cannot set one", Who: w.OtherClient.Client, Do: change, Body: `{"new":"nine brass shims remain"}`, Status: 409, Code: "no-email"},
		{Name: "a client with one may set a first one", Who: w.ClientOf.Client, Do: change, Body: `{"new":"nine brass shims remain"}`, Status: 204},
	})
}

func TestARevokedLinkOpensNothingAndEndsWhatItOpened(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtQuoted)
	phone, desk := w.Browser("client's phone"), w.Browser("client's desk")
	token := w.LinkFor(t, w.Owner, w.ClientOf.ID, "")
	w.OpenLink(t, phone, token)
	w.OpenLink(t, desk, token)
	list := w.Owner.Do(t, "GET", w.Fill("/api/people/{client}/links"), nil).Want(t, 200)
	list.Never(t, token, "token")
	w.Set("newest", list.Text("/items/0/id"))
	open := `{"token":"` + token + `"}`
	w.Run(t, []testkit.Step{
		{Name: "another shop's owner cannot revoke it", Who: w.Rival.Client, Do: "DELETE /api/client-links/{newest}", Status: 404, Code: "private-link-not-found"},
		{Name: "the owner revokes it", Who: w.Owner.Client, Do: "DELETE /api/client-links/{newest}", Status: 204},
		{Name: "the phone is signed out", Who: phone, Do: "GET /api/client/jobs", Status: 401, Code: "session-over"},
		{Name: "the desk is signed out", Who: desk, Do: "GET /api/client/jobs", Status: 401, Code: "session-over"},
		{Name: "the link opens nothing", Who: phone, Do: "POST /api/client-links/open", Body: open, Status: 401, Code: "link-over"},
		{Name: "a session by another link goes on", Who: w.ClientOf.Client, Do: "GET /api/client/jobs", Status: 200},
		{Name: "an invented token opens nothing", Who: phone, Do: "POST /api/client-links/open", Body: `{"token":"0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"}`, Status: 401, Code: "link-over"},
	})
	t.Run("and an expired one neither", func(t *testing.T) {
		late := w.LinkFor(t, w.Owner, w.ClientOf.ID, "")
		w.Clock.Advance(61 * 24 * time.Hour)
		phone.Do(t, "POST", "/api/client-links/open", `{"token":"`+late+`"}`).WantProblem(t, 401, "link-over")
	})
}

func TestALinkForOneJobShowsThatJobOnly(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtQuoted)
	second := w.Owner.Do(t, "POST", "/api/jobs", w.Fill(`{"title":"Second car","template_id":"{template}","client_id":"{client}","vehicle":{"make":"Corvane","model":"Tern","year":1967,"serial":"","options":{"crossmember":"bolted"}}}`)).Want(t, 201)
	w.Set("second", second.Text("/job/id"))
	guest := w.Browser("guest by a link for the second job")
	w.OpenLink(t, guest, w.LinkFor(t, w.Owner, w.ClientOf.ID, w.Var("second")))
	w.Run(t, []testkit.Step{
		{Name: "the list has one", Who: guest, Do: "GET /api/client/jobs", Status: 200, Want: map[string]any{"/items/0/id": "{second}", "/items/1": testkit.Absent}},
		{Name: "the other job is not found", Who: guest, Do: "GET /api/client/jobs/{job}", Status: 404, Code: "not-found"},
		{Name: "nor its quote", Who: guest, Do: "GET /api/client/quotes/{quote}", Status: 404, Code: "not-found"},
		{Name: "nor its document", Who: guest, Do: "GET /api/client/quotes/{quote}/document", Status: 404, Code: "not-found"},
		{Name: "nor may it be decided", Who: guest, Do: toDecide, Body: acceptIt, Status: 404, Code: "not-found"},
		{Name: "with the link for all both are there", Who: w.ClientOf.Client, Do: "GET /api/client/jobs", Status: 200, Want: map[string]any{"/items/1/id": "{job}"}},
		{Name: "a link to somebody else's job is refused", Who: w.Owner.Client, Do: "POST /api/people/{client}/links", Body: `{"job_id":"{other_job}","valid_days":3}`, Status: 422, Code: "job-of-another", Field: "/job_id"},
		{Name: "a technician gets no client link", Who: w.Owner.Client, Do: "POST /api/people/{tech}/links", Body: `{"valid_days":3}`, Status: 409, Code: "not-a-client"},
		{Name: "a client gets no invitation", Who: w.Owner.Client, Do: "POST /api/people/{client}/invitation", Status: 409, Code: "client-not-invited"},
	})
}

func TestAnInvitationWorksOnceAndTheNewestOnly(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	first, second := invitation(t, w), invitation(t, w)
	accept := func(token string) string { return `{"token":"` + token + `","password":"nine brass shims remain"}` }
	c := w.Browser("Maud's phone")
	w.Run(t, []testkit.Step{
		{Name: "an earlier invitation stopped working", Who: c, Do: "POST /api/invitations/accept", Body: accept(first), Status: 401, Code: "link-over"},
		{Name: "a weak password does not use it up", Who: c, Do: "POST /api/invitations/accept", Body: `{"token":"` + second + `","password":"short"}`, Status: 422, Code: "password-weak", Field: "/password"},
		{Name: "an invitation is no client link", Who: c, Do: "POST /api/client-links/open", Body: `{"token":"` + second + `"}`, Status: 401, Code: "link-over"},
		{Name: "the newest signs in", Who: c, Do: "POST /api/invitations/accept", Body: accept(second), Status: 201, Want: map[string]any{"/person/name": "Maud Ferrin"}},
		{Name: "earlier sessions of hers are over", Who: w.Tech2.Client, Do: "GET /api/me", Status: 401, Code: "session-over"},
		{Name: "it works once", Who: w.Browser("another"), Do: "POST /api/invitations/accept", Body: accept(second), Status: 401, Code: "link-over"},
	})
}

func TestAnAddressSignsInOnePersonOnly(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	w.Run(t, []testkit.Step{
		{Name: "somebody is added with an address that another signs in with", Who: w.Owner.Client, Do: "POST /api/people", Status: 201, Keep: map[string]string{"double": "/id"},
			Body: `{"name":"Jory the Younger","email":"JORY@example.org","phone":"","role":"technician","skills":[],"active":true}`},
		{Name: "and invited", Who: w.Owner.Client, Do: "POST /api/people/{double}/invitation", Status: 201, Keep: map[string]string{"token": "/token"}},
		{Name: "choosing a password is refused, for the address is taken", Who: w.Browser("Jory the Younger"), Do: "POST /api/invitations/accept", Status: 409, Code: "email-taken",
			Body: `{"token":"{token}","password":"nine brass shims remain"}`},
		{Name: "the first Jory is still signed in", Who: w.Tech.Client, Do: "GET /api/me", Status: 200, Want: map[string]any{"/person/name": "Jory Haldane"}},
	})
	w.SignIn(t, w.Browser("Jory"), "jory@example.org")
}

func TestSomebodyInactiveIsSignedOutEverywhere(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	inactive := func(name, email, role string) string {
		return fmt.Sprintf(`{"name":%q,"email":%q,"phone":"","role":%q,"skills":[],"active":false}`, name, email, role)
	}
	in := `{"email":"jory@example.org","password":"` + testkit.Password + `"}`
	w.Run(t, []testkit.Step{
		{Name: "the owner looks at the technician", Who: w.Owner.Client, Do: "GET /api/people/{tech}", Status: 200},
		{Name: "and makes him inactive", Who: w.Owner.Client, Do: "PUT /api/people/{tech}", IfMatch: "{etag}", Body: inactive("Jory Haldane", "jory@example.org", "technician"), Status: 200},
		{Name: "his session is over", Who: w.Tech.Client, Do: "GET /api/bench/today", Status: 401, Code: "session-over"},
		{Name: "and he cannot sign in, with the answer of a wrong password", Who: w.Browser("Jory"), Do: "POST /api/sessions", Body: in, Status: 401, Code: "sign-in-refused"},
		{Name: "nor be invited", Who: w.Owner.Client, Do: "POST /api/people/{tech}/invitation", Status: 409, Code: "person-inactive"},
		{Name: "the owner looks at herself", Who: w.Owner.Client, Do: "GET /api/people/{owner}", Status: 200},
		{Name: "and stays, as the last owner", Who: w.Owner.Client, Do: "PUT /api/people/{owner}", IfMatch: "{etag}", Body: inactive("Ilse Varga", "owner@example.org", "owner"), Status: 409, Code: "last-owner"},
		{Name: "his hours stay in the record", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/hours", Status: 200, Want: map[string]any{"/items/0/person/name": "Jory Haldane"}},
	})
}

func TestGuessingIsSlowedDownAndGivesNothingAway(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	guess := func(email string) *testkit.Answer {
		return w.Nobody.Do(t, "POST", "/api/sessions", map[string]string{"email": email, "password": "not the right one"})
	}
	said := func(a *testkit.Answer) string {
		return regexp.MustCompile(`"instance":"[^"]*"`).ReplaceAllString(fmt.Sprint(a.Status, string(a.Body)), "")
	}
	known, unknown := "owner@example.org", "nobody@example.org"
	for i := range 10 {
		before := w.PasswordChecks()
		a := guess(known)
		atKnown := w.PasswordChecks() - before
		b := guess(unknown)
		atUnknown := w.PasswordChecks() - before - atKnown
		a.WantProblem(t, 401, "sign-in-refused")
		if said(a) != said(b) {
			t.Fatalf("guess %d: a known address is answered %s, an unknown one %s; want the same", i, said(a), said(b))
		}
		if atKnown != 1 || atUnknown != 1 {
			t.Errorf("guess %d: %d passwords checked for a known address and %d for an unknown one, want the same work", i, atKnown, atUnknown)
		}
	}
	a, b := guess(known), guess(unknown)
	a.WantProblem(t, 429, "too-many-attempts")
	b.WantProblem(t, 429, "too-many-attempts")
	if seconds, err := strconv.Atoi(a.Header.Get("Retry-After")); err != nil || seconds < 1 {
		t.Errorf("Retry-After is %q, want seconds", a.Header.Get("Retry-After"))
	}
	w.Nobody.Do(t, "POST", "/api/sessions", map[string]string{"email": known, "password": testkit.Password}).WantProblem(t, 429, "too-many-attempts")
	w.Nobody.Do(t, "POST", "/api/sessions", map[string]string{"email": "maud@example.org", "password": testkit.Password}).Want(t, 201)
	w.Clock.Advance(time.Minute)
	w.SignIn(t, w.Browser("the owner, a minute later"), known)

	t.Run("by address too", func(t *testing.T) {
		refused := 0
		for i := range 60 {
			if guess(fmt.Sprintf("guess-%d@example.org", i)).Status == http.StatusTooManyRequests {
				refused++
			}
		}
		if refused == 0 {
			t.Error("sixty addresses tried from one place at once: got none refused, want the later ones refused")
		}
	})
}
