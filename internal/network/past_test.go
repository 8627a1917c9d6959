package network

import (
	"maps"
	"slices"
	"testing"
)

// By the definition: reachability from the finish of the hold to the start of
// a task, worked by hand for each type of link.
func TestPastTheHoldPoint(t *testing.T) {
	tasks := []string{"before", "hold", "fs", "ss", "ff", "sf", "after ff", "start after ff", "deep"}
	links := []Link{
		{From: "before", To: "hold"},
		{From: "hold", To: "fs", Type: FS, Lag: -500},          // a lead does not let it pass
		{From: "hold", To: "ss", Type: SS},                     // may start beside the hold
		{From: "hold", To: "ff", Type: FF},                     // may start, may not finish
		{From: "hold", To: "sf", Type: SF},                     // asks only for the hold's start
		{From: "ff", To: "after ff"},                           // cannot start until ff, hence hold, is finished
		{From: "ff", To: "start after ff", Type: SS},           // ff itself may start
		{From: "fs", To: "deep", Type: SS},                     // fs cannot start
		{From: "hold", To: "elsewhere"}, {From: "x", To: "ss"}, // not in this network
	}
	got := slices.Sorted(maps.Keys(Past(tasks, links, "hold")))
	if want := []string{"after ff", "deep", "fs"}; !slices.Equal(got, want) {
		t.Errorf("past the hold: %v, want %v", got, want)
	}
	if got := Past(tasks, links, "nobody"); len(got) != 0 {
		t.Errorf("past an unknown task: %v", got)
	}
}
