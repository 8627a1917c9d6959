package api_test

import (
	"encoding/json"
	"fmt"
	"sort"
	"testing"

	"bareframe/internal/testkit"
)

// nasty are values that a field may be sent instead of its own: of the wrong
// type, at the edge of what the contract takes, or past it.
var nasty = []any{nil, "", "0", "-0", "99999", "999999999999.9999", "0.00001", "2189-12-31", "2189-12-31T23:59:59Z", "1970-01-01T00:00:00+23:59",
	0, -1, 400, 1e18, true, []any{}, map[string]any{}, "0193f000-0000-7000-8000-ffffffffffff", "é\u202e\ufffd", "a/b~c"}

// leaves lists the paths of every value of a body that holds no others.
func leaves(v any, at []any, out *[][]any) {
	switch v := v.(type) {
	case map[string]any:
		keys := make([]string, 0, len(v))
		for k := range v {
			keys = append(keys, k)
		}
		sort.Strings(keys)
		for _, k := range keys {
			leaves(v[k], append(at[:len(at):len(at)], k), out)
		}
		return
	case []any:
		for i := range v {
			leaves(v[i], append(at[:len(at):len(at)], i), out)
		}
		return
	}
	*out = append(*out, at)
}

// replaced returns a copy of a body with the value at a path exchanged.
func replaced(v any, at []any, with any) any {
	if len(at) == 0 {
		return with
	}
	switch v := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for k, inner := range v {
			out[k] = inner
		}
		key, _ := at[0].(string)
		out[key] = replaced(v[key], at[1:], with)
		return out
	case []any:
		out := append([]any{}, v...)
		i, _ := at[0].(int)
		out[i] = replaced(v[i], at[1:], with)
		return out
	}
	return v
}

// Bytes at random are mostly no JSON; these bodies are right but for one value,
// so that they reach the rules behind the contract. Do fails on any failure and
// on any answer outside the contract.
func TestEveryFieldOfEveryBodySurvivesNastyValues(t *testing.T) {
	for _, op := range testkit.ReadContract(t).Operations {
		if op.Spec.RequestBody == nil || op.ID == "setUpShop" || op.TakesFile() {
			continue
		}
		t.Run(op.ID, func(t *testing.T) {
			r := readyFor[op.ID]
			w := testkit.NewWorld(t, r.stage)
			w.Set("session", "0193f000-0000-7000-8000-ffffffffffff")
			if r.prepare != nil {
				r.prepare(t, w)
			}
			var body any
			if err := json.Unmarshal([]byte(bodyOf(t, w, op).(string)), &body); err != nil {
				t.Fatal(err)
			}
			var fields [][]any
			leaves(body, nil, &fields)
			if len(fields) == 0 {
				t.Fatalf("%s: the example has no field to spoil: %v", op.ID, body)
			}
			who, path := r.who(w), pathOf(t, w, op)
			refused := 0
			for i, at := range fields {
				for j, value := range nasty {
					if testkit.Raced && (i+j)%len(nasty) != 0 {
						continue
					}
					var options []testkit.Option
					if op.Takes("If-Match") {
						options = append(options, testkit.IfMatch(versionFor(t, who, path)))
					}
					if a := who.Do(t, op.Method, path, replaced(body, at, value), options...); a.Status >= 400 {
						refused++
					}
				}
			}
			if refused == 0 && !testkit.Raced {
				t.Errorf("%s: %d fields with %d nasty values each: got none refused; the values do not bite", op.ID, len(fields), len(nasty))
			}
			if n := w.TrailLength(t, w.ShopA); n < 5 {
				t.Errorf("the trail has %s entries", fmt.Sprint(n))
			}
		})
	}
}
