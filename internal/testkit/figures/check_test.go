package figures

import "testing"

// The comparison converts, and it can fail.
func TestAgainst(t *testing.T) {
	found := []figure{{"1.0983", "kg/h"}}
	for _, r := range []struct {
		name  string
		want  Want
		found []figure
		holds bool
	}{
		{"pounds from kilograms an hour", Want{Value: "2.42", Unit: "lb/h"}, found, true},
		{"a digit off", Want{Value: "2.43", Unit: "lb/h"}, found, false},
		{"a wide bound with its reason", Want{Value: "2.43", Unit: "lb/h", Within: "0.02", Why: "a reason"}, found, true},
		{"a wide bound without one", Want{Value: "2.43", Unit: "lb/h", Within: "0.02"}, found, false},
		{"another dimension", Want{Value: "1.0983", Unit: "kg/m"}, found, false},
		{"a simple unit for a compound", Want{Value: "1.0983", Unit: "kg"}, found, false},
		{"nothing found", Want{Value: "1", Unit: "kg"}, nil, false},
		{"a text", Want{Text: "16 ga"}, []figure{{"16 ga", ""}}, true},
		{"another text", Want{Text: "16 ga"}, []figure{{"18 ga", ""}}, false},
	} {
		if got := r.want.against(r.found); (got == "") != r.holds {
			t.Errorf("%s: %q", r.name, got)
		}
	}
}

func TestFlatten(t *testing.T) {
	got, err := flatten([]byte(`{"zones":[{"id":"r","gauge":"g","quantities":[{"name":"length","value":"1.000","unit":"m"}]}],"figures":[{"name":"a","value":"1","unit":"m2/l"},{"name":"a","value":"41","unit":"ft2/gal"}]}`))
	if err != nil || len(got["a"]) != 2 || len(got["zones/r/length"]) != 1 || got["zones/r/gauge"][0].value != "g" {
		t.Errorf("%v, %v", got, err)
	}
}
