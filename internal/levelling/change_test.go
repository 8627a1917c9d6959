package levelling

import (
	"context"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
)

// Wednesday 2031-03-05 12:00, in the example's first week.
func wednesday() *time.Time {
	at := time.Date(2031, 3, 5, 12, 0, 0, 0, time.UTC)
	return &at
}

func startOf(r Result, task string) time.Time {
	for _, p := range r.Tasks {
		if p.Task == task {
			return p.Start
		}
	}
	return time.Time{}
}

// Each change does to the example what it says, and to its plan what follows from
// the example's week: Monday 2031-03-03 to Friday, 08:00-12:00 and 12:30-16:30.
func TestChanges(t *testing.T) {
	for _, row := range []struct {
		name   string
		change Change
		holds  func(in Input, r Result) bool
	}{
		{"one more person is added last and can do only that", Change{Kind: AddPerson, Skill: "body"}, func(in Input, _ Result) bool {
			p := in.People[len(in.People)-1]
			return len(in.People) == 4 && slices.Equal(p.Skills, []string{"body"}) && p.ID != "" && p.Calendar == nil
		}},
		{"a person gets the ID that is given", Change{Kind: AddPerson, Skill: "body", Person: "p9"}, func(in Input, _ Result) bool {
			return in.People[3].ID == "p9"
		}},
		// One more stand and two more body hands would be needed to lift both at once; one more
		// stand and nobody else leaves the second lift behind the first.
		{"a second stand takes two at once", Change{Kind: AddCapacity, Station: "stand", By: 1}, func(in Input, r Result) bool {
			return in.Stations[0].Capacity == 2 && startOf(r, "b-lift").After(startOf(r, "a-lift"))
		}},
		// Both lifts need the stand, so the first waits for Wednesday.
		{"a closed stand holds up what needs it", Change{Kind: CloseStation, Station: "stand", From: "2031-03-03", To: "2031-03-04"}, func(_ Input, r Result) bool {
			first := slices.MinFunc([]time.Time{startOf(r, "a-lift"), startOf(r, "b-lift")}, time.Time.Compare)
			return first.Equal(time.Date(2031, 3, 5, 8, 0, 0, 0, time.UTC))
		}},
		// The welder is one of the two body hands.
		{"nobody lifts alone", Change{Kind: PersonAway, Person: "p3", From: "2031-03-03", To: "2031-03-03"}, func(_ Input, r Result) bool {
			first := slices.MinFunc([]time.Time{startOf(r, "a-lift"), startOf(r, "b-lift")}, time.Time.Compare)
			return first.Equal(time.Date(2031, 3, 4, 8, 0, 0, 0, time.UTC))
		}},
		{"a job weighs what is said", Change{Kind: WeighJob, Job: "b", By: 7}, func(in Input, _ Result) bool { return in.Jobs[1].Weight == 7 }},
		{"the job that is moved up is lifted first", Change{Kind: JobFirst, Job: "b"}, func(in Input, r Result) bool {
			return in.Jobs[1].Weight == 100 && startOf(r, "b-lift").Equal(in.Now)
		}},
		{"parts come on Wednesday", Change{Kind: TaskNotBefore, Task: "a-lift", At: wednesday()}, func(_ Input, r Result) bool {
			return !startOf(r, "a-lift").Before(*wednesday())
		}},
		{"a pin holds", Change{Kind: PinTask, Task: "a-lift", At: ptr(time.Date(2031, 3, 6, 8, 0, 0, 0, time.UTC))}, func(_ Input, r Result) bool {
			return startOf(r, "a-lift").Equal(time.Date(2031, 3, 6, 8, 0, 0, 0, time.UTC))
		}},
		{"people who are named do it", Change{Kind: PinTask, Task: "a-lift", People: []string{"p3", "p1"}}, func(in Input, r Result) bool {
			return in.Tasks[0].Pin == nil && slices.Equal(slices.Sorted(slices.Values(r.Tasks[0].People)), []string{"p1", "p3"})
		}},
	} {
		t.Run(row.name, func(t *testing.T) {
			in := Example().Input
			changed, err := Apply(in, []Change{row.change})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(Example().Input, in); diff != "" {
				t.Errorf("the input itself was changed:\n%s", diff)
			}
			r, err := Solve(context.Background(), changed, Effort{Schedules: 100}, nil)
			if err != nil || len(r.Unplaced) > 0 || !row.holds(changed, r) {
				t.Errorf("%+v: got %v, unplaced %v, %+v", row.change, err, r.Unplaced, r.Tasks)
			}
			for _, said := range Check(changed, r) {
				t.Error(said)
			}
		})
	}
}

func ptr[T any](v T) *T { return &v }

func TestChangesThatNameNothingAreRefused(t *testing.T) {
	for _, row := range []struct {
		change Change
		field  string
	}{
		{Change{Kind: AddPerson}, "skill"},
		{Change{Kind: AddCapacity, Station: "roof", By: 1}, "station"},
		{Change{Kind: CloseStation, Station: "roof"}, "station"},
		{Change{Kind: PersonAway, Person: "nobody"}, "person"},
		{Change{Kind: WeighJob, Job: "x", By: 1}, "job"},
		{Change{Kind: WeighJob, Job: "a", By: 101}, "by"},
		{Change{Kind: JobFirst, Job: "x"}, "job"},
		{Change{Kind: TaskNotBefore, Task: "x", At: wednesday()}, "task"},
		{Change{Kind: TaskNotBefore, Task: "a-lift"}, "at"},
		{Change{Kind: PinTask, Task: "a-lift"}, "at"},
		{Change{Kind: "paint_it_red"}, "kind"},
	} {
		_, err := Apply(Example().Input, []Change{{Kind: JobFirst, Job: "a"}, row.change})
		e := fault.As(err)
		if e == nil || e.Code != "change-invalid" || len(e.Fields) != 1 || e.Fields[0].Pointer != "/changes/1/"+row.field {
			t.Errorf("%+v: got %v, want change-invalid at /changes/1/%s", row.change, err, row.field)
		}
	}
}

// A closed stretch lies over the hours that a person had, and over a shop that
// has no calendar.
func TestClosuresLieOverWhatWasThere(t *testing.T) {
	in := Example().Input
	in.People[0].Calendar = &calendar.Spec{TimeZone: "UTC", Week: map[string][]calendar.Interval{"monday": {span("08:00", "12:00")}},
		Openings: []calendar.Opening{{Day: "2031-03-08", Intervals: []calendar.Interval{span("08:00", "12:00")}}, {Day: "2031-03-15", Intervals: []calendar.Interval{span("08:00", "12:00")}}}}
	out, err := Apply(in, []Change{{Kind: PersonAway, Person: "p1", From: "2031-03-07", To: "2031-03-09"}})
	if err != nil {
		t.Fatal(err)
	}
	got := out.People[0].Calendar
	if len(got.Openings) != 1 || got.Openings[0].Day != "2031-03-15" || len(got.Closures) != 1 || !reflect.DeepEqual(got.Week, in.People[0].Calendar.Week) {
		t.Errorf("got %+v", got)
	}
	if len(in.People[0].Calendar.Openings) != 2 {
		t.Error("the input itself was changed")
	}
	in.Calendar = nil
	if out, err = Apply(in, []Change{{Kind: CloseStation, Station: "stand", From: "2031-03-03", To: "2031-03-03"}}); err != nil {
		t.Fatal(err)
	}
	r, err := Solve(context.Background(), out, Effort{Schedules: 20}, nil)
	if want := time.Date(2031, 3, 4, 0, 0, 0, 0, time.UTC); err != nil || startOf(r, "b-lift").Before(want) || startOf(r, "a-lift").Before(want) {
		t.Errorf("got %v, lifts at %v and %v, want none before %v", err, startOf(r, "a-lift"), startOf(r, "b-lift"), want)
	}
}
