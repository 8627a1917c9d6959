package seeds_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/pricing/localrules"
)

// Every rule set reads, is named after its code, says where it comes from and
// that the local law is to be checked; every shape of rule has one.
func TestLocalRules(t *testing.T) {
	files, err := filepath.Glob("rules/*.json")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d rule sets, %v", len(files), err)
	}
	shapes := map[localrules.Shape]int{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		rule, err := localrules.Parse(text)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		shapes[rule.Consent.Shape]++
		if filepath.Base(file) != rule.Code+".json" {
			t.Errorf("%s has the code %q", file, rule.Code)
		}
		if !strings.Contains(rule.Check, "Check your local law") {
			t.Errorf("%s does not say to check the local law: %q", file, rule.Check)
		}
		if !strings.Contains(rule.Note, "shop's currency") || len(rule.InvoiceMustShow) == 0 || len(rule.RecordMustName) == 0 {
			t.Errorf("%s: the note says nothing on the currency, or a list is empty", file)
		}
		if rule.Source != "common practice" && !strings.Contains(rule.Note, "Read ") {
			t.Errorf("%s names a statute and does not say what of it was read", file)
		}
		for _, field := range []localrules.Field{localrules.Date, localrules.Time, localrules.Person, localrules.How, localrules.RevisedTotal} {
			if !slices.Contains(rule.RecordMustName, field) {
				t.Errorf("%s lets work begin on a consent of which the %s is not recorded", file, field)
			}
		}
		if len(rule.Overridden) > 0 {
			t.Errorf("%s is overridden before any shop had it", file)
		}
	}
	for _, shape := range localrules.Shapes() {
		if shapes[shape] == 0 {
			t.Errorf("no rule set has the shape %s", shape)
		}
	}
}
