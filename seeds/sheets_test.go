package seeds_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/domain"
	"bareframe/internal/points"
)

// Every sheet reads, says that it is a starting value of our own, and looks only
// at kinds of zone that there are.
func TestSheets(t *testing.T) {
	files, err := filepath.Glob("sheets/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d sheets, %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := points.ParseSheet(text)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		if sheet.Key+".json" != filepath.Base(file) || !strings.Contains(sheet.Note, "Starting values") || !strings.Contains(sheet.Note, "common practice, no source") {
			t.Errorf("%s: key %q, note %q", file, sheet.Key, sheet.Note)
		}
		kinds := []domain.ZoneKind{domain.Rail, domain.KickUp, domain.Crossmember, domain.Mount, domain.Bracket, domain.FrameOpening}
		for _, item := range sheet.Items {
			for _, k := range item.Kinds {
				if !slices.Contains(kinds, domain.ZoneKind(k)) {
					t.Errorf("%s, %s: there are no zones of kind %q", file, item.Key, k)
				}
			}
			if item.Note == "" {
				t.Errorf("%s, %s has no note that says where its figures are from", file, item.Key)
			}
		}
	}
}

// Two maxima are fixed as check values: common practice, no source.
func TestSheetOfTheFrameHasTheCheckValues(t *testing.T) {
	text, err := os.ReadFile("sheets/separate-body-frame.json")
	if err != nil {
		t.Fatal(err)
	}
	var sheet points.Sheet
	if err := json.Unmarshal(text, &sheet); err != nil {
		t.Fatal(err)
	}
	want := map[string][2]string{"frame": {"10", "8"}, "body-mounts": {"2", "2"}}
	for _, item := range sheet.Items {
		if w, fixed := want[item.Key]; fixed {
			if got := [2]string{item.MaxOriginality, item.MaxCondition}; got != w {
				t.Errorf("%s: %v, want %v", item.Key, got, w)
			}
			delete(want, item.Key)
		}
	}
	if len(want) > 0 {
		t.Errorf("items without a place on the sheet: %v", want)
	}
}
