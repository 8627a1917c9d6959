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

// What an option of the demo is said to buy stands on the sheet that a shop begins
// with, so that it counts; the underside is expected as found with as much as doing
// it buys.
func TestDemoOptionsAreOnTheSheet(t *testing.T) {
	text, err := os.ReadFile("sheets/separate-body-frame.json")
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := points.ParseSheet(text)
	if err != nil {
		t.Fatal(err)
	}
	if text, err = os.ReadFile("demo.json"); err != nil {
		t.Fatal(err)
	}
	var demo struct {
		Jobs []struct {
			Options []struct {
				Key    string `json:"key"`
				Points []struct {
					ItemKey   string `json:"item_key"`
					Condition string `json:"condition"`
				} `json:"points"`
			} `json:"options"`
		} `json:"jobs"`
	}
	if err := json.Unmarshal(text, &demo); err != nil {
		t.Fatal(err)
	}
	said := 0
	for _, job := range demo.Jobs {
		for _, o := range job.Options {
			for _, p := range o.Points {
				said++
				i := slices.IndexFunc(sheet.Items, func(item points.Item) bool { return item.Key == p.ItemKey })
				if i < 0 {
					t.Errorf("%s buys points of %q, which the sheet has not", o.Key, p.ItemKey)
					continue
				}
				if o.Key != "floor" {
					continue
				}
				expected := slices.ContainsFunc(sheet.Items[i].Departures, func(d points.Departure) bool { return d.AsFound == 1 && d.Condition == p.Condition })
				if !expected {
					t.Errorf("no car is expected to have %s of %s as found", p.Condition, p.ItemKey)
				}
			}
		}
	}
	if said == 0 {
		t.Error("no option of the demo buys a point")
	}
}
