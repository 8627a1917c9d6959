package command

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bareframe/internal/demo"
	"bareframe/internal/store"
)

// ran is what one command line did.
type ran struct {
	code     int
	out, err string
}

// invoke runs a command line in this process.
func invoke(t *testing.T, stdin string, args ...string) ran {
	t.Helper()
	var out, problem bytes.Buffer
	assets := Assets{Version: "test-7", Seeds: os.DirFS("../../seeds")}
	code := Run(t.Context(), assets, args, Streams{In: strings.NewReader(stdin), Out: &out, Err: &problem})
	return ran{code, out.String(), problem.String()}
}

// want fails unless the exit code is code and both outputs hold their texts.
func (r ran) want(t *testing.T, what string, code int, out, err string) {
	t.Helper()
	if r.code != code || !strings.Contains(r.out, out) || !strings.Contains(r.err, err) {
		t.Errorf("%s: exit %d\nout: %s\nerr: %s\nwant exit %d, out with %q, err with %q", what, r.code, r.out, r.err, code, out, err)
	}
	if err == "" && r.err != "" && code == 0 && !strings.Contains(r.err, "level=") {
		t.Errorf("%s: done, and yet it says on standard error: %s", what, r.err)
	}
}

type plainPasswords struct{}

func (plainPasswords) Hash(_ context.Context, password string) (string, error) {
	return "plain:" + password, nil
}

func (plainPasswords) Matches(context.Context, string, string) (bool, error) { return false, nil }

func (plainPasswords) Weakness(string, ...string) string { return "" }

// dataWithDemo makes a data folder with the demo shop in it.
func dataWithDemo(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	st, err := store.Open(t.Context(), store.Options{SQLitePath: filepath.Join(dir, "bareframe.db"), Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	if err := st.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	n := 0
	_, err = demo.Load(t.Context(), demo.Options{Files: os.DirFS("../../seeds"), Store: st, Passwords: plainPasswords{}, Now: time.Date(2026, 11, 24, 10, 0, 0, 0, time.UTC),
		Secret: func() string { n++; return fmt.Sprint("secret-", n) }})
	if err != nil {
		t.Fatal(err)
	}
	return dir
}

// parsed reads JSON into plain values.
func parsed(t *testing.T, text string) map[string]any {
	t.Helper()
	var v map[string]any
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return v
}
