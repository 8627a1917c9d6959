package api_test

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"bareframe/internal/testkit"
)

func TestEveryEditWantsTheVersionItWasMadeOn(t *testing.T) {
	for _, op := range testkit.ReadContract(t).Operations {
		if !op.Takes("If-Match") {
			continue
		}
		t.Run(op.ID, func(t *testing.T) {
			r := readyFor[op.ID]
			w := testkit.NewWorld(t, r.stage)
			if r.prepare != nil {
				r.prepare(t, w)
			}
			who, path, body := r.who(w), pathOf(t, w, op), bodyOf(t, w, op)
			tag := versionFor(t, who, path)
			if !regexp.MustCompile(`^"v[1-9][0-9]*"$`).MatchString(tag) {
				t.Errorf("the ETag is %q, want a strong tag with a version (RFC 9110, 8.8.3)", tag)
			}
			before := w.TrailLength(t, w.ShopA) + w.TrailLength(t, w.ShopB)
			who.Do(t, op.Method, path, body).WantProblem(t, 428, "if-match-missing")
			stale := who.Do(t, op.Method, path, body, testkit.IfMatch(`"v999"`))
			stale.WantProblem(t, 412, "stale-edit")
			if _, shown := stale.At("/evidence"); !shown {
				t.Errorf("%s: a stale edit is refused without what is stored to compare with: %s", stale.Asked, stale.Body)
			}
			who.Do(t, op.Method, path, body, testkit.IfMatch(`W/`+tag)).WantProblem(t, 422, "if-match-not-readable").WantField(t, "/header/If-Match")
			who.Do(t, op.Method, path, body, testkit.IfMatch(`*`)).WantProblem(t, 422, "if-match-not-readable")
			if after := w.TrailLength(t, w.ShopA) + w.TrailLength(t, w.ShopB); after != before || versionFor(t, who, path) != tag {
				t.Errorf("refused edits moved trail %d to %d, version %s to %s; want neither moved", before, after, tag, versionFor(t, who, path))
			}
			a := who.Do(t, op.Method, path, body, testkit.IfMatch(tag))
			if a.Status > 299 {
				t.Errorf("%s\n got %d, want 2xx with the right version\nbody: %s", a.Asked, a.Status, a.Body)
			}
			if now := versionFor(t, who, path); now == tag || a.ETag() != "" && a.ETag() != now {
				t.Errorf("after the edit: answered version %q, stored %q, was %q; want a new one, the same in both", a.ETag(), now, tag)
			}
			who.Do(t, op.Method, path, body, testkit.IfMatch(tag)).WantProblem(t, 412, "stale-edit")
		})
	}
}

// walk reads a list by pages of two and returns every row's id in order.
func walk(t *testing.T, w *testkit.World, who *testkit.Client, path, id string) []string {
	t.Helper()
	var out []string
	cursor := ""
	for range 100 {
		a := who.Do(t, "GET", path+"?limit=2"+cursor, nil).Want(t, 200)
		n := a.Len("/items")
		next := a.Text("/next_cursor")
		if n > 2 || n < 2 && next != "" {
			t.Errorf("%s: a page of two has %d rows and next %q", a.Asked, n, next)
		}
		for i := range n {
			out = append(out, a.Text(fmt.Sprintf("/items/%d/%s", i, id)))
		}
		if next == "" {
			return out
		}
		cursor = "&cursor=" + next
	}
	t.Fatalf("%s: a hundred pages and no end", path)
	return nil
}

func TestPagesWalkEveryRowOnce(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	for i := range 5 {
		w.Owner.Do(t, "POST", "/api/jobs", w.Fill(fmt.Sprintf(`{"title":"Job %d","template_id":"{template}","client_id":"{client}","vehicle":{"make":"Corvane","model":"Tern","year":1967,"serial":"","options":{"crossmember":"bolted"}}}`, i))).Want(t, 201)
		w.Owner.Do(t, "POST", "/api/people", `{"name":"Same Name","email":"","phone":"","role":"client","skills":[],"active":true}`).Want(t, 201)
		w.Tech.Do(t, "POST", "/api/bench/hours", w.Fill(typed("A20", fmt.Sprintf("0%d:00", i+1), fmt.Sprintf("0%d:30", i+1), ""))).Want(t, 201)
	}
	lists := []struct {
		what, path, id string
		who            *testkit.Client
	}{
		{"jobs", "/api/jobs", "id", w.Owner.Client},
		{"people", "/api/people", "id", w.Owner.Client},
		{"hours of a job", w.Fill("/api/jobs/{job}/hours"), "id", w.Owner.Client},
		{"hours of a technician", "/api/bench/hours", "id", w.Tech.Client},
		{"the trail of a job", w.Fill("/api/jobs/{job}/trail"), "seq", w.Owner.Client},
	}
	for _, l := range lists {
		t.Run(l.what, func(t *testing.T) {
			whole := l.who.Do(t, "GET", l.path+"?limit=200", nil).Want(t, 200)
			var want []string
			for i := range whole.Len("/items") {
				want = append(want, whole.Text(fmt.Sprintf("/items/%d/%s", i, l.id)))
			}
			if len(want) < 5 {
				t.Fatalf("only %d rows; the walk would show nothing", len(want))
			}
			if got := walk(t, w, l.who, l.path, l.id); strings.Join(got, " ") != strings.Join(want, " ") {
				t.Errorf("by pages of two\n got %v\nwant %v", got, want)
			}
		})
	}
	t.Run("a row added meanwhile repeats none", func(t *testing.T) {
		first := w.Tech.Do(t, "GET", "/api/bench/hours?limit=2", nil).Want(t, 200)
		w.Tech.Do(t, "POST", "/api/bench/hours", w.Fill(typed("A20", "09:00", "09:30", ""))).Want(t, 201)
		second := w.Tech.Do(t, "GET", "/api/bench/hours?limit=2&cursor="+first.Text("/next_cursor"), nil).Want(t, 200)
		for i := range 2 {
			if id := second.Text(fmt.Sprintf("/items/%d/id", i)); id == first.Text("/items/0/id") || id == first.Text("/items/1/id") {
				t.Errorf("the second page repeats %s of the first", id)
			}
		}
	})
	t.Run("a marker of another list or of nobody is refused", func(t *testing.T) {
		jobs := w.Owner.Do(t, "GET", "/api/jobs?limit=2", nil).Want(t, 200).Text("/next_cursor")
		w.Owner.Do(t, "GET", "/api/people?cursor="+jobs, nil).WantProblem(t, 422, "cursor-not-readable")
		w.Owner.Do(t, "GET", "/api/jobs?cursor=bm90aGluZw", nil).WantProblem(t, 422, "cursor-not-readable")
		w.Owner.Do(t, "GET", "/api/jobs?limit=0", nil).WantProblem(t, 422, "request-invalid").WantField(t, "/query/limit")
		w.Owner.Do(t, "GET", "/api/jobs?limit=201", nil).WantProblem(t, 422, "request-invalid").WantField(t, "/query/limit")
		w.Owner.Do(t, "GET", "/api/jobs?state=lost", nil).WantProblem(t, 422, "request-invalid").WantField(t, "/query/state")
	})
}

func TestEveryKindOfAnswerBearsTheSecurityHeaders(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtQuoted)
	big := strings.Repeat("x", 2<<20)
	cases := []struct {
		what, method, path string
		who                *testkit.Client
		body               any
		options            []testkit.Option
		status             int
	}{
		{"an answer", "GET", "/api/me", w.Owner.Client, nil, nil, 200},
		{"a creation", "POST", "/api/people", w.Owner.Client, `{"name":"N","email":"","phone":"","role":"client","skills":[],"active":true}`, nil, 201},
		{"an empty answer", "DELETE", "/api/sessions/current", w.Elsewhere(t, w.Owner), nil, nil, 204},
		{"nobody", "GET", "/api/me", w.Nobody, nil, nil, 401},
		{"the wrong role", "GET", "/api/jobs", w.Tech.Client, nil, nil, 403},
		{"nothing there", "GET", "/api/nothing", w.Owner.Client, nil, []testkit.Option{testkit.Outside()}, 404},
		{"the wrong way", "DELETE", "/api/me", w.Owner.Client, nil, []testkit.Option{testkit.Outside()}, 405},
		{"an unreadable body", "POST", "/api/people", w.Owner.Client, `{`, nil, 422},
		{"a missing version", "PUT", "/api/shop/calendar", w.Owner.Client, `{"week":{},"holidays":"","closures":[],"openings":[]}`, nil, 428},
		{"a large body", "POST", "/api/people", w.Owner.Client, big, nil, 413},
		{"another site's page", "POST", "/api/people", w.Owner.Client, `{}`, []testkit.Option{testkit.Header("Origin", "https://elsewhere.example")}, 403},
		{"a document", "GET", "/api/quotes/" + w.Quote.ID + "/document", w.Owner.Client, nil, nil, 200},
		{"the front page", "GET", "/", w.Nobody, nil, []testkit.Option{testkit.Outside()}, 200},
		{"an address of the frontend", "GET", "/shop/jobs", w.Nobody, nil, []testkit.Option{testkit.Outside()}, 200},
		{"a style sheet", "GET", "/app.css", w.Nobody, nil, []testkit.Option{testkit.Outside()}, 200},
		{"no such file", "GET", "/none.js", w.Nobody, nil, []testkit.Option{testkit.Outside()}, 404},
		{"the contract", "GET", "/openapi.yaml", w.Nobody, nil, []testkit.Option{testkit.Outside()}, 200},
		{"a walk out of the folder", "GET", "/../go.mod", w.Nobody, nil, []testkit.Option{testkit.Outside()}, 404},
		{"a health answer", "GET", "/healthz", w.Nobody, nil, nil, 200},
	}
	for _, c := range cases {
		t.Run(c.what, func(t *testing.T) {
			a := c.who.Do(t, c.method, c.path, c.body, c.options...) // Do itself asks for the headers to be there
			if a.Status != c.status {
				t.Errorf("%s: got %d, want %d", a.Asked, a.Status, c.status)
			}
			if got := a.Header.Get("X-Content-Type-Options"); got != "nosniff" {
				t.Errorf("%s: X-Content-Type-Options is %q, want nosniff", a.Asked, got)
			}
			csp := a.Header.Get("Content-Security-Policy")
			for _, bad := range []string{"unsafe-inline", "unsafe-eval", "*", "http:"} {
				if strings.Contains(csp, bad) {
					t.Errorf("%s: the content security policy allows %s: %s", a.Asked, bad, csp)
				}
			}
			if !strings.Contains(csp, "default-src") || !strings.Contains(csp, "frame-ancestors") || !strings.Contains(csp, "base-uri 'none'") {
				t.Errorf("%s: the content security policy is %q, want default-src, frame-ancestors and base-uri in it", a.Asked, csp)
			}
			if strings.HasPrefix(c.path, "/api/") && a.Header.Get("Cache-Control") != "no-store" {
				t.Errorf("%s: Cache-Control is %q, want no-store", a.Asked, a.Header.Get("Cache-Control"))
			}
			for _, leaked := range []string{"Server", "X-Powered-By", "Access-Control-Allow-Origin"} {
				if a.Header.Get(leaked) != "" {
					t.Errorf("%s: got header %s: %s, want none", a.Asked, leaked, a.Header.Get(leaked))
				}
			}
		})
	}
}

// The policy names the style sheet by its hash as Content Security Policy
// Level 3 (w3.org/TR/CSP3, 2.3.1 hash-source) writes it.
func TestADocumentsPolicyAllowsItsOwnStyleSheetAndNothingElse(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtQuoted)
	for _, c := range []struct {
		who  *testkit.Client
		path string
	}{{w.Owner.Client, "/api/quotes/{quote}/document"}, {w.ClientOf.Client, "/api/client/quotes/{quote}/document"}} {
		a := c.who.Do(t, "GET", w.Fill(c.path), nil).Want(t, 200)
		style := regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindAllSubmatch(a.Body, -1)
		if len(style) != 1 {
			t.Fatalf("%s: the document has %d style sheets, want one", a.Asked, len(style))
		}
		sum := sha256.Sum256(style[0][1])
		want := "style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
		if got := a.Header.Get("Content-Security-Policy"); !strings.Contains(got, want) || !strings.Contains(got, "default-src 'none'") {
			t.Errorf("%s: the policy is %q, want %s in it", a.Asked, got, want)
		}
		a.Never(t, "<script", "javascript:", " style=", "onload=", "http://", "https://")
	}
}

func TestAWriteFromAnotherSitesPageIsRefused(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	before := w.TrailLength(t, w.ShopA)
	host := strings.TrimPrefix(w.Server.URL, "http://")
	for _, op := range w.Contract.Operations {
		if op.Method == http.MethodGet || op.Method == http.MethodHead {
			continue
		}
		who := readyFor[op.ID].who
		if who == nil {
			who = nobody
		}
		w.Set("session", "0193f000-0000-7000-8000-ffffffffffff")
		w.Set("client_link", "0193f000-0000-7000-8000-ffffffffffff")
		path, body := pathOf(t, w, op), bodyOf(t, w, op)
		for name, from := range map[string]testkit.Option{
			"Sec-Fetch-Site: cross-site": testkit.Header("Sec-Fetch-Site", "cross-site"),
			"Sec-Fetch-Site: same-site":  testkit.Header("Sec-Fetch-Site", "same-site"),
			"Origin of another place":    testkit.Header("Origin", "https://elsewhere.example"),
			"Origin: null":               testkit.Header("Origin", "null"),
		} {
			a := who(w).Do(t, op.Method, path, body, from)
			if a.Status != 403 || a.Code() != "cross-origin" {
				t.Errorf("%s with %s:\n got %d %s, want 403 cross-origin", op.ID, name, a.Status, a.Code())
			}
		}
	}
	if after := w.TrailLength(t, w.ShopA); after != before {
		t.Errorf("refused writes moved the trail from %d to %d entries", before, after)
	}
	person := `{"name":"N","email":"","phone":"","role":"client","skills":[],"active":true}`
	w.Owner.Do(t, "POST", "/api/people", person, testkit.Header("Sec-Fetch-Site", "same-origin")).Want(t, 201)
	w.Owner.Do(t, "POST", "/api/people", person, testkit.Header("Origin", "http://"+host)).Want(t, 201)
	w.Owner.Do(t, "GET", "/api/me", nil, testkit.Header("Sec-Fetch-Site", "cross-site")).Want(t, 200)
}

func TestTheTrailNoticesWhatSomebodyChangedBehindIt(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	w.Clock.Advance(time.Hour)
	w.Tech.Do(t, "POST", "/api/bench/clock/stop", `{"done":false}`).Want(t, 201)
	if a, b := w.TrailLength(t, w.ShopA), w.TrailLength(t, w.ShopB); a < 15 || b < 3 || a == b {
		t.Errorf("the trails have %d and %d entries, want each shop's own", a, b)
	}
	newest := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}/trail?limit=1"), nil).Want(t, 200)
	if newest.Text("/items/0/action") != "stopClock" || len(newest.Text("/items/0/hash")) != 64 {
		t.Errorf("the newest entry is %s, want stopClock with a SHA-256", newest.Body)
	}
}
