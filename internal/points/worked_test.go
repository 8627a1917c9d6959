package points

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"bareframe/internal/money"
)

// worked is a case worked by hand.
type worked struct {
	Source string   `json:"source"`
	Steps  []string `json:"steps"`
	Input  Input    `json:"input"`
	Found  []struct {
		Item        string `json:"item"`
		Originality string `json:"originality"`
		Condition   string `json:"condition"`
		Before      string `json:"before"` // condition, before the maximum
	} `json:"found"`
	Unmatched []string `json:"unmatched"`
	Alone     []struct {
		ID           string `json:"id"`
		Bought       string `json:"bought"`
		CostPerPoint string `json:"cost_per_point"`
		Together     string `json:"together"` // cost with what it requires
	} `json:"alone"`
	Best []struct {
		Budget       string   `json:"budget"`
		Status       string   `json:"status"`
		Options      []string `json:"options"`
		Cost         string   `json:"cost"`
		Hours        string   `json:"hours"`
		Bought       string   `json:"bought"`
		CostPerPoint string   `json:"cost_per_point"`
	} `json:"best"`
	Frontier []string `json:"frontier"` // cost: points
}

func TestWorkedCases(t *testing.T) {
	files, err := filepath.Glob("../../testdata/points/*.json")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d cases, %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var w worked
		strict := json.NewDecoder(bytes.NewReader(text))
		strict.DisallowUnknownFields()
		if err := strict.Decode(&w); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		t.Run(filepath.Base(file), func(t *testing.T) {
			if w.Source == "" || len(w.Steps) == 0 || len(w.Found) == 0 || len(w.Best) == 0 || len(w.Frontier) == 0 {
				t.Fatal("a case needs its source, its steps and what they lead to")
			}
			w.holdFound(t)
			w.holdBest(t)
		})
	}
}

func (w worked) holdFound(t *testing.T) {
	got := calculated(t, w.Input)
	for i, want := range w.Found {
		f := got.Items[i]
		if f.Item != want.Item || f.Deduction.Originality.String() != want.Originality || f.Deduction.Condition.String() != want.Condition || f.Before.Condition.String() != want.Before {
			t.Errorf("%s: %+v, before %s; want %+v", f.Item, f.Deduction, f.Before.Condition, want)
		}
	}
	if len(got.Items) != len(w.Found) || !slices.Equal(got.Unmatched, w.Unmatched) {
		t.Errorf("%d items, unmatched %v; want %d, %v", len(got.Items), got.Unmatched, len(w.Found), w.Unmatched)
	}
	if len(got.Options) != len(w.Alone) {
		t.Fatalf("%d options, want %d", len(got.Options), len(w.Alone))
	}
	for i, want := range w.Alone {
		o := got.Options[i]
		together := ""
		if o.Together != nil {
			together = o.Together.Cost.String()
		}
		if o.ID != want.ID || o.Bought.Total().String() != want.Bought || amount(o.CostPerPoint) != want.CostPerPoint || together != want.Together {
			t.Errorf("%s buys %s at %s, together %s; want %+v", o.ID, o.Bought.Total(), amount(o.CostPerPoint), together, want)
		}
	}
}

func (w worked) holdBest(t *testing.T) {
	for _, want := range w.Best {
		in := w.Input
		in.Budget = want.Budget
		got := calculated(t, in).Best
		if want.Status != "" {
			if string(got.Status) != want.Status || got.Selection != nil {
				t.Errorf("budget %s: %+v, want %s", want.Budget, got, want.Status)
			}
			continue
		}
		s := got.Selection
		if got.Status != Optimal || s == nil || !slices.Equal(s.Options, want.Options) || s.Cost.String() != want.Cost || s.Hours.String() != want.Hours ||
			s.Bought.Total().String() != want.Bought || amount(s.CostPerPoint) != want.CostPerPoint || got.Bound != s.Bought.Total() {
			t.Errorf("budget %s: %s %+v, want %+v", want.Budget, got.Status, s, want)
		}
	}
	w.holdSets(t)
	in := w.Input
	in.Frontier = true
	sets := []string{}
	for _, s := range calculated(t, in).Frontier.Sets {
		sets = append(sets, s.Cost.String()+": "+s.Bought.Total().String())
	}
	if !slices.Equal(sets, w.Frontier) {
		t.Errorf("frontier %v, want %v", sets, w.Frontier)
	}
}

// holdSets asks for each of the best sets by name, its options the other way round.
func (w worked) holdSets(t *testing.T) {
	in := w.Input
	for _, want := range w.Best {
		ids := slices.Clone(want.Options)
		slices.Reverse(ids)
		in.Sets = append(in.Sets, ids)
	}
	got := calculated(t, in)
	for i, want := range w.Best {
		if s := got.Sets[i]; want.Status == "" && (s.Cost.String() != want.Cost || s.Bought.Total().String() != want.Bought || len(s.Items) != len(in.Sheet.Items)) {
			t.Errorf("set %v: %s buys %s, want %+v", want.Options, s.Cost, s.Bought.Total(), want)
		}
	}
}

func calculated(t *testing.T, in Input) Result {
	t.Helper()
	got, err := Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func amount(a *money.Amount) string {
	if a == nil {
		return ""
	}
	return a.String()
}

// What is written is what is read: places are fixed and nothing is null.
func TestJSONHasFixedPlacesAndNoNulls(t *testing.T) {
	text, err := json.Marshal(calculated(t, Example()))
	if err != nil || bytes.Contains(text, []byte("null")) {
		t.Errorf("%v, %s", err, text)
	}
	for _, part := range []string{`"cost":"620.00"`, `"hours":"5.50"`, `"maximum":{"originality":"10.00","condition":"8.00"}`, `"status":"optimal"`} {
		if !bytes.Contains(text, []byte(part)) {
			t.Errorf("%s is not in %s", part, text)
		}
	}
}
