package figures

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/shopspring/decimal"
)

// Check is one input and what its answer is to hold.
type Check struct {
	Name   string          `json:"-"`
	Source string          `json:"source"`
	Steps  []string        `json:"steps"`
	Input  json.RawMessage `json:"input"`
	Want   []Want          `json:"want"`
}

// Want is one figure of the answer. Of is its path, such as totals/weld_metal or
// zones/rail/outer_area. A text has no unit.
type Want struct {
	Of     string `json:"of"`
	Value  string `json:"value"`
	Unit   string `json:"unit"`
	Text   string `json:"text"`
	Within string `json:"within"`
	Why    string `json:"why"` // Within is wider than the printed digits
}

// Read reads the checks of a folder, at least as many as stated. A check without a
// source, steps or figures, or with a wide bound and no reason, fails.
func Read(t *testing.T, dir string, least int) []Check {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.json"))
	if err != nil || len(files) < least {
		t.Fatalf("%d checks in %s, want at least %d: %v", len(files), dir, least, err)
	}
	out := make([]Check, len(files))
	for i, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d := json.NewDecoder(bytes.NewReader(text))
		d.DisallowUnknownFields()
		if err := d.Decode(&out[i]); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		out[i].Name = filepath.Base(file)
		if out[i].Source == "" || len(out[i].Steps) == 0 || len(out[i].Want) == 0 {
			t.Fatalf("%s: a check needs its source, its steps and its figures", file)
		}
	}
	return out
}

// Hold wants every figure of the check in an answer, given as the calculation
// returns it.
func (c Check) Hold(t *testing.T, answer any) {
	t.Helper()
	text, err := json.Marshal(answer)
	if err != nil {
		t.Fatal(err)
	}
	c.HoldJSON(t, text)
}

// HoldJSON is Hold for an answer in JSON.
func (c Check) HoldJSON(t *testing.T, answer []byte) {
	t.Helper()
	found, err := flatten(answer)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range c.Want {
		if complaint := w.against(found[w.Of]); complaint != "" {
			t.Errorf("%s: %s", w.Of, complaint)
		}
	}
}

// against says in words why a figure does not hold, or nothing.
func (w Want) against(found []figure) string {
	if w.Text != "" {
		if len(found) != 1 || found[0].value != w.Text {
			return "got " + spelt(found) + ", want " + w.Text
		}
		return ""
	}
	want, err := decimal.NewFromString(w.Value)
	if err != nil {
		return "the check's value " + w.Value + " is no number"
	}
	bound := decimal.New(5, want.Exponent()-1)
	if w.Within != "" {
		if w.Why == "" {
			return "the check's bound has no reason"
		}
		bound = decimal.RequireFromString(w.Within)
	}
	for _, f := range found {
		got, ok := f.in(w.Unit)
		if ok && got.Sub(want).Abs().LessThanOrEqual(bound) {
			return ""
		}
	}
	return "got " + spelt(found) + ", want " + w.Value + " " + w.Unit + " within " + bound.String()
}
