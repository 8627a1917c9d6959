package seeds_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"bareframe/internal/takeoff"
)

// notFigures are members of the setup that need no source.
var notFigures = map[string]bool{"note": true, "sources": true, "key": true, "name": true, "where": true, "joint": true, "nozzle": true, "media": true,
	"on_blasted": true, "blasting": true, "welding": true, "coats": true, "cavity": true}

// The starting setup reads, every figure in it has its source, and every source a
// figure.
func TestTakeoff(t *testing.T) {
	text, err := os.ReadFile("takeoff.json")
	if err != nil {
		t.Fatal(err)
	}
	system, err := takeoff.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Starting values", "data sheet", "not an inspection"} {
		if !strings.Contains(system.Note, want) {
			t.Errorf("the note does not say %q", want)
		}
	}
	var whole map[string]any
	if err := json.Unmarshal(text, &whole); err != nil {
		t.Fatal(err)
	}
	if n := sourced(t, "", whole); n < 30 {
		t.Errorf("only %d figures have a source", n)
	}
	shop := namesOfShop(t)
	for _, c := range system.Coats {
		if _, ok := shop.materials[c.Key]; !ok || shop.materials[c.Key].Unit != "l" {
			t.Errorf("the price book has no coat %s in litres", c.Key)
		}
	}
}

// sourced holds every section to its sources and returns how many figures it has.
func sourced(t *testing.T, at string, section map[string]any) int {
	t.Helper()
	sources, _ := section["sources"].(map[string]any)
	n := 0
	for field, v := range section {
		switch v := v.(type) {
		case map[string]any:
			if field == "blasting" || field == "welding" || field == "cavity" {
				n += sourced(t, at+"/"+field, v)
			}
		case []any:
			for _, each := range v {
				if coat, ok := each.(map[string]any); ok && field == "coats" {
					n += sourced(t, at+"/"+coat["key"].(string), coat)
				}
			}
		}
		if notFigures[field] {
			continue
		}
		n++
		text, _ := sources[field].(string)
		if !strings.Contains(text, "from memory") && !strings.Contains(strings.ToLower(text), "published") && !strings.Contains(text, "Geometry") {
			t.Errorf("%s/%s has the source %q", at, field, text)
		}
	}
	for field := range sources {
		if _, ok := section[field]; !ok {
			t.Errorf("%s has a source for %s, which it has not", at, field)
		}
	}
	return n
}

// A frame of the shop can be taken off with it, and comes to what a frame can be.
func TestTakeoffOfTheFrames(t *testing.T) {
	text, err := os.ReadFile("takeoff.json")
	if err != nil {
		t.Fatal(err)
	}
	system, err := takeoff.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range frameFiles {
		zones := zonesOf(t, file)
		out, err := takeoff.Compute(takeoff.Input{System: system, Zones: zones})
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		// A bare ladder frame of a car weighs some 60 to 200 kg: common knowledge of the
		// trade, a bound against units gone wrong and nothing finer.
		steel, _ := out.Total(takeoff.SteelWeight)
		if kg := steel.Value.IntPart(); kg < 40 || kg > 250 {
			t.Errorf("%s weighs %s kg", file, steel.Value)
		}
		if area, _ := out.Total(takeoff.BlastArea); area.Value.IntPart() < 3 || area.Value.IntPart() > 25 {
			t.Errorf("%s has %s m2", file, area.Value)
		}
	}
}

// zonesOf reads the zones of a frame as they stand in its file.
func zonesOf(t *testing.T, file string) (out []takeoff.Zone) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var frame struct {
		Zones []struct {
			Code    string
			Section struct {
				Shape       takeoff.Shape
				WidthMM     json.Number `json:"width_mm"`
				HeightMM    json.Number `json:"height_mm"`
				ThicknessMM string      `json:"thickness_mm"`
			}
			LengthMM json.Number `json:"length_mm"`
			AreaM2   string      `json:"area_m2"`
		}
	}
	if err := json.Unmarshal(text, &frame); err != nil {
		t.Fatal(err)
	}
	for _, z := range frame.Zones {
		zone := takeoff.Zone{ID: z.Code, Shape: z.Section.Shape, WidthMM: z.Section.WidthMM.String(), HeightMM: z.Section.HeightMM.String(),
			ThicknessMM: z.Section.ThicknessMM, LengthMM: z.LengthMM.String(), Condition: takeoff.GradeC}
		if zone.Shape == takeoff.None {
			zone.AreaM2 = z.AreaM2
		}
		out = append(out, zone)
	}
	return out
}
