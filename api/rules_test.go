package api

import (
	"os"
	"testing"

	"bareframe/internal/method"
)

// Every rule that the program brings goes through the contract and back unchanged.
func TestEveryRuleGoesThroughTheContract(t *testing.T) {
	text, err := os.ReadFile("../seeds/methods.json")
	if err != nil {
		t.Fatal(err)
	}
	coats := []method.Named{{Key: "weld_primer", Name: "w"}, {Key: "primer_2k", Name: "p"}, {Key: "topcoat_2k", Name: "t"}}
	list, err := method.Parse(text, method.Known{Quantities: method.TakeoffQuantities(coats...)})
	if err != nil {
		t.Fatal(err)
	}
	for _, rule := range list.Rules {
		if got := methodRuleFrom(methodRule(rule)); !got.Same(rule) {
			t.Errorf("%s came back as %+v, want %+v", rule.Key, got, rule)
		}
	}
	if len(list.Rules) < 50 {
		t.Errorf("%d rules were looked at", len(list.Rules))
	}
}
