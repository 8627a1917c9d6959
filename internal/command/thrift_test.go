package command

import (
	"runtime/debug"
	"testing"
)

// What whoever runs the process said about collecting stands where it asks for less
// than planning does, or for none; and always stands again afterwards.
func TestPlanningCollectsEarlierUnlessToldOtherwise(t *testing.T) {
	defer debug.SetGCPercent(debug.SetGCPercent(100))
	for _, row := range []struct{ said, meanwhile int }{{100, planningGC}, {200, planningGC}, {10, 10}, {-1, -1}} {
		debug.SetGCPercent(row.said)
		end := spareMemory()
		if now := debug.SetGCPercent(row.meanwhile); now != row.meanwhile {
			t.Errorf("told %d: %d while planning, want %d", row.said, now, row.meanwhile)
		}
		end()
		if after := debug.SetGCPercent(row.said); after != row.said {
			t.Errorf("told %d: %d afterwards", row.said, after)
		}
	}
}
