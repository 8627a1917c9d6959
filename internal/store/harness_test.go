package store

import (
	"bytes"
	"context"
	"fmt"
	"log/slog"
	"path/filepath"
	"testing"

	"bareframe/internal/testkit/postgres"

	"github.com/google/go-cmp/cmp"
	"github.com/shopspring/decimal"
	"gorm.io/gorm"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// onBoth runs a part of the contract on both databases, each on a store of its own.
func onBoth(t *testing.T, test func(t *testing.T, s *Store)) {
	t.Run("sqlite", func(t *testing.T) { test(t, newSQLite(t)) })
	t.Run("postgres", func(t *testing.T) { test(t, newPostgres(t)) })
}

func newSQLite(t testing.TB) *Store {
	return openMigrated(t, Options{SQLitePath: filepath.Join(t.TempDir(), "shop.db")})
}

func newPostgres(t testing.TB) *Store {
	return openMigrated(t, Options{PostgresURL: postgres.Schema(t)})
}

func openMigrated(t testing.TB, o Options) *Store {
	t.Helper()
	log := &bytes.Buffer{}
	o.Log = slog.New(slog.NewTextHandler(log, nil))
	s, err := Open(t.Context(), o)
	if err != nil {
		t.Fatalf("opening: %v", err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Errorf("closing: %v", err)
		}
		if t.Failed() {
			t.Logf("log of the store:\n%s", log)
		}
	})
	if err := s.Migrate(t.Context()); err != nil {
		t.Fatalf("migrating: %v", err)
	}
	return s
}

// raw runs statements outside the rules of this package, as an intruder would.
func raw(t testing.TB, s *Store, statement string, args ...any) error {
	t.Helper()
	return s.backend.write(context.Background(), func(db *gorm.DB) error { return db.Exec(statement, args...).Error })
}

// update runs fn within a shop and fails the test when it fails.
func update(t testing.TB, s *Store, shop domain.ID, fn func(tx app.Tx) error) {
	t.Helper()
	if err := s.Update(t.Context(), shop, fn); err != nil {
		t.Fatalf("updating %s: %v", shop, err)
	}
}

func view(t testing.TB, s *Store, shop domain.ID, fn func(r app.Reader)) {
	t.Helper()
	if err := s.View(t.Context(), shop, func(r app.Reader) error { fn(r); return nil }); err != nil {
		t.Fatalf("viewing %s: %v", shop, err)
	}
}

func isSQLite(s *Store) bool { _, ok := s.backend.(*sqliteBackend); return ok }

// exactly compares decimals by their text, so that 0.1 and a float's idea of it differ.
var exactly = cmp.Comparer(func(a, b decimal.Decimal) bool { return a.String() == b.String() })

// same fails when what was read differs from what was written.
func same[T any](t *testing.T, what string, got, want T, err error) {
	t.Helper()
	if err != nil {
		t.Errorf("%s: %v", what, err)
		return
	}
	if diff := cmp.Diff(want, got, exactly); diff != "" {
		t.Errorf("%s: -want +got\n%s", what, diff)
	}
}

// refused fails unless err is a refusal of this kind and code.
func refused(t *testing.T, what string, err error, kind fault.Kind, code string) {
	t.Helper()
	e := fault.As(err)
	if e == nil || e.Kind != kind || e.Code != code {
		t.Errorf("%s: got %v, want %s %s", what, err, kind, code)
		return
	}
	if e.Detail == "" {
		t.Errorf("%s: the refusal says nothing", what)
	}
}

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

func must(errs ...error) error {
	for i, err := range errs {
		if err != nil {
			return fmt.Errorf("step %d: %w", i, err)
		}
	}
	return nil
}
