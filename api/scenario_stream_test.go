package api_test

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/testkit"
)

// stream is an open stream of server-sent events, read line by line as the
// HTML standard writes them (html.spec.whatwg.org, 9.2.6): "event:", "data:",
// an empty line.
type stream struct {
	status int
	kind   string
	head   string
	events chan event
	close  func()
}

type event struct{ name, data string }

func openStream(t testing.TB, w *testkit.World, who *testkit.Client) *stream {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, w.Server.URL+"/api/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	res, err := who.HTTP.Do(req)
	if err != nil {
		cancel()
		t.Fatalf("%s: no stream: %v", who.Name, err)
	}
	s := &stream{status: res.StatusCode, kind: res.Header.Get("Content-Type"), events: make(chan event, 64),
		close: func() { cancel(); _ = res.Body.Close() }}
	if res.StatusCode != http.StatusOK {
		return s
	}
	go func() {
		defer close(s.events)
		var e event
		lines := bufio.NewScanner(res.Body)
		for lines.Scan() {
			switch line := lines.Text(); {
			case strings.HasPrefix(line, "event: "):
				e.name = strings.TrimPrefix(line, "event: ")
			case strings.HasPrefix(line, "data: "):
				e.data = strings.TrimPrefix(line, "data: ")
			case line == "" && e.name != "":
				s.events <- e
				e = event{}
			}
		}
	}()
	if e := s.next(t); e.name != "ready" {
		t.Errorf("%s: the stream begins with %q, want ready", who.Name, e.name)
	}
	return s
}

// mostWait bounds how long a test waits for an event that must come.
const mostWait = 20 * time.Second

func (s *stream) next(t testing.TB) event {
	t.Helper()
	select {
	case e := <-s.events:
		return e
	case <-time.After(mostWait):
		t.Fatal("no event came")
		return event{}
	}
}

func (s *stream) wantChange(t *testing.T, who string, job, what string) {
	t.Helper()
	e := s.next(t)
	var got map[string]string
	if err := json.Unmarshal([]byte(e.data), &got); err != nil {
		t.Errorf("%s: got event %q with %q, want JSON: %v", who, e.name, e.data, err)
	}
	if e.name != "changed" || got["job"] != job || got["what"] != what || len(got) != 2 {
		t.Errorf("%s: got event %q %v, want changed with job %s, what %s and nothing else", who, e.name, got, job, what)
	}
}

func TestHoursReachTheOwnersScreenAndTheClientsOwnAndNobodyElses(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	owners, clients := openStream(t, w, w.Owner.Client), openStream(t, w, w.ClientOf.Client)
	others, rivals := openStream(t, w, w.OtherClient.Client), openStream(t, w, w.Rival.Client)
	for _, s := range []*stream{owners, clients, others, rivals} {
		defer s.close()
		if s.status != 200 || s.kind != "text/event-stream" {
			t.Fatalf("got %d %q, want a stream of events", s.status, s.kind)
		}
	}
	w.Tech.Do(t, "POST", "/api/bench/clock/start", w.Fill(`{"task_id":"{A25}"}`)).Want(t, 201)
	owners.wantChange(t, "the owner", w.Job, "hours")
	clients.wantChange(t, "the client of the job", w.Job, "hours")

	// What the others hear first is their own: nothing of this job came before it.
	if _, err := w.App.MoveJob(t.Context(), w.Owner.Actor, w.OtherJob, app.Precondition{Given: true, Version: 1}, "surveyed", "Seen."); err != nil {
		t.Fatal(err)
	}
	if _, err := w.App.MoveJob(t.Context(), w.Rival.Actor, w.RivalJob, app.Precondition{Given: true, Version: 1}, "surveyed", "Seen."); err != nil {
		t.Fatal(err)
	}
	others.wantChange(t, "the client of another job", w.OtherJob, "job")
	rivals.wantChange(t, "the owner of another shop", w.RivalJob, "job")
	owners.wantChange(t, "the owner", w.OtherJob, "job")
}

func TestARefusedWriteTellsNobody(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	s := openStream(t, w, w.Owner.Client)
	defer s.close()
	w.Tech.Do(t, "POST", "/api/bench/clock/start", w.Fill(`{"task_id":"{B10}"}`)).WantProblem(t, 409, "hold-not-released")
	w.Tech.Do(t, "POST", "/api/bench/clock/start", w.Fill(`{"job_id":"{job}","waiting":"parts"}`)).Want(t, 201)
	s.wantChange(t, "the owner", w.Job, "hours")
	w.Owner.Do(t, "PUT", "/api/shop/calendar", `{"week":{"monday":[{"from":"08:00","to":"12:00"}]},"holidays":"","closures":[],"openings":[]}`,
		testkit.IfMatch(versionFor(t, w.Owner.Client, "/api/shop/calendar"))).Want(t, 200)
	s.wantChange(t, "the owner", "", "shop")
}
