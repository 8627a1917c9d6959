package load

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"time"
)

// Visitor is one signed-in browser. It may be used from several goroutines.
type Visitor struct {
	Cookie *http.Cookie
	client *http.Client
}

// NewVisitor returns a visitor that is signed in nowhere and opens at most
// connections connections.
func NewVisitor(connections int) *Visitor {
	return &Visitor{client: &http.Client{Timeout: 30 * time.Second, Transport: &http.Transport{
		MaxIdleConnsPerHost: connections, MaxConnsPerHost: connections, DisableCompression: true}}}
}

// Forget closes the visitor's idle connections.
func (v *Visitor) Forget() { v.client.CloseIdleConnections() }

// Answer is what a request was answered with.
type Answer struct {
	Status int
	Header http.Header
	Body   []byte
}

// Want fails unless the answer has a status.
func (a Answer) Want(status int) error {
	if a.Status != status {
		return fmt.Errorf("got status %d, want %d: %s", a.Status, status, a.Body[:min(len(a.Body), 400)])
	}
	return nil
}

// Read decodes the body.
func (a Answer) Read(into any) error { return json.Unmarshal(a.Body, into) }

// Send sends one request, once: a request that a broken connection leaves open
// is not repeated behind the caller's back. body is nil or a value to be sent
// as JSON; key is an Idempotency-Key or empty.
func (v *Visitor) Send(ctx context.Context, method, url, key string, body any) (Answer, error) {
	var content io.Reader = http.NoBody
	if body != nil {
		raw, err := json.Marshal(body)
		if err != nil {
			return Answer{}, err
		}
		content = io.MultiReader(bytes.NewReader(raw)) // hides how to read it again, so that the client cannot repeat it
	}
	req, err := http.NewRequestWithContext(ctx, method, url, content)
	if err != nil {
		return Answer{}, err
	}
	if body != nil {
		req.Header.Set("Content-Type", "application/json")
	}
	if key != "" {
		req.Header.Set("Idempotency-Key", key)
	}
	if v.Cookie != nil {
		req.AddCookie(v.Cookie)
	}
	res, err := v.client.Do(req)
	if err != nil {
		return Answer{}, err
	}
	defer res.Body.Close()
	raw, err := io.ReadAll(res.Body)
	return Answer{res.StatusCode, res.Header, raw}, err
}

// SignIn signs in and keeps the session.
func (v *Visitor) SignIn(ctx context.Context, base, email, password string) error {
	a, err := v.Send(ctx, http.MethodPost, base+"/api/sessions", "", map[string]string{"email": email, "password": password})
	if err == nil {
		err = a.Want(http.StatusCreated)
	}
	if err != nil {
		return fmt.Errorf("signing in %s: %w", email, err)
	}
	for _, c := range (&http.Response{Header: a.Header}).Cookies() {
		v.Cookie = &http.Cookie{Name: c.Name, Value: c.Value}
	}
	if v.Cookie == nil {
		return fmt.Errorf("signing in %s: no cookie came", email)
	}
	return nil
}

// Hours is an entry of a minute on a task, the slot-th of its person: entries
// of different slots share no time. Slots lie side by side from 300 days back.
type Hours struct {
	TaskID     string    `json:"task_id"`
	StartedAt  time.Time `json:"started_at"`
	FinishedAt time.Time `json:"finished_at"`
	Done       bool      `json:"done"`
	Note       string    `json:"note"`
}

// MostSlots is how many slots a person has.
const MostSlots = 200 * 24 * 60

// HoursAt returns the entry of a slot before a day.
func HoursAt(today time.Time, task string, slot int, note string) Hours {
	start := today.UTC().Truncate(24*time.Hour).AddDate(0, 0, -300).Add(time.Duration(slot) * time.Minute)
	return Hours{TaskID: task, StartedAt: start, FinishedAt: start.Add(time.Minute), Note: note}
}
