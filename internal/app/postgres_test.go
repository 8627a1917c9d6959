package app_test

import (
	"testing"

	"bareframe/internal/domain"
	"bareframe/internal/store"
	"bareframe/internal/testkit/postgres"
)

// openOnPostgres opens a shop in a schema of its own, or skips where no server
// is named.
func openOnPostgres(t testing.TB, s domain.ShopSettings) *bench {
	t.Helper()
	return openOn(t, s, store.Options{PostgresURL: postgres.Schema(t)})
}
