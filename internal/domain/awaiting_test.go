package domain

import "testing"

// A task waits for the latest of what is still to come for it: not for what was
// fitted or sent back, and the last note of a line counts.
func TestTasksWaitForWhatWasOrdered(t *testing.T) {
	e := Estimate{Tasks: []Task{{ID: "a"}, {ID: "b"}, {ID: "c"}},
		Lines: []Line{{ID: "l1", TaskID: "a"}, {ID: "l2", TaskID: "a"}, {ID: "l3", TaskID: "b"}, {ID: "l4"}}}
	notes := []Supply{
		{LineID: "l1", State: SupplyOrdered, ExpectedOn: "2031-03-10"},
		{LineID: "l2", State: SupplyOrdered, ExpectedOn: "2031-03-20"},
		{LineID: "l2", State: SupplyOrdered, ExpectedOn: "2031-03-12"}, // it comes sooner
		{LineID: "l3", State: SupplyOrdered, ExpectedOn: "2031-04-01"},
		{LineID: "l3", State: SupplyFitted},
		{LineID: "l4", State: SupplyOrdered, ExpectedOn: "2031-05-01"}, // for no task
	}
	got := e.Awaiting(Expected(notes))
	for id, want := range map[ID]Day{"a": "2031-03-12", "b": "", "c": ""} {
		if task, _ := got.Task(id); task.Arrives != want {
			t.Errorf("%s waits for %q, want %q", id, task.Arrives, want)
		}
	}
	if task, _ := e.Task("a"); task.Arrives != "" {
		t.Error("the estimate that was given was written to")
	}
}
