package seeds_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/measure"
	"bareframe/internal/method"
	"bareframe/internal/takeoff"
)

// methodNames are what the starting rules may name: the quantities of the
// takeoff, the tasks of the template and the rows of the price book.
func methodNames(t testing.TB) method.Known {
	t.Helper()
	known := method.Known{Quantities: method.TakeoffQuantities(coatsOf(startingTakeoff(t))...)}
	for _, task := range read[template](t, "templates/perimeter-frame.json").Tasks {
		known.Tasks = append(known.Tasks, method.Named{Key: task.Key, Name: task.Name})
	}
	for _, m := range read[priceBook](t, "price-book.json").Materials {
		known.Materials = append(known.Materials, method.Supplied{Key: m.Key, Name: m.Name, Unit: m.Unit})
	}
	return known
}

func coatsOf(s takeoff.System) []method.Named {
	var coats []method.Named
	for _, c := range s.Coats {
		coats = append(coats, method.Named{Key: c.Key, Name: c.Name})
	}
	return coats
}

func startingTakeoff(t testing.TB) takeoff.System {
	t.Helper()
	text, err := os.ReadFile("takeoff.json")
	if err != nil {
		t.Fatal(err)
	}
	s, err := takeoff.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func startingMethods(t testing.TB) method.List {
	t.Helper()
	text, err := os.ReadFile("methods.json")
	if err != nil {
		t.Fatal(err)
	}
	list, err := method.Parse(text, methodNames(t))
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// The rules say what a takeoff says, in the same units.
func TestMethodsNameTheQuantitiesOfATakeoff(t *testing.T) {
	system := startingTakeoff(t)
	units := map[string]measure.Unit{}
	for _, k := range system.Kinds() {
		units[k.Name] = k.Unit
	}
	said := method.TakeoffQuantities(coatsOf(system)...)
	for _, q := range said {
		if units[q.Name] != measure.Unit(q.Unit) {
			t.Errorf("%s is told in %s, in a takeoff in %q", q.Name, q.Unit, units[q.Name])
		}
	}
	if len(said) != len(units) {
		t.Errorf("%d quantities are said, a takeoff has %d", len(said), len(units))
	}
}

// The starting list reads, says where each figure is from, has a note for every
// rule and work for every method.
func TestMethods(t *testing.T) {
	list := startingMethods(t)
	if !strings.Contains(list.Note, "Starting values") {
		t.Errorf("the note does not say that these are starting values: %q", list.Note)
	}
	want := map[method.Stage][]string{method.Strip: {"blast", "hand", "dip"}, method.Repair: {"fabricate", "bought_section"}, method.Coat: {"two_pack", "brush", "as_found_touch_up"}}
	got := map[method.Stage][]string{}
	for _, m := range list.Methods {
		got[m.Stage] = append(got[m.Stage], m.Key)
		named := slices.ContainsFunc(list.Rules, func(r method.Rule) bool { return r.Stage == m.Stage && slices.Contains(r.For.Methods, m.Key) })
		if !named || m.Note == "" || m.Source == "" {
			t.Errorf("%s: no rule is for it, or it has no note or source", m.Key)
		}
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("methods %v, want %v", got, want)
	}
	zones := map[string]bool{}
	for _, z := range read[frameLayout](t, "frames/perimeter-ladder.json").Zones {
		zones[z.Code] = true
	}
	tasks := map[string]string{}
	for _, task := range read[template](t, "templates/perimeter-frame.json").Tasks {
		tasks[task.Key] = task.Kind
	}
	for _, r := range list.Rules {
		if r.Note == "" || !strings.Contains(r.Source, "starting value") {
			t.Errorf("%s: note %q, source %q", r.Key, r.Note, r.Source)
		}
		if r.Makes == method.Hours && (tasks[r.Task] != "work" || r.Spread == nil) {
			t.Errorf("%s: hours without a low and a high, or for a %s", r.Key, tasks[r.Task])
		}
		for _, code := range r.For.Zones {
			if !zones[code] {
				t.Errorf("%s: the frame has no zone %q", r.Key, code)
			}
		}
	}
}
