package app_test

import (
	"crypto/rand"
	"database/sql"
	"net/url"
	"os"
	"strings"
	"testing"

	"bareframe/internal/domain"
	"bareframe/internal/store"
)

// openOnPostgres opens a shop in a schema of its own, or skips where no server
// is named.
func openOnPostgres(t testing.TB, s domain.ShopSettings) *bench {
	t.Helper()
	server := os.Getenv("BAREFRAME_TEST_POSTGRES")
	if server == "" {
		const text = "SKIPPED: PostgreSQL: set BAREFRAME_TEST_POSTGRES or run tools/postgres.sh (needs Debian packages postgresql)"
		if os.Getenv("BAREFRAME_NO_SKIP") == "1" {
			t.Fatal(text)
		}
		t.Skip(text)
	}
	admin, err := sql.Open("pgx", server)
	if err != nil {
		t.Fatal(err)
	}
	schema := "t_" + strings.ToLower(rand.Text())
	if _, err := admin.Exec(`CREATE SCHEMA "` + schema + `"`); err != nil {
		t.Fatalf("no schema for the test: %v", err)
	}
	t.Cleanup(func() {
		if _, err := admin.Exec(`DROP SCHEMA "` + schema + `" CASCADE`); err != nil {
			t.Errorf("dropping the schema: %v", err)
		}
		_ = admin.Close()
	})
	u, err := url.Parse(server)
	if err != nil {
		t.Fatal(err)
	}
	q := u.Query()
	q.Set("search_path", `"`+schema+`"`)
	u.RawQuery = q.Encode()
	return openOn(t, s, store.Options{PostgresURL: u.String()})
}
