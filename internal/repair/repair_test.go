package repair

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/fault"
)

// worked is an example worked by hand.
type worked struct {
	Source  string   `json:"source"`
	Steps   []string `json:"steps"`
	List    List     `json:"list"`
	Finding Finding  `json:"finding"`
	Want    []struct {
		Code       string   `json:"code"`
		Size       string   `json:"size"`
		Low        string   `json:"low"`
		Likely     string   `json:"likely"`
		High       string   `json:"high"`
		Quantities []string `json:"quantities"`
	} `json:"want"`
	Unsized []string `json:"unsized"`
}

func TestWorkedExamples(t *testing.T) {
	files, err := filepath.Glob("../../testdata/repair/*.json")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d examples, %v", len(files), err)
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
		t.Run(filepath.Base(file), func(t *testing.T) { w.hold(t) })
	}
}

func (w worked) hold(t *testing.T) {
	if w.Source == "" || len(w.Steps) == 0 || len(w.Want) == 0 {
		t.Fatal("an example needs its source, its steps and what they lead to")
	}
	got, err := Suggest(Input{List: w.List, Finding: w.Finding})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Suggestions) != len(w.Want) {
		t.Fatalf("%d repairs, want %d", len(got.Suggestions), len(w.Want))
	}
	for i, want := range w.Want {
		s := got.Suggestions[i]
		if s.Code != want.Code || s.Size.String() != want.Size {
			t.Errorf("%s of %s, want %s of %s", s.Code, s.Size, want.Code, want.Size)
		}
		if low, likely, high := s.Hours.Low.StringFixed(2), s.Hours.Likely.StringFixed(2), s.Hours.High.StringFixed(2); low != want.Low || likely != want.Likely || high != want.High {
			t.Errorf("%s: hours %s %s %s, want %s %s %s", s.Code, low, likely, high, want.Low, want.Likely, want.High)
		}
		quantities := []string{}
		for _, m := range s.Materials {
			quantities = append(quantities, m.Quantity.String())
		}
		if !slices.Equal(quantities, want.Quantities) {
			t.Errorf("%s: materials %v, want %v", s.Code, quantities, want.Quantities)
		}
	}
	unsized := []string{}
	for _, u := range got.Unsized {
		unsized = append(unsized, u.Code)
	}
	if !slices.Equal(unsized, w.Unsized) {
		t.Errorf("not sized: %v, want %v", unsized, w.Unsized)
	}
}

// The words are the arithmetic: by hand 140 x 60 mm is 0.84 dm2, and
// 1.50 + 0.50 x 0.84 = 1.92, x 1.4 = 2.688.
func TestTheWordsSayTheArithmetic(t *testing.T) {
	got, err := Suggest(Example())
	if err != nil || len(got.Suggestions) != 2 {
		t.Fatalf("%+v, %v", got, err)
	}
	s := got.Suggestions[0]
	for i, want := range []string{
		"Size: one place of 140 x 60 mm is 0.84 dm2.",
		"Low hours: 1 h + 0.25 h a dm2 x 0.84 = 1.21 h, x 1.4 for steel that is patched = 1.694 h, rounded to 1.69 h.",
		"Likely hours: 1.5 h + 0.5 h a dm2 x 0.84 = 1.92 h, x 1.4 for steel that is patched = 2.688 h, rounded to 2.69 h.",
		"High hours: 2.5 h + 1.1 h a dm2 x 0.84 = 3.424 h, x 1.4 for steel that is patched = 4.7936 h, rounded to 4.79 h.",
	} {
		if s.Words[i] != want {
			t.Errorf("%q, want %q", s.Words[i], want)
		}
	}
	if want := "1 pc + 0.5 pc a dm2 x 0.84 = 1.42 pc, bought whole: 2."; s.Materials[1].Words != want {
		t.Errorf("%q, want %q", s.Materials[1].Words, want)
	}
	if len(s.Cautions) != 2 || !strings.Contains(s.Cautions[0].Text, "Local codes come first") {
		t.Errorf("cautions %+v", s.Cautions)
	}
	text, err := json.Marshal(s)
	if err != nil || !strings.Contains(string(text), `"hours":{"low":"1.69","likely":"2.69","high":"4.79"}`) {
		t.Errorf("%s, %v", text, err)
	}
}

func TestWhatIsFoundChooses(t *testing.T) {
	in := Example()
	in.List.Repairs[0].For = []string{"rust", "perforation"}
	if got, _ := Suggest(in); len(got.Suggestions) != 1 || got.Suggestions[0].Code != "bought-section" {
		t.Errorf("a patch over rot: %+v", got.Suggestions)
	}
	in.Finding.What = ""
	if got, _ := Suggest(in); len(got.Suggestions) != 2 {
		t.Errorf("not said what: %+v", got.Suggestions)
	}
	in.Finding.Condition = Hidden
	if got, err := Suggest(in); err != nil || len(got.Suggestions) != 0 || got.Suggestions == nil {
		t.Errorf("hidden: %+v, %v", got, err)
	}
}

func TestBadInputIsNamed(t *testing.T) {
	for pointer, spoil := range map[string]func(*Input){
		"/finding/condition":              func(in *Input) { in.Finding.Condition = "rotten" },
		"/finding/length_mm":              func(in *Input) { in.Finding.LengthMM = -1 },
		"/finding/width_mm":               func(in *Input) { in.Finding.WidthMM = MaxMillimetre + 1 },
		"/finding/count":                  func(in *Input) { in.Finding.Count = MaxCount + 1 },
		"/list/repairs/0/code":            func(in *Input) { in.List.Repairs[0].Code = "" },
		"/list/repairs/1/code":            func(in *Input) { in.List.Repairs[1].Code = "let-in-patch" },
		"/list/repairs/0/name":            func(in *Input) { in.List.Repairs[0].Name = " " },
		"/list/repairs/0/work":            func(in *Input) { in.List.Repairs[0].Work = "magic" },
		"/list/repairs/0/unit":            func(in *Input) { in.List.Repairs[0].Unit = "ft" },
		"/list/repairs/0/skill":           func(in *Input) { in.List.Repairs[0].Skill = "" },
		"/list/repairs/0/crew":            func(in *Input) { in.List.Repairs[0].Crew = 0 },
		"/list/repairs/0/tax_class":       func(in *Input) { in.List.Repairs[0].TaxClass = "" },
		"/list/repairs/0/conditions":      func(in *Input) { in.List.Repairs[0].Conditions = nil },
		"/list/repairs/0/conditions/3":    func(in *Input) { in.List.Repairs[0].Conditions[3] = "x" },
		"/list/repairs/1/factors/a":       func(in *Input) { in.List.Repairs[1].Factors = map[Condition]string{GradeA: "2"} },
		"/list/repairs/0/factors/patched": func(in *Input) { in.List.Repairs[0].Factors[Patched] = "0" },
		"/list/repairs/0/hours/likely":    func(in *Input) { in.List.Repairs[0].Hours.Low.Fixed = "1.51" },
		"/list/repairs/0/hours/high":      func(in *Input) { in.List.Repairs[0].Hours.High.PerUnit = "0.49" },
		"/list/repairs/0/hours/high/fixed": func(in *Input) {
			in.List.Repairs[1].Hours = in.List.Repairs[0].Hours
			in.List.Repairs[0].Hours.High.Fixed = "1e9"
			in.List.Repairs[0].Hours.Likely.Fixed = "0"
			in.List.Repairs[0].Hours.Low.Fixed = "0"
		},
		"/list/repairs/0/materials/0/unit":       func(in *Input) { in.List.Repairs[0].Materials[0].Unit = "stone" },
		"/list/repairs/0/materials/0/item":       func(in *Input) { in.List.Repairs[0].Materials[0].Item = "" },
		"/list/repairs/0/materials/0/fixed":      func(in *Input) { in.List.Repairs[0].Materials[0].Fixed = "-1" },
		"/list/repairs/0/materials/0/price_item": func(in *Input) { in.List.Repairs[0].Materials[0].UnitPrice = "1" },
		"/list/repairs/1/materials/0/price_item": func(in *Input) { in.List.Repairs[1].Materials[0].UnitPrice = "" },
		"/list/repairs/0/cautions/1":             func(in *Input) { in.List.Repairs[0].Cautions[1] = "dragons" },
		"/list/cautions/hot_work":                func(in *Input) { in.List.Cautions["hot_work"] = "" },
	} {
		in := Example()
		spoil(&in)
		_, err := Suggest(in)
		f := fault.As(err)
		if f == nil || f.Kind != fault.Invalid || len(f.Fields) != 1 || f.Fields[0].Pointer != pointer {
			t.Errorf("%s: %v", pointer, err)
		}
	}
	in := Example()
	in.Finding = Finding{LengthMM: 10}
	if _, err := Suggest(in); err == nil {
		t.Error("a finding that says nothing was let through")
	}
	for name, bad := range map[string]string{"an unknown member": `{"repairs": [], "surprise": 1}`, "text after it": `{"repairs": []} {}`, "not JSON": "["} {
		if _, err := Parse([]byte(bad)); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: %v", name, err)
		}
	}
}
