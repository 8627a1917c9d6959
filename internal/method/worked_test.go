package method

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// worked is an example worked by hand; After are the zones of a second state.
type worked struct {
	Source string   `json:"source"`
	Steps  []string `json:"steps"`
	Input  Input    `json:"input"`
	Want   struct {
		Tasks []struct {
			Task, Low, Likely, High string
			Shares                  map[string]string // by "rule zone"
		} `json:"tasks"`
		Materials []struct {
			Task, Material, Quantity, Unit string
			Shares                         map[string]string
		} `json:"materials"`
	} `json:"want"`
	After     []Zone     `json:"after"`
	WantMoved *wantMoved `json:"want_moved"`
}

type wantMoved struct {
	Zones            []string
	Tasks, Materials []struct {
		Task, Material, Before, After, Moved string
		By                                   []struct{ Zone, Rule, Amount, Why string }
	}
}

func TestWorkedExamples(t *testing.T) {
	files, err := filepath.Glob("../../testdata/method/*.json")
	if err != nil || len(files) < 6 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(t *testing.T) {
			var w worked
			d := json.NewDecoder(strings.NewReader(string(text)))
			d.DisallowUnknownFields()
			if err := d.Decode(&w); err != nil {
				t.Fatal(err)
			}
			w.hold(t)
		})
	}
}

func (w worked) hold(t *testing.T) {
	if w.Source == "" || len(w.Steps) == 0 || len(w.Want.Tasks)+len(w.Want.Materials) == 0 {
		t.Fatal("an example needs its source, its steps and what they lead to")
	}
	got := computed(t, w.Input)
	if len(got.Tasks) != len(w.Want.Tasks) || len(got.Materials) != len(w.Want.Materials) {
		t.Fatalf("%d tasks and %d materials, want %d and %d", len(got.Tasks), len(got.Materials), len(w.Want.Tasks), len(w.Want.Materials))
	}
	for i, want := range w.Want.Tasks {
		task := got.Tasks[i]
		if low, likely, high := task.Hours.Low.StringFixed(2), task.Hours.Likely.StringFixed(2), task.Hours.High.StringFixed(2); task.Task != want.Task || low != want.Low || likely != want.Likely || high != want.High {
			t.Errorf("%s: hours %s %s %s, want %s: %s %s %s", task.Task, low, likely, high, want.Task, want.Low, want.Likely, want.High)
		}
		holdShares(t, task.Rules, want.Shares)
	}
	for i, want := range w.Want.Materials {
		m := got.Materials[i]
		if m.Task != want.Task || m.Material != want.Material || m.Quantity.String() != want.Quantity || m.Unit != want.Unit {
			t.Errorf("%s: %s %s of %s, want %+v", m.Task, m.Quantity, m.Unit, m.Material, want)
		}
		holdShares(t, m.Rules, want.Shares)
	}
	if w.WantMoved != nil {
		after := w.Input
		after.Zones = w.After
		w.WantMoved.hold(t, Compare(got, computed(t, after)))
	}
}

func holdShares(t *testing.T, rules []Made, want map[string]string) {
	got := map[string]string{}
	for _, m := range rules {
		for _, s := range m.Zones {
			got[m.Rule+" "+s.Zone] = s.Amount().String()
		}
	}
	for _, key := range slices.Sorted(maps.Keys(want)) {
		if got[key] != want[key] {
			t.Errorf("%s: %s, want %s; all: %v", key, got[key], want[key], got)
		}
	}
}

func (w wantMoved) hold(t *testing.T, got Comparison) {
	zones := []string{}
	for _, z := range got.Zones {
		zones = append(zones, z.Name+": "+strings.Join(z.What, "; "))
	}
	if !slices.Equal(zones, w.Zones) {
		t.Errorf("zones %q, want %q", zones, w.Zones)
	}
	if len(got.Tasks) != len(w.Tasks) || len(got.Materials) != len(w.Materials) {
		t.Fatalf("%d tasks and %d materials moved, want %d and %d", len(got.Tasks), len(got.Materials), len(w.Tasks), len(w.Materials))
	}
	for i, want := range w.Tasks {
		m := got.Tasks[i]
		if m.Task != want.Task || m.Before.Likely.StringFixed(2) != want.Before || m.After.Likely.StringFixed(2) != want.After || m.Moved.String() != want.Moved {
			t.Errorf("%s moved %s: %s, want %+v", m.Task, m.Moved, m.Words, want)
		}
		for j, by := range want.By {
			if j >= len(m.By) || m.By[j].Zone != by.Zone || m.By[j].Rule != by.Rule || m.By[j].Amount.String() != by.Amount || m.By[j].Why != by.Why {
				t.Errorf("%s, %d: %+v, want %+v", m.Task, j, m.By, by)
			}
		}
	}
	for i, want := range w.Materials {
		m := got.Materials[i]
		if m.Material != want.Material || m.Before.String() != want.Before || m.After.String() != want.After || m.Moved.String() != want.Moved || len(m.By) != 1 || m.By[0].Why != want.By[0].Why {
			t.Errorf("%s: %s by %+v, want %+v", m.Material, m.Words, m.By, want)
		}
	}
}

func computed(t *testing.T, in Input) Result {
	t.Helper()
	r, err := Compute(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
