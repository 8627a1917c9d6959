package method

import (
	"strings"
	"testing"

	"bareframe/internal/fault"
)

// Rules that read each other have no order to be reckoned in: both are named, once
// for each circle, however long it is. A rule that is read twice is no circle.
func TestRulesThatReadEachOtherAreNamed(t *testing.T) {
	reads := func(key string, others ...string) Rule {
		r := Rule{Key: key, Name: key, Stage: Strip, Makes: Hours, Task: "T", Unit: "h", Source: "test", Each: "1"}
		for _, o := range others {
			r.Parts = append(r.Parts, Part{Factors: []Factor{{OfRule: o}}})
		}
		return r
	}
	for _, c := range []struct {
		name  string
		rules []Rule
		want  string // empty: it stands
	}{
		{"two that read each other", []Rule{reads("a", "b"), reads("b", "a")}, "a needs b needs a"},
		{"three in a ring", []Rule{reads("a", "b"), reads("b", "c"), reads("c", "a")}, "a needs b needs c needs a"},
		{"a pair behind one that stands", []Rule{reads("x"), reads("a", "x", "b"), reads("b", "a")}, "a needs b needs a"},
		{"one read by two", []Rule{reads("a", "c"), reads("b", "c", "a"), reads("c")}, ""},
	} {
		list := List{Rules: c.rules}
		e := fault.As(list.Check(Known{Quantities: TakeoffQuantities(), Tasks: []Named{{Key: "T", Name: "T"}}}))
		if c.want == "" {
			if e != nil {
				t.Errorf("%s: refused with %v", c.name, e.Fields)
			}
			continue
		}
		n := 0
		if e != nil {
			for _, f := range e.Fields {
				if strings.Contains(f.Detail, "circle: "+c.want) {
					n++
				}
			}
		}
		if n != 1 {
			t.Errorf("%s: the circle %q is named %d times in %v", c.name, c.want, n, e)
		}
	}
}
