package method

import (
	"fmt"
	"testing"
)

// A frame of forty zones under sixty rules of one part.
func BenchmarkCompute(b *testing.B) {
	in := Example()
	rules := in.List.Rules
	in.List.Rules = nil
	for i := range 20 {
		for _, rule := range rules[:2] {
			rule.Key += fmt.Sprint(i)
			in.List.Rules = append(in.List.Rules, rule)
		}
		media := rules[2]
		media.Key += fmt.Sprint(i)
		media.Parts = []Part{{Factors: []Factor{{OfRule: fmt.Sprintf("blast-hours%d", i)}, {Times: "60", Unit: "kg/h"}}}}
		in.List.Rules = append(in.List.Rules, media)
	}
	zones := in.Zones
	in.Zones = nil
	for i := range 40 {
		z := zones[i%2]
		z.ID = fmt.Sprint(i)
		in.Zones = append(in.Zones, z)
	}
	for b.Loop() {
		if _, err := Compute(in); err != nil {
			b.Fatal(err)
		}
	}
}
