package command

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

func TestExitCodes(t *testing.T) {
	invoke(t, "", "version").want(t, "version", 0, "bareframe test-7\n", "")
	invoke(t, "", "--help").want(t, "help", 0, "calculate", "")
	invoke(t, "", "calculate", "--help").want(t, "help of a command", 0, "--example", "")
	for _, args := range [][]string{{"fly"}, {}, {"version", "--loud"}, {"user"}, {"user", "add"}, {"calculate", "pricing", "-", "more"}, {"serve", "--log-level", "shout"}} {
		r := invoke(t, "", args...)
		if r.code != 2 || r.err == "" {
			t.Errorf("%q: exit %d, %q; want 2 and a word about it", args, r.code, r.err)
		}
	}
}

func TestMigrateTwice(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	for range 2 {
		invoke(t, "", "migrate", "--data", dir).want(t, "migrate", 0, "up to date", "")
	}
	if _, err := os.Stat(filepath.Join(dir, "bareframe.db")); err != nil {
		t.Error(err)
	}
	invoke(t, "", "user", "list", "--data", dir).want(t, "people of no shop", 1, "", "shop-not-clear")
	invoke(t, "", "verify", "--data", dir).want(t, "no trail to verify", 0, "", "")
	file := filepath.Join(t.TempDir(), "a-file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if r := invoke(t, "", "migrate", "--data", file); r.code != 1 || r.err == "" {
		t.Errorf("a file for a folder: exit %d, %q", r.code, r.err)
	}
}

func TestUsers(t *testing.T) {
	dir := dataWithDemo(t)
	list := func() string {
		t.Helper()
		r := invoke(t, "", "user", "list", "--data", dir)
		r.want(t, "list", 0, "owner@selvane.example.org", "")
		return r.out
	}
	before := list()
	if n := strings.Count(before, "\n"); n < 8 || strings.Count(before, "technician ") != 3 {
		t.Errorf("the list has %d lines:\n%s", n, before)
	}
	invitation := regexp.MustCompile(`(?m)^  /invitation#[A-Za-z0-9_-]{43}$`)
	added := invoke(t, "", "user", "add", "--data", dir, "--name", "Orsel Vand", "--email", "orsel@example.org")
	added.want(t, "add", 0, "Orsel Vand chooses a password", "")
	if !invitation.MatchString(added.out) {
		t.Errorf("no invitation in %q", added.out)
	}
	if after := list(); !strings.Contains(after, "orsel@example.org") || strings.Count(after, "technician ") != 4 {
		t.Errorf("after adding:\n%s", after)
	}
	again := invoke(t, "", "user", "invite", "--data", dir, "ORSEL@example.org")
	again.want(t, "invite", 0, "Orsel Vand chooses a password", "")
	if invitation.FindString(again.out) == invitation.FindString(added.out) {
		t.Error("the same invitation twice")
	}
	invoke(t, "", "user", "invite", "--data", dir, "nobody@example.org").want(t, "nobody", 1, "", "person-not-found")
	invoke(t, "", "user", "invite", "--data", dir, "sorei.vantesse@example.com").want(t, "a client", 1, "", "client-not-invited")
	invoke(t, "", "user", "add", "--data", dir, "--shop", "Another", "--name", "X", "--email", "x@example.org").want(t, "another shop", 1, "", "shop-not-clear")
	invoke(t, "", "user", "add", "--data", dir, "--role", "client", "--name", "X", "--email", "x@example.org").want(t, "a client", 2, "", "")
	invoke(t, "", "user", "list", "--data", dir, "--shop", "selvane frame & body").want(t, "by name, in any case", 0, "orsel@example.org", "")
	// The console's deeds are in the trail, which still fits.
	invoke(t, "", "verify", "--data", dir).want(t, "verify", 0, "unbroken", "")
}

// Whoever can write to the file can drop the guards; the hashes still tell.
func TestVerifyNamesTheEntryThatWasTamperedWith(t *testing.T) {
	dir := dataWithDemo(t)
	invoke(t, "", "verify", "--data", dir).want(t, "untouched", 0, "Selvane Frame & Body: ", "")
	db, err := sql.Open("sqlite", filepath.Join(dir, "bareframe.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(`UPDATE trail_entries SET actor_name = 'Nobody' WHERE seq = 42`); err == nil {
		t.Error("the trail can be changed while its guards stand")
	}
	for _, name := range guards(t, db) {
		if _, err := db.Exec(`DROP TRIGGER "` + name + `"`); err != nil {
			t.Fatal(err)
		}
	}
	for _, r := range []struct{ name, harm, mend, says string }{
		{"one word", `UPDATE trail_entries SET actor_name = actor_name || '.' WHERE seq = 42`, `UPDATE trail_entries SET actor_name = rtrim(actor_name, '.') WHERE seq = 42`, "breaks at entry 42"},
		{"one figure", `UPDATE trail_entries SET after = after || ' ' WHERE seq = 40`, `UPDATE trail_entries SET after = rtrim(after) WHERE seq = 40`, "breaks at entry 40"},
		{"the hash too", `UPDATE trail_entries SET hash = 'f' || substr(hash, 2) || '0' WHERE seq = 41`, `UPDATE trail_entries SET hash = (SELECT prev_hash FROM trail_entries n WHERE n.seq = 42) WHERE seq = 41`, "breaks at entry 41"},
		{"one entry gone", `DELETE FROM trail_entries WHERE seq = 17`, ``, "breaks at entry 17"},
	} {
		if _, err := db.ExecContext(context.Background(), r.harm); err != nil {
			t.Fatalf("%s: %v", r.name, err)
		}
		got := invoke(t, "", "verify", "--data", dir)
		got.want(t, r.name, 1, "", r.says)
		if !strings.Contains(got.err, "Selvane Frame & Body") {
			t.Errorf("%s: the shop is not named: %s", r.name, got.err)
		}
		if r.mend == "" {
			continue
		}
		if _, err := db.Exec(r.mend); err != nil {
			t.Fatalf("%s: %v", r.name, err)
		}
		invoke(t, "", "verify", "--data", dir).want(t, r.name+", mended", 0, "unbroken", "")
	}
}

// guards lists the triggers that keep the trail from being changed.
func guards(t *testing.T, db *sql.DB) []string {
	t.Helper()
	rows, err := db.Query(`SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'trail_entries'`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var names []string
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			t.Fatal(err)
		}
		names = append(names, name)
	}
	if err := rows.Err(); err != nil || len(names) == 0 {
		t.Fatalf("%d guards, %v", len(names), err)
	}
	return names
}

// A crash is a crash, and not exit 0.
func TestACrashIsNotHidden(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a crash of a command was swallowed")
		}
	}()
	Run(t.Context(), Assets{}, []string{"version"}, Streams{Out: crashing{}, Err: crashing{}})
}

type crashing struct{}

func (crashing) Write([]byte) (int, error) { panic("the pipe is on fire") }
