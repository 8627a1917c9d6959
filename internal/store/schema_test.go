package store

import (
	"database/sql"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"bareframe/internal/testkit/postgres"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// What a connection promises about durability. With synchronous=FULL (2) a
// transaction that was acknowledged is on the disk in write-ahead mode too:
// https://sqlite.org/pragma.html#pragma_synchronous.
func TestEachSQLiteConnectionIsDurable(t *testing.T) {
	s := newSQLite(t)
	b := s.backend.(*sqliteBackend)
	writer := <-b.writer
	reader := <-b.readers
	defer func() { b.writer <- writer; b.readers <- reader }()
	for name, p := range map[string]*pinned{"writer": writer, "reader": reader} {
		for round := range 2 { // the second on a connection that was opened anew
			if err := p.open(t.Context()); err != nil {
				t.Fatal(err)
			}
			want := map[string]string{"synchronous": "2", "journal_mode": "wal", "foreign_keys": "1", "busy_timeout": "10000", "query_only": "0"}
			if name == "reader" {
				want["query_only"] = "1"
			}
			for pragma, value := range want {
				var got string
				if err := p.conn.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got); err != nil || got != value {
					t.Errorf("%s, round %d: %s = %s (%v), want %s", name, round, pragma, got, err, value)
				}
			}
			p.discard()
		}
	}
}

func TestPostgresConnectionsAreDurable(t *testing.T) {
	url := postgres.Schema(t) + "&options=-c%20synchronous_commit%3Doff" // a server whose default loses transactions
	s := openMigrated(t, Options{PostgresURL: url})
	var got string
	err := s.backend.read(t.Context(), dbScan(&got, "SHOW synchronous_commit"))
	same(t, "synchronous_commit", got, "on", err)
}

// Both dialects have the same tables, columns, nullability, keys and indexes.
func TestBothDialectsHaveTheSameTables(t *testing.T) {
	lite, post := newSQLite(t), newPostgres(t)
	same(t, "tables and columns", describePostgres(t, post), describeSQLite(t, lite), nil)
	same(t, "indexes", indexesOf(t, post, `SELECT tablename || ' ' || indexname FROM pg_indexes
		WHERE schemaname = current_schema() AND indexname NOT LIKE '%_pkey' AND tablename NOT LIKE 'goose%'`),
		indexesOf(t, lite, `SELECT tbl_name || ' ' || name FROM sqlite_master WHERE type = 'index' AND name NOT LIKE 'sqlite_%'`), nil)
	same(t, "foreign keys", foreignKeysPostgres(t, post), foreignKeysSQLite(t, lite), nil)
	same(t, "checks", indexesOf(t, post, `SELECT conname FROM pg_constraint WHERE contype = 'c' AND connamespace = current_schema()::regnamespace`),
		checksSQLite(t, lite), nil)
	triggers := indexesOf(t, post, `SELECT DISTINCT event_object_table || ' ' || trigger_name FROM information_schema.triggers WHERE trigger_schema = current_schema()`)
	same(t, "row triggers", triggers, indexesOf(t, lite, `SELECT tbl_name || ' ' || name FROM sqlite_master WHERE type = 'trigger'`), nil)
}

func texts(t *testing.T, s *Store, statement string) []string {
	t.Helper()
	var out []string
	if err := s.backend.read(t.Context(), dbScan(&out, statement)); err != nil {
		t.Fatal(err)
	}
	if len(out) == 0 {
		t.Fatalf("nothing to compare: %s", statement)
	}
	slices.Sort(out)
	return out
}

func indexesOf(t *testing.T, s *Store, statement string) []string { return texts(t, s, statement) }

// general names a type as both dialects understand it.
func general(kind string) string {
	switch kind {
	case "TIMESTAMP", "timestamp with time zone":
		return "instant"
	case "BLOB", "bytea":
		return "bytes"
	case "INTEGER", "integer":
		return "integer"
	case "BIGINT", "bigint":
		return "bigint"
	case "BOOLEAN", "boolean":
		return "boolean"
	case "TEXT", "text", "numeric": // a decimal is text on SQLite; see TestDecimalColumns
		return "text"
	}
	return "unknown " + kind
}

func describeSQLite(t *testing.T, s *Store) []string {
	var rows []struct {
		T, C, K string
		N       int
	}
	err := s.backend.read(t.Context(), dbScan(&rows, `SELECT m.name AS t, c.name AS c, c.type AS k, c."notnull" AS n
		FROM sqlite_master m JOIN pragma_table_info(m.name) c WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite_%' AND m.name NOT LIKE 'goose%'`))
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, r := range rows {
		out = append(out, fmt.Sprintf("%s.%s %s notnull=%t", r.T, r.C, general(r.K), r.N == 1))
	}
	slices.Sort(out)
	return out
}

func describePostgres(t *testing.T, s *Store) []string {
	var rows []struct{ T, C, K, N string }
	err := s.backend.read(t.Context(), dbScan(&rows, `SELECT table_name AS t, column_name AS c, data_type AS k, is_nullable AS n
		FROM information_schema.columns WHERE table_schema = current_schema() AND table_name NOT LIKE 'goose%'`))
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, r := range rows {
		out = append(out, fmt.Sprintf("%s.%s %s notnull=%t", r.T, r.C, general(r.K), r.N == "NO"))
	}
	slices.Sort(out)
	return out
}

func foreignKeysSQLite(t *testing.T, s *Store) []string {
	return texts(t, s, `SELECT t || ' ' || group_concat("from" || '>' || target || '.' || "to", ',') FROM (
		SELECT m.name AS t, f.id AS id, f."from", f."table" AS target, f."to" FROM sqlite_master m JOIN pragma_foreign_key_list(m.name) f
		WHERE m.type = 'table' ORDER BY m.name, f.id, f.seq) GROUP BY t, id`)
}

func foreignKeysPostgres(t *testing.T, s *Store) []string {
	return texts(t, s, `SELECT c.conrelid::regclass::text || ' ' || string_agg(a.attname || '>' || c.confrelid::regclass::text || '.' || b.attname, ',' ORDER BY k.n)
		FROM pg_constraint c CROSS JOIN LATERAL unnest(c.conkey, c.confkey) WITH ORDINALITY k(own, other, n)
		JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = k.own JOIN pg_attribute b ON b.attrelid = c.confrelid AND b.attnum = k.other
		WHERE c.contype = 'f' AND c.connamespace = current_schema()::regnamespace GROUP BY c.oid, c.conrelid, c.confrelid`)
}

func checksSQLite(t *testing.T, s *Store) []string {
	var out []string
	for _, table := range texts(t, s, `SELECT sql FROM sqlite_master WHERE type = 'table'`) {
		for _, part := range strings.Split(table, "CONSTRAINT ")[1:] {
			name, rest, _ := strings.Cut(part, " ")
			if strings.HasPrefix(rest, "CHECK") {
				out = append(out, name)
			}
		}
	}
	slices.Sort(out)
	return out
}

// Every amount is numeric(24,6) on PostgreSQL and text on SQLite, and each
// column that is numeric there is one that the records treat as an amount.
func TestDecimalColumns(t *testing.T) {
	post := texts(t, newPostgres(t), `SELECT table_name || '.' || column_name || ' ' || numeric_precision || ',' || numeric_scale
		FROM information_schema.columns WHERE table_schema = current_schema() AND data_type = 'numeric'`)
	lite := newSQLite(t)
	for _, column := range post {
		name, scale, _ := strings.Cut(column, " ")
		same(t, name, scale, "24,6", nil)
		table, field, _ := strings.Cut(name, ".")
		kinds := texts(t, lite, fmt.Sprintf("SELECT type FROM pragma_table_info('%s') WHERE name = '%s'", table, field))
		same(t, name, kinds, []string{"TEXT"}, nil)
	}
	if len(post) < 18 {
		t.Errorf("%d decimal columns; the schema has at least 18", len(post))
	}
}

// Every table carries its shop and every index begins with it, save what is
// looked up before a shop is known.
func TestEveryIndexBeginsWithTheShop(t *testing.T) {
	s := newSQLite(t)
	before := []string{"calendar_links_token", "people_sign_in_email", "private_links_token", "sessions_id", "sessions_token"}
	got := texts(t, s, `SELECT i.name FROM sqlite_master m JOIN pragma_index_list(m.name) i JOIN pragma_index_info(i.name) c
		WHERE m.type = 'table' AND m.name NOT LIKE 'goose%' AND c.seqno = 0 AND c.name <> 'shop_id'`)
	same(t, "indexes without the shop", got, before, nil)
	without := texts(t, s, `SELECT COUNT(*) FROM sqlite_master m WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite_%' AND m.name NOT LIKE 'goose%'
		AND NOT EXISTS (SELECT 1 FROM pragma_table_info(m.name) WHERE name = 'shop_id')`)
	same(t, "tables without the shop", without, []string{"0"}, nil)
}

func TestMigrateTwiceAndAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a folder", "odd ?name&x=1#%41.db")
	for name, o := range map[string]func() Options{
		"sqlite":   func() Options { return Options{SQLitePath: path} },
		"postgres": func() Options { return Options{PostgresURL: postgres.Schema(t)} },
	} {
		t.Run(name, func(t *testing.T) {
			if name == "postgres" {
				postgres.Schema(t) // skips here rather than in the parent
			}
			options := o()
			var group sync.WaitGroup
			for range 4 {
				group.Go(func() {
					s, err := Open(t.Context(), options)
					if err != nil {
						t.Error(err)
						return
					}
					if err := must(s.Migrate(t.Context()), s.Migrate(t.Context()), s.Ping(t.Context()), s.Close()); err != nil {
						t.Error(err)
					}
				})
			}
			group.Wait()
			s := openMigrated(t, options)
			furnish(t, s, "a")
			if err := s.Migrate(t.Context()); err != nil {
				t.Error(err)
			}
			view(t, s, "a", func(r app.Reader) {
				_, err := r.Job("a-job")
				same(t, "job after migrating again", err, nil, nil)
			})
			if err := raw(t, s, "INSERT INTO goose_db_version (version_id, is_applied) VALUES (999, true)"); err != nil {
				t.Fatal(err)
			}
			if err := s.Migrate(t.Context()); err == nil || !strings.Contains(err.Error(), "newer program") {
				t.Errorf("a newer store: got %v", err)
			}
		})
	}
}

// The file is where the path says, and nobody else may read it.
func TestSQLiteFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x", "odd ?name&x=1#%41.db")
	s := openMigrated(t, Options{SQLitePath: path})
	furnish(t, s, "a")
	db, err := sql.Open("sqlite", sqliteDSN(path, true))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var file string
	err = db.QueryRow("SELECT file FROM pragma_database_list WHERE name = 'main'").Scan(&file)
	same(t, "file", file, path, err)
	for _, name := range []string{path, path + "-wal"} {
		if mode := fileMode(t, name); mode.Perm() != 0o600 {
			t.Errorf("%s has mode %v", name, mode)
		}
	}
	shops, err := s.Shops(t.Context())
	want := describe("a").shop
	want.PriceBook = domain.PriceBook{}
	same(t, "shops", shops, []domain.Shop{want}, err)
}
