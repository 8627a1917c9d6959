package crash

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"bareframe/internal/load"
)

// allow sets how large a file the process may write, "unlimited" or bytes. It
// stands in for the room on the disk: to the program a write beyond it fails
// as one on a full disk does. See prlimit(1) of util-linux.
func allow(t *testing.T, p *load.Process, bytes string) {
	t.Helper()
	out, err := exec.Command("prlimit", "--pid", strconv.Itoa(p.PID()), "--fsize="+bytes+":unlimited").CombinedOutput()
	if err != nil {
		t.Fatalf("prlimit: %v\n%s", err, out)
	}
}

func skip(t *testing.T, what, how string) {
	t.Helper()
	if os.Getenv("BAREFRAME_NO_SKIP") == "1" {
		t.Fatalf("%s: %s", what, how)
	}
	t.Skipf("SKIPPED: %s: %s", what, how)
}

// TestFullDisk fills the disk under a running server: a write is refused with
// 503 and a sentence, nothing of it is stored, reading goes on, and once there
// is room the same request is done.
func TestFullDisk(t *testing.T) {
	if _, err := exec.LookPath("prlimit"); err != nil || runtime.GOOS != "linux" {
		skip(t, "full disk", "needs Linux with prlimit (Debian package util-linux)")
	}
	s := newScene(t, 1)
	p := start(t, s.serve)
	v := signIn(t, p.URL, s.shop.Technicians...)[0]
	body := func(i int) load.Hours {
		return load.HoursAt(s.today, s.shop.Task(0, 0), i, fmt.Sprintf("full %d", i))
	}
	if _, _, err := logHours(t.Context(), p.URL, v, "full-key-0", body(0)); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(s.file() + "-wal")
	if err != nil {
		t.Fatal(err)
	}
	allow(t, p, fmt.Sprint(info.Size())) // the write-ahead log has no byte more
	for i := 1; i <= 3; i++ {
		a, err := v.Send(t.Context(), "POST", p.URL+"/api/bench/hours", fmt.Sprintf("full-key-%d", i), body(i))
		if err != nil {
			t.Fatalf("on a full disk the server did not answer: %v\n%s", err, p.Log())
		}
		var said problem
		if a.Status != 503 || a.Read(&said) != nil || said.Type != "urn:bareframe:problem:store-unavailable" || !strings.Contains(said.Detail, "nothing was saved") {
			t.Errorf("on a full disk a write is answered %d %s, want 503 store-unavailable", a.Status, a.Body)
		}
		if a.Header.Get("Retry-After") == "" {
			t.Error("a refusal that will pass does not say when to try again")
		}
	}
	if all := entriesOf(t, p.URL, v); len(all) != 1 {
		t.Errorf("%d entries are there while the disk is full, want 1", len(all))
	}
	allow(t, p, "unlimited")
	for i := range 4 {
		if _, _, err := logHours(t.Context(), p.URL, v, fmt.Sprintf("full-key-%d", i), body(i)); err != nil {
			t.Errorf("with room again, request %d: %v", i, err)
		}
	}
	if all := entriesOf(t, p.URL, v); len(all) != 4 {
		t.Errorf("%d entries are there, want 4", len(all))
	}
	if err := p.Stop(); err != nil {
		t.Error(err)
	}
	l := &ledger{all: make([]*sent, 4)}
	countInFile(t, s, l)
	verified(t, s)
}

// TestNowhereToWrite starts the server where it can store nothing.
func TestNowhereToWrite(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, []byte("not a folder"), 0o600); err != nil {
		t.Fatal(err)
	}
	text := filepath.Join(t.TempDir(), "bareframe.db")
	if err := os.WriteFile(text, []byte(strings.Repeat("this is no database\n", 500)), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string]string{"a file where the folder should be": file, "a file that is no database": filepath.Dir(text)} {
		out, err := exec.Command(binary(t), "serve", "--addr", "127.0.0.1:0", "--data", data).CombinedOutput()
		var ended *exec.ExitError
		if err == nil || !asExit(err, &ended) || ended.ExitCode() != 1 {
			t.Errorf("%s: ended with %v, want exit code 1\n%s", name, err, out)
		}
		if said := string(out); !strings.Contains(said, "store-unavailable") || strings.Contains(said, "goroutine") {
			t.Errorf("%s: the server said %q", name, said)
		}
	}
	if got, _ := os.ReadFile(text); !strings.HasPrefix(string(got), "this is no database") {
		t.Error("the file that is no database was changed")
	}
}
