package pricing

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
)

// check is one published check: the result must hold everything that want says.
type check struct {
	Source string `json:"source"`
	Input  Input  `json:"input"`
	Want   any    `json:"want"`
}

func checks(t testing.TB) map[string]check {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "pricing", "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no checks found: %v", err)
	}
	all := map[string]check{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var c check
		strict := json.NewDecoder(bytes.NewReader(data))
		strict.DisallowUnknownFields()
		if err := strict.Decode(&c); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		all[filepath.Base(file)] = c
	}
	return all
}

func TestPublishedChecks(t *testing.T) {
	for name, c := range checks(t) {
		t.Run(name, func(t *testing.T) {
			if c.Source == "" {
				t.Fatal("a check needs its source")
			}
			result, err := Calculate(c.Input)
			if err != nil {
				t.Fatal(err)
			}
			compared := 0
			for _, difference := range differences("", c.Want, plain(result), &compared) {
				t.Errorf("%s\nsource: %s", difference, c.Source)
			}
			if compared == 0 {
				t.Fatal("nothing was compared")
			}
			if err := result.Ties(); err != nil {
				t.Error(err)
			}
			if err := result.ClientView().Ties(result); err != nil {
				t.Error(err)
			}
		})
	}
}

// The design's table of checks, so that no file of it can go missing unseen.
func TestPublishedChecksAreAllThere(t *testing.T) {
	all := checks(t)
	for _, name := range []string{
		"three_lines_tax_per_line.json", "three_lines_tax_per_document.json",
		"tax_10_50_at_7_25_line.json", "tax_10_50_at_7_25_document.json",
		"tax_19_99_at_8_25_line.json", "tax_19_99_at_8_25_document.json",
		"en16931_example_2.json", "en16931_example_5.json", "en16931_example_8.json",
		"en16931_price_base_quantity.json",
	} {
		if _, ok := all[name]; !ok {
			t.Errorf("%s is missing", name)
		}
	}
}

// plain returns v as it looks in JSON.
func plain(v any) any {
	text, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	var out any
	if err := json.Unmarshal(text, &out); err != nil {
		panic(err)
	}
	return out
}

// differences lists where got lacks what want says. Objects may have more
// members than wanted; arrays must have the same length.
func differences(at string, want, got any, compared *int) []string {
	var found []string
	switch want := want.(type) {
	case map[string]any:
		object, _ := got.(map[string]any)
		keys := make([]string, 0, len(want))
		for key := range want {
			keys = append(keys, key)
		}
		sort.Strings(keys)
		for _, key := range keys {
			found = append(found, differences(at+"/"+key, want[key], object[key], compared)...)
		}
	case []any:
		array, _ := got.([]any)
		if len(array) != len(want) {
			return []string{fmt.Sprintf("%s: %d entries, want %d", at, len(array), len(want))}
		}
		for i := range want {
			found = append(found, differences(fmt.Sprintf("%s/%d", at, i), want[i], array[i], compared)...)
		}
	default:
		*compared++
		if want != got {
			found = append(found, fmt.Sprintf("%s: got %v, want %v", at, got, want))
		}
	}
	return found
}

func TestDifferencesAreSeen(t *testing.T) {
	n := 0
	want := map[string]any{"a": []any{"1", "2"}, "b": "x"}
	got := map[string]any{"a": []any{"1", "3"}, "c": "x"}
	if found := differences("", want, got, &n); len(found) != 2 || !strings.Contains(found[0], "/a/1") {
		t.Fatalf("got %v", found)
	}
}

// The shortest text of a decimal is the library's.
func TestShortest(t *testing.T) {
	for _, text := range []string{"0", "-0", "-0.00", "0.0", "00", "7", "07.50", "100", "100.00", "0.30", "000.001", "10.10"} {
		if got, want := shortest(text), decimal.RequireFromString(text).String(); got != want {
			t.Errorf("shortest(%q) = %q, want %q", text, got, want)
		}
	}
	if got := shortest(""); got != "" {
		t.Errorf("nothing became %q", got)
	}
}
