package pricing

import (
	"bytes"
	"encoding/json"
	"testing"

	"bareframe/internal/fault"
)

// Whatever JSON comes in, Calculate neither panics nor gives a price that does
// not tie, and a refusal names its fields.
func FuzzCalculate(f *testing.F) {
	for _, c := range checks(f) {
		text, err := json.Marshal(c.Input)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	text, _ := json.Marshal(Example())
	f.Add(text)
	f.Add([]byte(`{"currency":"JPY","tax_basis":"line","lines":[{"id":"a","kind":"credit","quantity":"-0","unit_price":"0"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var in Input
		strict := json.NewDecoder(bytes.NewReader(data))
		strict.DisallowUnknownFields()
		if strict.Decode(&in) != nil {
			return
		}
		r, err := Calculate(in)
		if err != nil {
			if e := fault.As(err); e == nil || e.Kind != fault.Invalid || len(e.Fields) == 0 {
				t.Fatalf("refused with %v", err)
			}
			return
		}
		view := r.ClientView()
		if err := r.Ties(); err != nil {
			t.Fatal(err)
		}
		if err := view.Ties(r); err != nil {
			t.Fatal(err)
		}
		for _, l := range r.Lines {
			if _, err := r.Explain(l.ID); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := json.Marshal([]any{r, view}); err != nil {
			t.Fatal(err)
		}
	})
}
