package testkit

import (
	"bytes"
	"log/slog"
	"net/http/httptest"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"bareframe/internal/testkit/postgres"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver that makes a schema for a test

	"bareframe/api"
	"bareframe/internal/app"
	"bareframe/internal/photo"
	"bareframe/internal/store"
)

// Begin is where a stack's clock stands when it opens: a Monday morning in
// winter time.
var Begin = time.Date(2026, 11, 23, 8, 0, 0, 0, time.UTC)

// Stack is one running program on a store of its own.
type Stack struct {
	Store    *store.Store
	App      *app.App
	Hub      *api.Hub
	Server   *httptest.Server
	Clock    *Clock
	Photos   *photo.Folder
	Contract *Contract
	log      *logBuffer
	keeper   *keeper
	ids      *counter
}

// Open starts the program on a fresh SQLite file. Everything ends with the test.
func Open(t testing.TB) *Stack {
	t.Helper()
	return open(t, store.Options{SQLitePath: filepath.Join(t.TempDir(), "shop.db")})
}

// OpenPostgres starts the program on a schema of its own in the database that
// BAREFRAME_TEST_POSTGRES names; without it the test is skipped, or fails when
// BAREFRAME_NO_SKIP is 1.
func OpenPostgres(t testing.TB) *Stack {
	t.Helper()
	return open(t, store.Options{PostgresURL: postgres.Schema(t)})
}

func open(t testing.TB, o store.Options) *Stack {
	t.Helper()
	s := &Stack{Clock: &Clock{now: Begin}, Contract: ReadContract(t), Hub: api.NewHub(), log: &logBuffer{}, keeper: &keeper{}, ids: &counter{}}
	log := slog.New(slog.NewTextHandler(s.log, &slog.HandlerOptions{Level: slog.LevelWarn}))
	o.Log = log
	var err error
	if s.Store, err = store.Open(t.Context(), o); err != nil {
		t.Fatalf("opening the store: %v", err)
	}
	t.Cleanup(func() {
		_ = s.Store.Close()
		if t.Failed() && s.log.String() != "" {
			t.Logf("the program's log:\n%s", s.log.String())
		}
	})
	if err := s.Store.Migrate(t.Context()); err != nil {
		t.Fatalf("migrating: %v", err)
	}
	craft := Craft(t)
	if s.Photos, err = photo.OpenFolder(t.TempDir()); err != nil {
		t.Fatalf("opening the folder of photos: %v", err)
	}
	t.Cleanup(func() { _ = s.Photos.Close() })
	s.App = app.New(app.Options{Store: s.Store, Passwords: s.keeper, Now: s.Clock.Now, NewID: s.ids.next, Secret: secret, Announce: s.Hub.Publish, Rules: Rules(t), Mail: true, BaseURL: "https://portal.example",
		Frames: craft.Frames, Repairs: craft.Repairs, Takeoff: &craft.Takeoff, Methods: craft.Methods, Brought: craft.Brought, Sheet: craft.Sheet, PutRight: craft.PutRight, Photos: s.Photos})
	handler, err := api.New(api.Wiring{App: s.App, Hub: s.Hub, Contract: s.Contract.Source, Frontend: os.DirFS(filepath.Join(Root(t), "frontend")),
		Starting: api.Starting(Starting(t)), Version: "test", Log: log})
	if err != nil {
		t.Fatalf("wiring: %v", err)
	}
	s.Server = httptest.NewServer(handler)
	t.Cleanup(func() {
		s.Hub.Close()
		s.Server.Close()
	})
	return s
}

// PasswordChecks counts the passwords that were compared with a hash so far,
// those of accounts that do not exist included.
func (s *Stack) PasswordChecks() int64 { return s.keeper.checks.Load() }

// Log returns what the program logged at warning and above.
func (s *Stack) Log() string { return s.log.String() }

// logBuffer is written by the program's goroutines and read by the test's.
type logBuffer struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (b *logBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.Write(p)
}

func (b *logBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.text.String()
}
