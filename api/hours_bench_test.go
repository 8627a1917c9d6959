package api_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/demo"
	"bareframe/internal/domain"
)

// BenchmarkLogHoursHandler is an hours entry through sign-in, contract, use case
// and a durable commit, one after another, without a network.
func BenchmarkLogHoursHandler(b *testing.B) {
	k := newBench(b)
	in, err := k.app.SignIn(b.Context(), "marik@selvane.example.org", demo.Password, app.Place{Address: "bench"})
	if err != nil {
		b.Fatal(err)
	}
	page, err := k.app.JobPage(b.Context(), k.owner, k.job)
	if err != nil {
		b.Fatal(err)
	}
	var task domain.ID
	for _, t := range page.Estimate.Tasks { // the first of a job is before every hold point
		if t.Kind == domain.Work {
			task = t.ID
			break
		}
	}
	start := time.Now().UTC().Truncate(24*time.Hour).AddDate(0, 0, -300)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		from := start.Add(time.Duration(i) * time.Minute)
		body := fmt.Sprintf(`{"task_id":%q,"started_at":%q,"finished_at":%q,"done":false,"note":"bench"}`, task, from.Format(time.RFC3339), from.Add(time.Minute).Format(time.RFC3339))
		r := httptest.NewRequest(http.MethodPost, "/api/bench/hours", strings.NewReader(body))
		r.Header.Set("Cookie", "bareframe_session="+in.Token)
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Idempotency-Key", fmt.Sprintf("bench-key-%d", i))
		w := httptest.NewRecorder()
		k.handler.ServeHTTP(w, r)
		if w.Code != http.StatusCreated {
			b.Fatalf("%d %s", w.Code, w.Body)
		}
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "entries/s")
}
