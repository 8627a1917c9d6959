package method

import (
	"encoding/json"
	"testing"

	"bareframe/internal/fault"
)

// Whatever is sent, the answer is a result that compares with itself or a
// refusal with a place.
func FuzzCompute(f *testing.F) {
	seed, err := json.Marshal(Example())
	if err != nil {
		f.Fatal(err)
	}
	f.Add(seed)
	f.Add([]byte(`{"list":{"rules":[{"key":"a","parts":[{"factors":[{"of_rule":"a"}]}]}]}}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		var in Input
		if json.Unmarshal(text, &in) != nil {
			return
		}
		r, err := Compute(in)
		if e := fault.As(err); err != nil && (e == nil || e.Kind != fault.Invalid) {
			t.Fatalf("%v", err)
		}
		if c := Compare(r, r); err == nil && len(c.Tasks)+len(c.Materials)+len(c.Zones) != 0 {
			t.Fatalf("moved against itself: %+v", c)
		}
	})
}
