// Package seeds_test checks the starting data by plain JSON decoding into its own structs, so that
// a mistake in a file is found here even when a loader would forgive it.
//
// Days in demo.json are relative to the day of loading. A work_day counts the shop's working days:
// -1 is the last one before today. Because the weekday of that day is unknown, everything that
// depends on it is checked for each of the seven.
package seeds_test

import (
	"bareframe/internal/method"
	"encoding/json"
	"math/big"
	"os"
	"regexp"
	"slices"
	"testing"
)

type hours struct{ Low, Likely, High string }

type choice struct{ Key, Name string }

type option struct {
	Key, Name string
	Choices   []choice
}

type when map[string][]string

type task struct {
	Key, Phase, Name, Note, Kind string
	Hours                        *hours
	Skill                        string
	Crew                         int
	Station, Zone                string
	Cautions                     []string
	HoldPoint                    string `json:"hold_point"`
	StripGate                    bool   `json:"strip_gate"`
	ElapsedHours                 string `json:"elapsed_hours"`
	LeadDays                     string `json:"lead_days"`
	Floor                        struct {
		LongestBreak string `json:"longest_break_hours"`
	}
	TaxClass string `json:"tax_class"`
	When     when
}

type link struct {
	From, To, Type string
	LagHours       string `json:"lag_hours"`
	LagKind        string `json:"lag_kind"`
	MaxLagHours    string `json:"max_lag_hours"`
}

type line struct {
	Key, Task, Phase, Kind, Description, Quantity, Unit, Material string
	UnitCost                                                      string `json:"unit_cost"`
	MarkupPercent                                                 string `json:"markup_percent"`
	WastePercent                                                  string `json:"waste_percent"`
	TaxClass                                                      string `json:"tax_class"`
	When                                                          when
}

type template struct {
	Key, Name, Description string
	Frame                  string
	VehicleOptions         []option `json:"vehicle_options"`
	Phases                 []choice
	Tasks                  []task
	Links                  []link
	Lines                  []line
	Cautions               map[string]string
	Methods                *method.List
}

type material struct {
	Key, Name, Unit string
	UnitCost        string `json:"unit_cost"`
	MarkupPercent   string `json:"markup_percent"`
	WastePercent    string `json:"waste_percent"`
	TaxClass        string `json:"tax_class"`
}

type priceBook struct {
	Note   string
	Labour []struct {
		Skill, Name string
		CostRate    string `json:"cost_rate"`
		SellRate    string `json:"sell_rate"`
	}
	Materials []material
	Sublets   []struct {
		Key, Name, What string
		LeadDays        string `json:"lead_days"`
		MarkupPercent   string `json:"markup_percent"`
	}
}

var (
	skills     = []string{"fitter", "welder", "blaster", "painter"}
	stations   = []string{"", "frame_stand", "blast_cabinet", "paint_booth", "lift"}
	units      = []string{"h", "pc", "m", "mm", "in", "ft", "m2", "ft2", "kg", "lb", "l", "gal", "set", "day", "lot"}
	taxClasses = []string{"repair_labour", "fabrication_labour", "part", "material", "consumable", "sublet", "storage", "fee", "exempt"}
	lineKinds  = []string{"material", "sublet", "fee", "allowance"}
	phaseKeys  = []string{"removal", "stripping", "repair", "coating", "remount"}
	twoPlaces  = regexp.MustCompile(`^\d{1,6}\.\d{2}$`)
	percent    = regexp.MustCompile(`^\d{1,3}$`)
	plainKey   = regexp.MustCompile(`^[a-z0-9_]{1,40}$`)          // Key in openapi.yaml
	label      = regexp.MustCompile(`^[^\x00-\x1f\x7f]{1,160}\z`) // Label in openapi.yaml
	keyShape   = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`)
)

var templateFiles = []string{"templates/perimeter-frame.json", "templates/rail-section.json"}

// read decodes a seed file and refuses fields that the format does not have.
func read[T any](t testing.TB, name string) T {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var v T
	d := json.NewDecoder(f)
	d.DisallowUnknownFields()
	if err := d.Decode(&v); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if d.More() {
		t.Fatalf("%s: something stands after the value", name)
	}
	return v
}

// dec reads a decimal string exactly; bad text counts as -1 so that range checks refuse it.
func dec(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		return big.NewRat(-1, 1)
	}
	return r
}

func (tp template) task(key string) *task {
	i := slices.IndexFunc(tp.Tasks, func(t task) bool { return t.Key == key })
	if i < 0 {
		return nil
	}
	return &tp.Tasks[i]
}

// holds says whether something with this condition belongs to a vehicle with these options.
func (w when) holds(options map[string]string) bool {
	for key, choices := range w {
		if !slices.Contains(choices, options[key]) {
			return false
		}
	}
	return true
}

// combinations lists every vehicle that the template allows.
func (tp template) combinations() []map[string]string {
	all := []map[string]string{{}}
	for _, o := range tp.VehicleOptions {
		var next []map[string]string
		for _, have := range all {
			for _, c := range o.Choices {
				more := map[string]string{o.Key: c.Key}
				for k, v := range have {
					more[k] = v
				}
				next = append(next, more)
			}
		}
		all = next
	}
	return all
}

// report fails the test once per problem.
func report(t *testing.T, problems []string) {
	t.Helper()
	for _, p := range problems {
		t.Error(p)
	}
}
