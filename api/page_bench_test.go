package api_test

import (
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"bareframe/api"
	"bareframe/internal/app"
	"bareframe/internal/demo"
	"bareframe/internal/domain"
	"bareframe/internal/password"
	"bareframe/internal/store"
)

// bench is the demo behind the HTTP handler, without a network between.
type bench struct {
	handler http.Handler
	app     *app.App
	owner   domain.Actor
	cookie  string
	job     domain.ID // in work, with hours
}

func newBench(b *testing.B) *bench {
	b.Helper()
	must := func(err error) {
		b.Helper()
		if err != nil {
			b.Fatal(err)
		}
	}
	quiet := slog.New(slog.NewTextHandler(io.Discard, &slog.HandlerOptions{Level: slog.LevelError}))
	st, err := store.Open(b.Context(), store.Options{SQLitePath: filepath.Join(b.TempDir(), "shop.db"), Log: quiet})
	must(err)
	b.Cleanup(func() { _ = st.Close() })
	must(st.Migrate(b.Context()))
	contract, err := os.ReadFile("../openapi.yaml")
	must(err)
	secret := func() string { return strings.ReplaceAll(uuid.NewString(), "-", "") }
	shop, err := demo.Load(b.Context(), demo.Options{Files: os.DirFS("../seeds"), Store: st, Passwords: password.NewKeeper(), Secret: secret, Now: time.Now().UTC()})
	must(err)
	craft, err := demo.ReadCraft(os.DirFS("../seeds"))
	must(err)
	rules, err := demo.ReadRules(os.DirFS("../seeds"))
	must(err)
	k := &bench{app: app.New(app.Options{Frames: craft.Frames, Repairs: craft.Repairs, Takeoff: &craft.Takeoff, Methods: craft.Methods, Sheet: craft.Sheet, PutRight: craft.PutRight, Rules: rules, Store: st, Passwords: password.NewKeeper(), Secret: secret,
		Now: func() time.Time { return time.Now().UTC() }, NewID: func() domain.ID { return uuid.Must(uuid.NewV7()).String() }})}
	k.owner = domain.Actor{ShopID: shop, Name: "bench", Role: domain.Owner}
	k.handler, err = api.New(api.Wiring{App: k.app, Hub: api.NewHub(), Contract: contract, Frontend: os.DirFS("../frontend"), Version: "bench", Log: quiet})
	must(err)
	jobs, _, err := k.app.Jobs(b.Context(), k.owner, domain.InWork, app.Page{Limit: 10})
	must(err)
	k.job = jobs[0].Job.ID
	in, err := k.app.SignIn(b.Context(), "owner@selvane.example.org", demo.Password, app.Place{Address: "bench"})
	must(err)
	k.cookie = "bareframe_session=" + in.Token
	return k
}

// BenchmarkJobPageHandler is the job page through sign-in, contract, use case,
// store and JSON, without a network.
func BenchmarkJobPageHandler(b *testing.B) {
	k := newBench(b)
	b.ReportAllocs()
	for b.Loop() {
		r := httptest.NewRequest(http.MethodGet, "/api/jobs/"+k.job, nil)
		r.Header.Set("Cookie", k.cookie)
		w := httptest.NewRecorder()
		k.handler.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			b.Fatalf("%d %s", w.Code, w.Body)
		}
	}
}

// BenchmarkTakeoffHandler is the takeoff of a job of 40 zones the same way, with its
// whole derivation written out.
func BenchmarkTakeoffHandler(b *testing.B) {
	k := newBench(b)
	size := 0
	b.ReportAllocs()
	for b.Loop() {
		r := httptest.NewRequest(http.MethodGet, "/api/jobs/"+k.job+"/takeoff", nil)
		r.Header.Set("Cookie", k.cookie)
		w := httptest.NewRecorder()
		k.handler.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			b.Fatalf("%d %s", w.Code, w.Body)
		}
		size = w.Body.Len()
	}
	b.ReportMetric(float64(size)/1024, "KiB")
}

// BenchmarkJobPageUseCase is the same page short of HTTP and JSON.
func BenchmarkJobPageUseCase(b *testing.B) {
	k := newBench(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := k.app.JobPage(b.Context(), k.owner, k.job); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPointsHandler is the judged points of a job the same way.
func BenchmarkPointsHandler(b *testing.B) {
	k := newBench(b)
	b.ReportAllocs()
	for b.Loop() {
		r := httptest.NewRequest(http.MethodGet, "/api/jobs/"+k.job+"/points", nil)
		r.Header.Set("Cookie", k.cookie)
		w := httptest.NewRecorder()
		k.handler.ServeHTTP(w, r)
		if w.Code != http.StatusOK {
			b.Fatalf("%d %s", w.Code, w.Body)
		}
	}
}

// BenchmarkTodayHandler is a technician's day with an agreed plan, the same way.
func BenchmarkTodayHandler(b *testing.B) {
	k := newBench(b)
	if _, err := k.app.MakePlans(b.Context(), true); err != nil {
		b.Fatal(err)
	}
	in, err := k.app.SignIn(b.Context(), "marik@selvane.example.org", demo.Password, app.Place{Address: "bench"})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		r := httptest.NewRequest(http.MethodGet, "/api/bench/today", nil)
		r.Header.Set("Cookie", "bareframe_session="+in.Token)
		w := httptest.NewRecorder()
		k.handler.ServeHTTP(w, r)
		if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), `"plan"`) {
			b.Fatalf("%d %s", w.Code, w.Body)
		}
	}
}
