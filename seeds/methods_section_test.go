package seeds_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"bareframe/internal/method"
	"bareframe/internal/takeoff"
)

// Calibration, not a published check: the rules of the one-section template come to
// its own hours for the case that it was written for, a rail 110 x 120 x 3 mm of
// 385 mm with a hole of 160 x 60 mm. By hand: 2 x 230 x 385 mm = 0.1771 m2 outside,
// 104 x 114 x 385 mm = 4.564 l inside; a patch of 200 x 100 mm with 0.6 m of weld of
// 3 x 1.5 mm2 and 60 percent build-up: 0.0339 kg, 0.0357 kg of wire, 9.03 m, 0.0301 h
// at 300 m/h, 0.1003 h with the arc on 30 percent, and 0.75 h to fit: 0.8503 h.
func TestTheRulesOfOneSectionComeToItsHours(t *testing.T) {
	tp := read[template](t, "templates/rail-section.json")
	known := method.Known{Quantities: methodNames(t).Quantities, Materials: methodNames(t).Materials}
	for _, task := range tp.Tasks {
		known.Tasks = append(known.Tasks, method.Named{Key: task.Key, Name: task.Name})
	}
	taken, err := takeoff.Compute(takeoff.Input{System: startingTakeoff(t), Zones: []takeoff.Zone{{ID: "rail", Shape: takeoff.Box, WidthMM: "110", HeightMM: "120", ThicknessMM: "3",
		LengthMM: "385", Condition: takeoff.Perforated, Hole: &takeoff.Hole{LengthMM: "160", WidthMM: "60"}}}})
	if err != nil {
		t.Fatal(err)
	}
	zone := method.Zone{ID: "rail", Code: "rail", Name: "Rail", Kind: method.Rail, Side: method.Left, Condition: method.Perforated, Finish: method.Show,
		Methods: map[method.Stage]string{method.Strip: "blast", method.Repair: "fabricate", method.Coat: "two_pack"}}
	for _, q := range taken.Zones[0].Quantities {
		zone.Quantities = append(zone.Quantities, method.Quantity{Name: q.Name, Value: q.Value.String(), Unit: string(q.Unit)})
	}
	got, err := method.Compute(method.Input{List: *tp.Methods, Known: known, Zones: []method.Zone{zone}})
	if err != nil {
		t.Fatal(err)
	}
	byHand := map[string]string{
		"B10": "1.46", // 0.75 + 0.1771 / 0.25
		"B20": "2.43", // 1.25 + 0.1771 / 0.15
		"C20": "2.50", // 1.75 + 0.75
		"C30": "1.46", // 0.5 + 0.385 / 0.4
		"C40": "3.95", // 2.25 + 2 x 0.8503
		"C50": "1.25", // 0.5 + 0.75
		"D10": "1.71", // 1 + 0.1771 / 0.25
		"D30": "1.46", // 0.75 + 0.1771 / 0.25
		"D40": "1.01", // 0.5 + 4.564 / 9
	}
	if len(got.Tasks) != len(byHand) {
		t.Errorf("%d tasks get hours, want %d", len(got.Tasks), len(byHand))
	}
	for _, task := range got.Tasks {
		want := decimal.RequireFromString(byHand[task.Task])
		if task.Hours.Likely.Sub(want).Abs().GreaterThan(decimal.RequireFromString("0.01")) {
			t.Errorf("%s: %s h, by hand %s\n%s", task.Task, task.Hours.Likely, want, task.Words)
		}
		own := decimal.RequireFromString(tp.task(task.Task).Hours.Likely)
		if task.Hours.Likely.Sub(own).Abs().GreaterThan(own.Mul(decimal.RequireFromString("0.05"))) {
			t.Errorf("%s: %s h, the template says %s", task.Task, task.Hours.Likely, own)
		}
	}
}
