package api_test

import (
	"net/http"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"bareframe/internal/testkit"
)

// ground is the world that a fuzzing process throws its inputs at. It stays as
// the inputs leave it: whatever they do, the next answer must still be right.
type ground struct {
	*testkit.World
	mu          sync.Mutex
	ops         []*testkit.Operation // the corpus names operations by their place in here
	sent, draft string               // orders
}

func newGround(f *testing.F, keep func(op *testkit.Operation) bool) *ground {
	f.Helper()
	w := testkit.NewWorld(f, testkit.AtClock)
	w.Set("session", "0193f000-0000-7000-8000-ffffffffffff")
	w.Set("option", "0193f000-0000-7000-8000-fffffffffffe")
	w.Set("client_link", clientLink(f, w))
	w.Uncover(f)
	prepareMoney(f, w)
	takeOver(f, w)
	tried(f, w)
	subscribe(f, w)
	g := &ground{World: w}
	orderFor(f, w, true)
	g.sent = w.Var("order")
	orderFor(f, w, false)
	g.draft = w.Var("order")
	w.Set("token", w.LinkFor(f, w.Owner, w.ClientOf.ID, ""))
	for _, op := range w.Contract.Operations {
		if keep(op) {
			g.ops = append(g.ops, op)
		}
	}
	return g
}

// as returns a browser that may carry out an operation. What an input signed
// out is signed in again; what it gave another password is made anew.
func (g *ground) as(t *testing.T, op *testkit.Operation) *testkit.Client {
	g.Set("order", g.sent)
	if op.ID == "changeOrder" || op.ID == "sendOrder" {
		g.Set("order", g.draft)
	}
	g.Clock.Advance(30 * time.Second) // attempts are throttled
	r := readyFor[op.ID]
	switch {
	case apart[op.ID] || changesTheSession(op.ID):
		return g.Browser("fuzzer")
	case r.who(g.World) == g.ClientOf.Client:
		return g.renewed(t, g.ClientOf)
	case r.who(g.World) == g.Tech.Client:
		return g.renewed(t, g.Tech)
	}
	return g.renewed(t, g.Owner)
}

func changesTheSession(id string) bool {
	return id == "signIn" || id == "acceptInvitation" || id == "openClientLink"
}

// renewed signs a person in again past HTTP's own sign-in when their session is
// gone: by a fresh invitation or link.
func (g *ground) renewed(t *testing.T, p *testkit.Person) *testkit.Client {
	if p.Do(t, "GET", "/api/me", nil).Status == http.StatusOK {
		return p.Client
	}
	if p == g.ClientOf {
		g.OpenLink(t, p.Client, g.LinkFor(t, g.Owner, p.ID, ""))
		return p.Client
	}
	made, err := g.App.Invite(t.Context(), g.Owner.Actor, p.ID)
	if err != nil {
		t.Skip("the input made this person inactive or somebody else: ", err)
	}
	p.Do(t, "POST", "/api/invitations/accept", map[string]string{"token": made.Token, "password": testkit.Password})
	return p.Client
}

// version returns the present version of what a path edits, "" when it cannot
// be read any more.
func (g *ground) version(t *testing.T, who *testkit.Client, path string) string {
	if rest, ok := strings.CutPrefix(path, "/api/jobs/"); ok {
		id, _, _ := strings.Cut(rest, "/")
		path = "/api/jobs/" + id
	}
	if strings.HasPrefix(path, "/api/shop/prices/") {
		path = "/api/shop/prices"
	}
	if rest, ok := strings.CutPrefix(path, "/api/orders/"); ok {
		id, _, _ := strings.Cut(rest, "/")
		path = "/api/orders/" + id
	}
	if rest, ok := strings.CutPrefix(path, "/api/templates/"); ok {
		id, _, _ := strings.Cut(rest, "/")
		a := who.Do(t, "GET", "/api/templates/"+id, nil)
		if a.Status != http.StatusOK {
			return ""
		}
		return `"v` + a.Text("/newest_revision") + `"`
	}
	path = strings.TrimSuffix(path, "/retired")
	if strings.HasPrefix(path, "/api/findings/") {
		return `"v1"` // there is no address of one finding; the input may have moved its version
	}
	return who.Do(t, "GET", path, nil).ETag()
}

// FuzzBodies throws bytes at every operation that takes a body, as somebody who
// may carry it out. Do itself fails the test on a 5xx, on a refusal that is no
// problem document, and on any answer outside the contract.
//
//	go test ./api -fuzz FuzzBodies -fuzztime 60s
func FuzzBodies(f *testing.F) {
	only := os.Getenv("BAREFRAME_FUZZ_OPERATION") // tools/fuzz.sh gives each operation its own time
	g := newGround(f, func(op *testkit.Operation) bool { return op.Spec.RequestBody != nil && (only == "" || op.ID == only) })
	if only == "" && len(g.ops) < 30 || len(g.ops) == 0 {
		f.Fatalf("only %d operations take a body; the fuzzer would miss the rest", len(g.ops))
	}
	for i, op := range g.ops {
		f.Add(uint8(i), []byte(bodyOf(f, g.World, op).(string)))
	}
	for i := range g.ops {
		for j, body := range []string{``, `null`, `{}`, `[]`, `""`, `0`, `{"a":`, "\xff\xfe", `{"to":"\ud800"}`, `{"reason":"` + strings.Repeat("x", 1000) + `"}`} {
			if testkit.Raced && (i+j)%5 != 0 {
				continue
			}
			f.Add(uint8(i), []byte(body))
		}
	}
	f.Fuzz(func(t *testing.T, which uint8, body []byte) {
		g.mu.Lock()
		defer g.mu.Unlock()
		op := g.ops[int(which)%len(g.ops)]
		who := g.as(t, op)
		path := pathOf(t, g.World, op)
		var options []testkit.Option
		if op.Takes("If-Match") {
			options = append(options, testkit.IfMatch(g.version(t, who, path)))
		}
		who.Do(t, op.Method, path, body, options...)
	})
}

// FuzzPaths throws text at every parameter there is: in the path, in the query,
// in headers.
func FuzzPaths(f *testing.F) {
	g := newGround(f, func(op *testkit.Operation) bool { return op.ID != "streamEvents" })
	texts := []string{"", "0", "-1", "%00", "..", "a b", "é", "\xff", "null", "0193f000-0000-7000-8000-ffffffffffff", "0193F000-0000-7000-8000-FFFFFFFFFFFF",
		"task:0193f000-0000-7000-8000-ffffffffffff", `"v1"`, `W/"v1"`, "*", "99999999999999999999", "WyJqb2JzIiwwXQ", strings.Repeat("a", 300)}
	for i := range g.ops {
		for j, text := range texts {
			if testkit.Raced && (i+j)%6 != 0 {
				continue
			}
			f.Add(uint8(i), text, text, text)
		}
	}
	f.Fuzz(func(t *testing.T, which uint8, inPath, inQuery, inHeader string) {
		g.mu.Lock()
		defer g.mu.Unlock()
		op := g.ops[int(which)%len(g.ops)]
		who := g.as(t, op)
		options := headersOf(op, inHeader)
		// The first parameter is the input's, so that the ones behind it are reached as well.
		path := pathOf(t, g.World, op)
		if first := strings.Index(op.Path, "{"); first >= 0 && inPath != "" {
			end := first + len(path[first:])
			if cut := strings.IndexByte(path[first:], '/'); cut >= 0 {
				end = first + cut
			}
			path = path[:first] + url.PathEscape(inPath) + path[end:]
		}
		query := url.Values{}
		for _, name := range []string{"limit", "cursor", "state", "role", "job", "version", "budget"} {
			query.Set(name, inQuery)
		}
		var body any
		if op.Spec.RequestBody != nil {
			body = bodyOf(t, g.World, op)
		}
		if matched, _ := g.Contract.Match(op.Method, path); matched == nil {
			options = append(options, testkit.Outside()) // a slash too many is another address
		}
		who.Do(t, op.Method, path+"?"+query.Encode(), body, options...)
	})
}

func headersOf(op *testkit.Operation, text string) []testkit.Option {
	clean := strings.Map(func(r rune) rune { // what a client of HTTP can send at all
		if r < 0x20 || r == 0x7f || r > 0xff {
			return -1
		}
		return r
	}, text)
	var out []testkit.Option
	if op.Takes("If-Match") {
		out = append(out, testkit.IfMatch(clean))
	}
	if op.Takes("Idempotency-Key") {
		out = append(out, testkit.Header("Idempotency-Key", clean))
	}
	return append(out, testkit.Header("Accept-Language", clean), testkit.Header("User-Agent", clean), testkit.Header("X-Forwarded-For", clean))
}
