package command

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// One activity of 3 and one of 2 on a machine for one, with a start and an end:
// the second follows the first within 5, so 3 and 5 are the longest path and the makespan.
const lagInstance = "2\t1\t0\t0\n0\t1\t1\t1\t[0]\n1\t1\t1\t2\t[3]\n2\t1\t2\t1\t3\t[-5]\t[2]\n3\t1\t0\n0\t1\t0\t0\n1\t1\t3\t1\n2\t1\t2\t1\n3\t1\t0\t0\n1\n"

func TestPsplibPrintsALineForEachInstance(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		at := filepath.Join(dir, name)
		if err := os.WriteFile(at, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return at
	}
	write("one.sch", lagInstance)
	write("two.sch", strings.Replace(lagInstance, "[-5]", "[-2]", 1)) // at most 2 after: cannot be
	best := write("best.csv", "instance,lower_bound,best_known_makespan\none,5,5\n")
	r := invoke(t, "", "psplib", dir, "--schedules", "50", "--best", best, "--workers", "2")
	if r.code != 0 {
		t.Fatalf("exit %d: %s", r.code, r.err)
	}
	for _, want := range []string{`(?m)^instance,makespan,cpm_length,seconds$`, `(?m)^one,5,5,\d+\.\d{4}$`, `(?m)^two,infeasible,`,
		`2 instances, 1 with a schedule, 1 shown to have none, 1 shown optimal here`, `best known 0\.000 % \(1 compared, 1 reached\)`} {
		if !regexp.MustCompile(want).MatchString(r.out) {
			t.Errorf("no %s in:\n%s", want, r.out)
		}
	}
	for name, args := range map[string][]string{"no such path": {"psplib", filepath.Join(dir, "none")}, "no schedules": {"psplib", dir, "--schedules", "0"}, "no list": {"psplib", dir, "--best", dir + "/x.csv"}} {
		if r := invoke(t, "", args...); r.code == 0 || r.err == "" {
			t.Errorf("%s: exit %d, said %q", name, r.code, r.err)
		}
	}
}
