package domain

import (
	"slices"
	"testing"

	"bareframe/internal/fault"
)

var allStates = []JobState{Enquiry, Surveyed, Quoted, Accepted, InWork, Finished, Closed, Declined, Cancelled}

// The life of a job as the design writes it: enquiry, surveyed, quoted,
// accepted, in work, finished, closed, with declined and cancelled as ends.
// What quoting, acceptance and the first hours do is not done by hand.
func TestEveryMoveOfAJob(t *testing.T) {
	byHand := map[JobState][]JobState{
		Enquiry:   {Surveyed, Declined, Cancelled},
		Surveyed:  {Declined, Cancelled},
		Quoted:    {Declined, Cancelled},
		Accepted:  {Cancelled},
		InWork:    {Finished, Cancelled},
		Finished:  {Closed},
		Closed:    {},
		Declined:  {},
		Cancelled: {},
	}
	for _, from := range allStates {
		if got := (Job{State: from}).Moves(); !slices.Equal(got, byHand[from]) && len(got)+len(byHand[from]) > 0 {
			t.Errorf("moves of a job that is %s: %v, want %v", from, got, byHand[from])
		}
		for _, to := range append(slices.Clone(allStates), "", "sold") {
			j := Job{State: from}
			err := j.Move(to)
			if slices.Contains(byHand[from], to) {
				if err != nil || j.State != to {
					t.Errorf("%s to %s: %v, state %s", from, to, err, j.State)
				}
				continue
			}
			if e := fault.As(err); e == nil || e.Kind != fault.Conflict || e.Code != "job-state" || j.State != from {
				t.Errorf("%s to %q: %v, state %s; want it refused and the state kept", from, to, err, j.State)
			}
		}
	}
}

func TestMovesCannotBeChangedFromOutside(t *testing.T) {
	j := Job{State: Enquiry}
	j.Moves()[0] = Closed
	if j.Moves()[0] != Surveyed {
		t.Fatal("the table of moves is handed out itself")
	}
}

func TestWhatAStateAllows(t *testing.T) {
	for _, r := range []struct {
		state                        JobState
		quotable, workable, editable bool
	}{
		{Enquiry, true, false, true},
		{Surveyed, true, false, true},
		{Quoted, true, false, true},
		{Accepted, false, true, true},
		{InWork, false, true, true},
		{Finished, false, false, false},
		{Closed, false, false, false},
		{Declined, false, false, false},
		{Cancelled, false, false, false},
	} {
		j := Job{State: r.state}
		if j.Quotable() != r.quotable || j.Workable() != r.workable || (j.Editable() == nil) != r.editable {
			t.Errorf("%s: quotable %v, workable %v, editable %v; want %v", r.state, j.Quotable(), j.Workable(), j.Editable(), r)
		}
		if err := j.Editable(); err != nil && fault.KindOf(err) != fault.Conflict {
			t.Errorf("%s: %v, want a conflict", r.state, err)
		}
	}
	if (Job{}).Sold() || !(Job{AcceptedQuoteID: "q"}).Sold() {
		t.Error("a job is sold when a quote was accepted")
	}
}

func TestVehicleLabel(t *testing.T) {
	if got := (Vehicle{Make: "Halvorn", Model: "Solvane", Year: 1966}).Label(); got != "1966 Halvorn Solvane" {
		t.Errorf("got %q", got)
	}
}
