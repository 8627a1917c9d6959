package testkit

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
)

// Client is one browser: a cookie jar and the way to the server.
type Client struct {
	stack *Stack
	Name  string
	HTTP  *http.Client
}

// Browser returns a client that is signed in nowhere.
func (s *Stack) Browser(name string) *Client {
	jar, _ := cookiejar.New(nil) // never fails without options
	return &Client{stack: s, Name: name, HTTP: &http.Client{Jar: jar, Transport: s.Server.Client().Transport}}
}

// Cookies returns what the browser holds for the server.
func (c *Client) Cookies() []*http.Cookie {
	u, _ := url.Parse(c.stack.Server.URL) // the test server's own address
	return c.HTTP.Jar.Cookies(u)
}

// request is one request on its way.
type request struct {
	header  http.Header
	key     string
	outside bool
	raw     bool
}

// Option changes how a request is sent.
type Option func(*request)

// IfMatch sends a version.
func IfMatch(etag string) Option { return func(r *request) { r.header.Set("If-Match", etag) } }

// Key sends an Idempotency-Key; without it a fresh one is sent where the
// contract asks for one.
func Key(key string) Option { return func(r *request) { r.key = key } }

// Header sends a header.
func Header(name, value string) Option {
	return func(r *request) { r.header.Set(name, value) }
}

// Outside sends a request to an address that is not in the contract.
func Outside() Option { return func(r *request) { r.outside = true } }

var keys atomic.Uint64

// FreshKey returns an Idempotency-Key that was not used before.
func FreshKey() string { return "test-key-" + strconv.FormatUint(keys.Add(1), 10) }

// Do sends a request and holds the answer against the contract. body is nil for
// none, a string or []byte to be sent as it is, or a value to be sent as JSON.
// It may be called from several goroutines.
func (c *Client) Do(t testing.TB, method, path string, body any, options ...Option) *Answer {
	t.Helper()
	r := &request{header: http.Header{}}
	for _, o := range options {
		o(r)
	}
	sent := bodyOf(t, body)
	a := &Answer{Asked: c.Name + ": " + method + " " + path + " " + short(sent), Header: http.Header{}}
	req, err := http.NewRequestWithContext(t.Context(), method, c.stack.Server.URL+path, bytes.NewReader(sent))
	if err != nil {
		t.Errorf("%s: cannot be sent: %v", a.Asked, err)
		return a
	}
	if body == nil {
		req.Body, req.ContentLength = http.NoBody, 0
	} else {
		req.Header.Set("Content-Type", "application/json")
	}
	op, params := c.stack.Contract.Match(method, req.URL.EscapedPath())
	a.Operation = op
	if op != nil && op.TakesFile() && body != nil {
		req.Header.Set("Content-Type", "application/octet-stream")
	}
	switch {
	case op == nil && !r.outside:
		t.Errorf("%s: the contract has no such operation", a.Asked)
		return a
	case op != nil && op.Takes("Idempotency-Key") && r.key == "":
		req.Header.Set("Idempotency-Key", FreshKey())
	case r.key != "":
		req.Header.Set("Idempotency-Key", r.key)
	}
	for name, values := range r.header {
		req.Header[name] = values
	}
	res, err := c.HTTP.Do(req)
	if err != nil {
		t.Errorf("%s: no answer: %v", a.Asked, err)
		return a
	}
	defer res.Body.Close()
	if a.Body, err = io.ReadAll(res.Body); err != nil {
		t.Errorf("%s: the answer broke off: %v", a.Asked, err)
	}
	a.Status, a.Header = res.StatusCode, res.Header
	c.hold(t, a, params, req, res, sent)
	return a
}

// hold checks what must be true of every answer.
func (c *Client) hold(t testing.TB, a *Answer, params map[string]string, req *http.Request, res *http.Response, sent []byte) {
	t.Helper()
	for _, name := range []string{"X-Content-Type-Options", "Content-Security-Policy", "Referrer-Policy", "Cross-Origin-Opener-Policy", "X-Request-Id"} {
		if a.Header.Get(name) == "" {
			t.Errorf("%s: the %d answer has no header %s", a.Asked, a.Status, name)
		}
	}
	if a.Status >= 500 {
		t.Errorf("%s: got %d, want no failure\nbody: %s\nlog: %s", a.Asked, a.Status, short(a.Body), c.stack.Log())
	}
	if a.Operation == nil {
		return
	}
	if a.Status >= 400 && req.Method != http.MethodHead { // which has no body: RFC 9110, 9.3.2
		a.wantWellFormedProblem(t)
	}
	if err := c.stack.Contract.answered(a.Operation, params, req, res, a.Body); err != nil {
		t.Errorf("%s: the %d answer breaks the contract: %v\nbody: %s", a.Asked, a.Status, err, short(a.Body))
	}
	if a.Status < 300 {
		if err := c.stack.Contract.asked(a.Operation, params, req, sent); err != nil {
			t.Errorf("%s: %v", a.Asked, err)
		}
	}
}

func bodyOf(t testing.TB, body any) []byte {
	t.Helper()
	switch b := body.(type) {
	case nil:
		return nil
	case string:
		return []byte(b)
	case []byte:
		return b
	}
	raw, err := json.Marshal(body)
	if err != nil {
		t.Errorf("the body cannot be sent as JSON: %v", err)
	}
	return raw
}

const mostShown = 1500

func short(b []byte) string {
	if len(b) > mostShown {
		return strings.ToValidUTF8(string(b[:mostShown]), "?") + "… (" + strconv.Itoa(len(b)) + " bytes)"
	}
	return strings.ToValidUTF8(string(b), "?")
}
