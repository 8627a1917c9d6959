package seeds_test

import (
	"testing"

	"bareframe/internal/method"
	"bareframe/internal/takeoff"
)

var shopWays = map[method.Stage]string{method.Strip: "blast", method.Repair: "fabricate", method.Coat: "two_pack"}

// BenchmarkTakenOff takes the demo's frame of 40 zones off with the starting setup.
func BenchmarkTakenOff(b *testing.B) {
	in := takeoff.Input{System: startingTakeoff(b), Zones: takeoffZones(b)}
	for b.Loop() {
		if _, err := takeoff.Compute(in); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTakenOffAndRuled does so and applies the 74 starting rules, which were
// prepared once.
func BenchmarkTakenOffAndRuled(b *testing.B) {
	in := takeoff.Input{System: startingTakeoff(b), Zones: takeoffZones(b)}
	rules, err := method.Prepare(startingMethods(b), methodNames(b))
	if err != nil {
		b.Fatal(err)
	}
	plain := calibrated(b, shopWays)
	for b.Loop() {
		taken, err := takeoff.Compute(in)
		if err != nil {
			b.Fatal(err)
		}
		zones := make([]method.Zone, len(plain))
		for i, z := range taken.Zones {
			zones[i] = plain[i]
			zones[i].Quantities = make([]method.Quantity, len(z.Quantities))
			for j, q := range z.Quantities {
				zones[i].Quantities[j] = method.Quantity{Name: q.Name, Value: q.Value.String(), Unit: string(q.Unit)}
			}
		}
		if _, err := rules.Compute(zones); err != nil {
			b.Fatal(err)
		}
	}
}
