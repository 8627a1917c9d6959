package crash

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"bareframe/internal/load"
)

// half is a request of which the server has read the head and half the body,
// so that it is under way for as long as the test likes.
type half struct {
	conn net.Conn
	rest string
}

func beginHalf(t *testing.T, base string, v *load.Visitor, key string, body any) half {
	t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	address := strings.TrimPrefix(base, "http://")
	conn, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	_ = conn.SetDeadline(time.Now().Add(30 * time.Second))
	middle := len(raw) / 2
	_, err = fmt.Fprintf(conn, "POST /api/bench/hours HTTP/1.1\r\nHost: %s\r\nCookie: %s\r\nContent-Type: application/json\r\nIdempotency-Key: %s\r\nContent-Length: %d\r\n\r\n%s",
		address, v.Cookie, key, len(raw), raw[:middle])
	if err != nil {
		t.Fatal(err)
	}
	return half{conn, string(raw[middle:])}
}

// finish sends the other half and returns the answer.
func (h half) finish(t *testing.T) (int, string) {
	t.Helper()
	if _, err := io.WriteString(h.conn, h.rest); err != nil {
		t.Fatalf("sending the rest of a request under way: %v", err)
	}
	res, err := http.ReadResponse(bufio.NewReader(h.conn), nil)
	if err != nil {
		t.Fatalf("a request under way got no answer: %v", err)
	}
	defer res.Body.Close()
	raw, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatalf("the answer to a request under way broke off: %v", err)
	}
	return res.StatusCode, string(raw)
}

func refusesConnections(base string, within time.Duration) bool {
	for end := time.Now().Add(within); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		conn, err := net.DialTimeout("tcp", strings.TrimPrefix(base, "http://"), time.Second)
		if err != nil {
			return true
		}
		_ = conn.Close()
	}
	return false
}

// TestGracefulStop stops the server while requests are under way and while an
// open screen listens: the requests are answered, nothing new gets in, the
// screen does not hold the stop up, and what was answered is stored.
func TestGracefulStop(t *testing.T) {
	s := newScene(t, 2)
	p := start(t, s.serve)
	visitors := signIn(t, p.URL, s.shop.Technicians...)
	screen, err := http.NewRequestWithContext(t.Context(), "GET", p.URL+"/api/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	screen.AddCookie(visitors[0].Cookie)
	listening, err := http.DefaultClient.Do(screen)
	if err != nil || listening.StatusCode != 200 {
		t.Fatalf("no event stream: %v %v", listening, err)
	}
	defer listening.Body.Close()

	var underWay []half
	for slot := range 6 {
		who := slot % 2
		underWay = append(underWay, beginHalf(t, p.URL, visitors[who], fmt.Sprintf("stop-key-%d", slot), load.HoursAt(s.today, s.shop.Task(0, 0), slot, fmt.Sprintf("stop %d", slot))))
	}
	time.Sleep(300 * time.Millisecond) // the heads are read by then
	if err := p.Terminate(); err != nil {
		t.Fatal(err)
	}
	if !refusesConnections(p.URL, 5*time.Second) {
		t.Error("after SIGTERM the server still takes new connections")
	}
	if _, err := p.Wait(100 * time.Millisecond); err == nil {
		t.Fatal("the server ended with requests under way")
	}
	for i, h := range underWay {
		if status, body := h.finish(t); status != 201 || !strings.Contains(body, fmt.Sprintf("stop %d", i)) {
			t.Errorf("request %d under way was answered %d: %s", i, status, body)
		}
	}
	code, err := p.Wait(10 * time.Second)
	if err != nil || code != 0 {
		t.Fatalf("exit code %d (%v), want 0\n%s", code, err, p.Log())
	}
	again := start(t, s.serve)
	if n := len(entriesOf(t, again.URL, visitors[0])) + len(entriesOf(t, again.URL, visitors[1])); n != len(underWay) {
		t.Errorf("%d entries are stored, want the %d that were answered", n, len(underWay))
	}
	if err := again.Stop(); err != nil {
		t.Error(err)
	}
	verified(t, s)
}
