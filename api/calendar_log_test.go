package api_test

import (
	"bytes"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bareframe/api"
	"bareframe/internal/testkit"
)

// The token of a calendar stands in its path, and in no line of the log, however much
// is logged and however the address is mistyped.
func TestTheLogHoldsNoCalendarToken(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	planFor(t, w)
	path, _ := feedOf(t, w, w.Owner, "job", w.Job)
	token := strings.TrimSuffix(strings.TrimPrefix(path, "/calendar/"), ".ics")
	var log bytes.Buffer
	handler, err := api.New(api.Wiring{App: w.App, Hub: w.Hub, Contract: w.Contract.Source, Frontend: os.DirFS(filepath.Join(testkit.Root(t), "frontend")),
		Starting: api.Starting(testkit.Starting(t)), Log: slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug}))})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		method, path string
		want         int
	}{
		{"GET", path, http.StatusOK}, {"GET", "/calendar/" + token, http.StatusNotFound}, {"GET", path + "/more", http.StatusNotFound},
		{"POST", path, http.StatusMethodNotAllowed},
	} {
		log.Reset()
		answer := httptest.NewRecorder()
		handler.ServeHTTP(answer, httptest.NewRequest(row.method, row.path, nil))
		said := strings.ReplaceAll(row.method+" "+row.path, token, "TOKEN")
		if answer.Code != row.want {
			t.Errorf("%s: got %d, want %d", said, answer.Code, row.want)
		}
		if text := log.String(); !strings.Contains(text, "msg=request") || strings.Contains(text, token) {
			t.Errorf("%s: the log says %q; want the request without its token", said, strings.ReplaceAll(text, token, "TOKEN"))
		}
	}
}
