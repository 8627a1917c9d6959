package seeds_test

import (
	"fmt"
	"slices"
	"testing"
)

// liveNetwork is what is left of a template for one vehicle. Nothing is reconnected when a task drops out.
type liveNetwork struct {
	tasks []task
	links []link
}

func (tp template) live(options map[string]string) liveNetwork {
	var n liveNetwork
	in := map[string]bool{}
	for _, t := range tp.Tasks {
		if t.When.holds(options) {
			n.tasks = append(n.tasks, t)
			in[t.Key] = true
		}
	}
	for _, l := range tp.Links {
		if in[l.From] && in[l.To] {
			n.links = append(n.links, l)
		}
	}
	return n
}

// checkEnds wants one start (the first task), one finish (the last), and for all others a link that
// drives the start (FS or SS in) and a link that the finish drives (FS or FF out): a task with only
// an SS behind it may end whenever it likes, which is an open end as well.
func (n liveNetwork) checkEnds() []string {
	var bad []string
	in, out := map[string][]string{}, map[string][]string{}
	for _, l := range n.links {
		in[l.To] = append(in[l.To], l.Type)
		out[l.From] = append(out[l.From], l.Type)
	}
	any := func(have []string, a, b string) bool { return slices.Contains(have, a) || slices.Contains(have, b) }
	for i, t := range n.tasks {
		first, last := i == 0, i == len(n.tasks)-1
		if first != (len(in[t.Key]) == 0) || !first && !any(in[t.Key], "FS", "SS") {
			bad = append(bad, fmt.Sprintf("%s: predecessors %v, only the first task starts by itself", t.Key, in[t.Key]))
		}
		if last != (len(out[t.Key]) == 0) || !last && !any(out[t.Key], "FS", "FF") {
			bad = append(bad, fmt.Sprintf("%s: successors %v, only the last task ends the job", t.Key, out[t.Key]))
		}
	}
	return bad
}

// checkCycle removes tasks without predecessors until none is left (Kahn 1962); what stays is a cycle.
func (n liveNetwork) checkCycle() []string {
	degree := map[string]int{}
	for _, l := range n.links {
		degree[l.To]++
	}
	var queue []string
	for _, t := range n.tasks {
		if degree[t.Key] == 0 {
			queue = append(queue, t.Key)
		}
	}
	done := 0
	for ; len(queue) > 0; done++ {
		k := queue[0]
		queue = queue[1:]
		for _, l := range n.links {
			if l.From != k {
				continue
			}
			if degree[l.To]--; degree[l.To] == 0 {
				queue = append(queue, l.To)
			}
		}
	}
	if done != len(n.tasks) {
		return []string{fmt.Sprintf("%d tasks stand in a cycle", len(n.tasks)-done)}
	}
	return nil
}

// behind lists what cannot start before the task has finished: FS out of it, then FS or SS onward.
func (n liveNetwork) behind(key string) map[string]bool {
	after := map[string]bool{}
	for changed := true; changed; {
		changed = false
		for _, l := range n.links {
			starts := l.Type == "FS" && l.From == key || (l.Type == "FS" || l.Type == "SS") && after[l.From]
			if starts && !after[l.To] {
				after[l.To], changed = true, true
			}
		}
	}
	return after
}

func TestNetworkStaysWholeForEveryVehicle(t *testing.T) {
	for _, name := range templateFiles {
		tp := read[template](t, name)
		all := tp.combinations()
		if len(all) < 8 {
			t.Errorf("%s: %d vehicles, want the options to matter", name, len(all))
		}
		for _, options := range all {
			n := tp.live(options)
			for _, p := range append(n.checkEnds(), n.checkCycle()...) {
				t.Errorf("%s %v: %s", name, options, p)
			}
		}
	}
}

// TestOrderOfTheCraft says in code what must come before what, whatever the vehicle is. The order is
// common practice in separate-body work.
func TestOrderOfTheCraft(t *testing.T) {
	tests := []struct {
		file, hold string
		before     []string // may start before the hold is released; everything else may not
	}{
		{templateFiles[0], "A30", []string{"A10", "A15", "A20", "A25"}},
		{templateFiles[1], "A30", []string{"A10", "A20"}},
	}
	for _, tt := range tests {
		tp := read[template](t, tt.file)
		for _, options := range tp.combinations() {
			n := tp.live(options)
			after := n.behind(tt.hold)
			gate := n.behind(tp.gate(t))
			for _, task := range n.tasks {
				want := task.Key != tt.hold && !slices.Contains(tt.before, task.Key)
				if after[task.Key] != want {
					t.Errorf("%s %v: %s behind %s = %v, want %v", tt.file, options, task.Key, tt.hold, after[task.Key], want)
				}
				late := slices.Contains(phaseKeys[2:], task.Phase)
				if gate[task.Key] != late {
					t.Errorf("%s %v: %s (%s) behind the inspection gate = %v", tt.file, options, task.Key, task.Phase, gate[task.Key])
				}
			}
		}
	}
}

// gate finds the hold point at which the firm price ends.
func (tp template) gate(t *testing.T) string {
	t.Helper()
	for _, task := range tp.Tasks {
		if task.Kind == "hold" && task.Name == "Hold: inspection gate" {
			return task.Key
		}
	}
	t.Fatalf("%s: no inspection gate", tp.Key)
	return ""
}

func TestNetworkChecksCanFail(t *testing.T) {
	whole := liveNetwork{tasks: []task{{Key: "a"}, {Key: "b"}, {Key: "c"}},
		links: []link{{From: "a", To: "b", Type: "FS"}, {From: "b", To: "c", Type: "FS"}}}
	tests := []struct {
		name        string
		links       []link
		ends, cycle bool
	}{
		{"whole", whole.links, false, false},
		{"b open at its end", []link{{From: "a", To: "b", Type: "FS"}, {From: "a", To: "c", Type: "FS"}}, true, false},
		{"b's finish drives nothing", []link{{From: "a", To: "b", Type: "FS"}, {From: "b", To: "c", Type: "SS"}}, true, false},
		{"b's start driven by nothing", []link{{From: "a", To: "b", Type: "FF"}, {From: "b", To: "c", Type: "FS"}}, true, false},
		{"b and c in a circle", append([]link{{From: "c", To: "b", Type: "SS"}}, whole.links...), true, true},
	}
	for _, tt := range tests {
		n := liveNetwork{whole.tasks, tt.links}
		if got := len(n.checkEnds()) > 0; got != tt.ends {
			t.Errorf("%s: open ends found = %v, want %v", tt.name, got, tt.ends)
		}
		if got := len(n.checkCycle()) > 0; got != tt.cycle {
			t.Errorf("%s: cycle found = %v, want %v", tt.name, got, tt.cycle)
		}
	}
}
