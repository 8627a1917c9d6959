package postgres

import (
	"crypto/rand"
	"database/sql"
	"net/url"
	"os"
	"strings"
	"testing"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
)

// Server returns the server's URL.
func Server(t testing.TB) string {
	t.Helper()
	server := os.Getenv("BAREFRAME_TEST_POSTGRES")
	if server == "" {
		const text = "SKIPPED: PostgreSQL: set BAREFRAME_TEST_POSTGRES or run tools/postgres.sh (needs Debian packages postgresql)"
		if os.Getenv("BAREFRAME_NO_SKIP") == "1" {
			t.Fatal(text)
		}
		t.Skip(text)
	}
	return server
}

// Schema makes a schema for one test and returns a URL that stays in it. The
// schema is dropped when the test ends.
func Schema(t testing.TB) string {
	t.Helper()
	server := Server(t)
	admin, err := sql.Open("pgx", server)
	if err != nil {
		t.Fatal(err)
	}
	schema := "t_" + strings.ToLower(rand.Text())
	if _, err := admin.Exec(`CREATE SCHEMA "` + schema + `"`); err != nil {
		t.Fatalf("no schema for the test: %v", err)
	}
	t.Cleanup(func() { // t.Context has ended by now
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
	return u.String()
}
