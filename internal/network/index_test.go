package network

import (
	"testing"

	"pgregory.net/rapid"
)

// The index answers as Go's own map does, the first of equal IDs winning.
func TestIndexFindsWhatAMapFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ids := rapid.SliceOfN(rapid.StringMatching(`[a-c]{1,4}`), 0, 200).Draw(t, "ids")
		tasks := make([]Task, len(ids))
		for i, id := range ids {
			tasks[i].ID = id
		}
		x, want := newIndex(tasks), map[string]int32{}
		for i, id := range ids {
			if _, taken := want[id]; !taken {
				want[id] = int32(i)
			}
			if got := x.add(i); got != want[id] {
				t.Fatalf("adding %q as %d gives %d, want %d", id, i, got, want[id])
			}
		}
		for _, id := range append(rapid.SliceOf(rapid.StringMatching(`[a-d]{0,4}`)).Draw(t, "asked"), ids...) {
			place, known := want[id]
			if !known {
				place = -1
			}
			if got, _, _ := x.find(id); got != place {
				t.Fatalf("%q is at %d, want %d", id, got, place)
			}
		}
	})
}

// Two IDs whose hashes share everything a slot remembers are still told apart,
// and a full run of slots is walked past its end.
func TestIndexComparesWholeIDs(t *testing.T) {
	tasks := []Task{{ID: "a"}, {ID: "b"}}
	x := newIndex(tasks)
	x.add(0)
	_, _, hash := x.find("b")
	for at := range x.slots { // make every slot but one claim to be b, holding a
		x.slots[at] = hash&^placeMask | 1
	}
	x.slots[(hash-1)&uint64(len(x.slots)-1)] = 0
	if got := x.add(1); got != 1 {
		t.Fatalf("b was taken for task %d", got)
	}
	if got, _, _ := x.find("b"); got != 1 {
		t.Fatalf("b is at %d, want 1", got)
	}
}
