package psplib

import (
	"archive/tar"
	"bytes"
	"compress/gzip"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/levelling/project"
)

// Two instances of our own in the two published forms: a start, two pieces of
// work one after the other beside a third, an end.
const (
	sm = `************************************************************************
projects                      :  1
jobs (incl. supersource/sink ):  5
RESOURCES
  - renewable                 :  2   R
************************************************************************
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   4
   2        1          1           3
   3        1          1           5
   4        1          1           5
   5        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  R 2
------------------------------------------------------------------------
  1      1     0       0    0
  2      1     3       1    0
  3      1     2       0    2
  4      1     4       1    1
  5      1     0       0    0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1  R 2
    1    2
************************************************************************
`
	sch = "2\t1\t0\t0\n0\t1\t1\t1\t[0]\n1\t1\t1\t2\t[3]\n2\t1\t2\t1\t3\t[-5]\t[2]\n3\t1\t0\n0\t1\t0\t0\n1\t1\t3\t1\n2\t1\t2\t1\n3\t1\t0\t0\n1\n"
)

func TestBothFormsAreRead(t *testing.T) {
	p, err := Read("a.sm", strings.NewReader(sm))
	if err != nil {
		t.Fatal(err)
	}
	want := []project.Arc{{From: 0, To: 1}, {From: 0, To: 3}, {From: 1, To: 2, Lag: 3}, {From: 2, To: 4, Lag: 2}, {From: 3, To: 4, Lag: 4}}
	if !slices.Equal(p.Arcs, want) || !slices.Equal(p.Durations, []int32{0, 3, 2, 4, 0}) || !slices.Equal(p.Capacities, []int32{1, 2}) || !slices.Equal(p.Needs[3], []int32{1, 1}) {
		t.Errorf("got %+v", p)
	}
	p, err = Read("b.sch", strings.NewReader(sch))
	if err != nil {
		t.Fatal(err)
	}
	want = []project.Arc{{From: 0, To: 1}, {From: 1, To: 2, Lag: 3}, {From: 2, To: 1, Lag: -5}, {From: 2, To: 3, Lag: 2}}
	if !slices.Equal(p.Arcs, want) || !slices.Equal(p.Durations, []int32{0, 3, 2, 0}) || !slices.Equal(p.Capacities, []int32{1}) {
		t.Errorf("got %+v", p)
	}
}

func TestWhatCannotBeReadIsRefusedWithItsLine(t *testing.T) {
	for name, c := range map[string]struct{ file, text, says string }{
		"another form":      {"a.mm", sm, "neither"},
		"empty":             {"a.sm", "", "no line that begins"},
		"cut short":         {"a.sm", sm[:strings.Index(sm, "RESOURCEAV")], "no line that begins"},
		"too many jobs":     {"a.sm", strings.Replace(sm, ":  5", ":  500000", 1), "line 3"},
		"two modes":         {"a.sm", strings.Replace(sm, "   2        1          1 ", "   2        2          1 ", 1), "line 10"},
		"a job missing":     {"a.sm", strings.Replace(sm, "   3        1          1           5\n", "", 1), "line 11"},
		"a word":            {"a.sm", strings.Replace(sm, "  2      1     3 ", "  2      1     x ", 1), `"x"`},
		"need beyond":       {"a.sm", strings.Replace(sm, "  2      1     3       1", "  2      1     3       99999", 1), "99999"},
		"successor unknown": {"a.sm", strings.Replace(sm, "2   4", "2   9", 1), "0 to 4"},
		"lag missing":       {"b.sch", strings.Replace(sch, "\t[-5]", "", 1), "line 4"},
		"cut in the middle": {"b.sch", sch[:40], "line"},
		"huge number":       {"b.sch", strings.Replace(sch, "[3]", "[3000000000]", 1), "line 3"},
	} {
		if _, err := Read(c.file, strings.NewReader(c.text)); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v, want a refusal that says %q", name, err, c.says)
		}
	}
}

func TestAFolderAndAnArchiveGiveTheSame(t *testing.T) {
	dir := t.TempDir()
	var tape bytes.Buffer
	zip := gzip.NewWriter(&tape)
	w := tar.NewWriter(zip)
	for name, text := range map[string]string{"set/one.sm": sm, "set/two.sch": sch, "set/read.me": "no instance"} {
		if err := os.MkdirAll(filepath.Join(dir, "set"), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := w.WriteHeader(&tar.Header{Name: name, Mode: 0o644, Size: int64(len(text)), Typeflag: tar.TypeReg}); err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if err := zip.Close(); err != nil {
		t.Fatal(err)
	}
	packed := filepath.Join(dir, "all.tar.gz")
	if err := os.WriteFile(packed, tape.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		from, filter string
		want         []string
	}{
		{filepath.Join(dir, "set"), "", []string{"set/one", "set/two"}},
		{packed, "", []string{"set/one", "set/two"}},
		{packed, "tw", []string{"set/two"}},
		{packed, "three", nil},
	} {
		var got []string
		if err := All(c.from, c.filter, func(i Instance) error {
			got = append(got, i.Set+"/"+i.Name)
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		slices.Sort(got)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s with %q: got %v, want %v", filepath.Base(c.from), c.filter, got, c.want)
		}
	}
	if err := All(filepath.Join(dir, "nothing"), "", nil); err == nil {
		t.Error("a path that is not there was read")
	}
}

func TestListsOfBestKnownResults(t *testing.T) {
	best, err := ReadBest(strings.NewReader("set,instance,status,lower_bound,best_known_makespan\nubo,x,optimal,7,7\nubo,y,infeasible,,\n"))
	if err != nil {
		t.Fatal(err)
	}
	if k, ok := best.Of(Instance{Set: "ubo", Name: "x"}); !ok || k != (Known{7, 7, "optimal"}) {
		t.Errorf("x: got %+v %v", k, ok)
	}
	if k, ok := best.Of(Instance{Set: "ubo", Name: "y"}); !ok || k.Makespan >= 0 {
		t.Errorf("y: got %+v %v", k, ok)
	}
	if _, ok := best.Of(Instance{Set: "ubo", Name: "z"}); ok {
		t.Error("z is on no list")
	}
	if _, err := ReadBest(strings.NewReader("a,b\n1,2\n")); err == nil {
		t.Error("a list without its columns was read")
	}
}
