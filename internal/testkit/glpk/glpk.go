package glpk

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Solver is glpsol, the kit's program (5.0 was used).
type Solver struct{ path string }

// Find looks for glpsol. Without it the test is skipped, by name, and fails where
// skipping is forbidden.
func Find(t *testing.T, what string) Solver {
	t.Helper()
	path, err := exec.LookPath("glpsol")
	if err != nil {
		text := "SKIPPED: " + what + " against an integer programming solver: needs glpsol (Debian package glpk-utils)"
		if os.Getenv("BAREFRAME_NO_SKIP") == "1" {
			t.Fatal(text)
		}
		t.Skip(text)
	}
	return Solver{path}
}

// Least is the optimum of a model in the CPLEX LP format whose objective is whole; ok
// is false when it has no solution. It fails the test when glpsol comes to no end.
func (s Solver) Least(t *testing.T, model string, options ...string) (value int64, ok bool) {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "model.lp"), filepath.Join(dir, "solution.txt")
	if err := os.WriteFile(in, []byte(model), 0o600); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command(s.path, append([]string{"--lp", in, "--write", out}, options...)...).CombinedOutput()
	if err != nil {
		t.Fatalf("glpsol: %v\n%s", err, said)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatalf("glpsol wrote nothing: %v\n%s", err, said)
	}
	for line := range strings.Lines(string(text)) {
		// s mip ROWS COLUMNS STATUS VALUE; o is integer optimal, n is no solution.
		f := strings.Fields(line)
		if len(f) < 6 || f[0] != "s" || f[1] != "mip" {
			continue
		}
		if f[4] == "n" {
			return 0, false
		}
		v, err := strconv.ParseFloat(f[5], 64)
		if err != nil || f[4] != "o" {
			t.Fatalf("glpsol did not come to an end: %q\n%s", line, said)
		}
		return int64(v + 0.5), true
	}
	t.Fatalf("no status from glpsol:\n%s", said)
	return 0, false
}
