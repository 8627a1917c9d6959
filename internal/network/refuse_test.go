package network

import (
	"encoding/json"
	"slices"
	"testing"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func at(t *testing.T, s string) *time.Time {
	t.Helper()
	x, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t.Fatal(err)
	}
	return &x
}

func span(m calendar.Minutes) *calendar.Minutes { return &m }

func TestEveryFaultIsNamedAtOnce(t *testing.T) {
	in := Input{
		Start: *at(t, "0001-01-01T00:00:00Z"), Promise: at(t, "9999-01-01T00:00:00Z"),
		DataDate: at(t, "2031-03-05T00:00:00Z"),
		Tasks: []Task{
			{ID: "a", Duration: -1, Kind: "fortnights"},
			{ID: "a", Duration: MaxMinutes + 1},
			{ID: "", NotBefore: at(t, "1969-12-31T00:00:00Z"), FinishBy: at(t, "2200-01-01T00:00:00Z")},
			{ID: "b", ActualStart: at(t, "2031-03-04T00:00:00Z"), ActualFinish: at(t, "2031-03-03T00:00:00Z"), Remaining: span(-1)},
			{ID: "c", ActualStart: at(t, "2031-03-06T00:00:00Z")},
			{ID: "d", ActualFinish: at(t, "2031-03-03T00:00:00Z")},
		},
		Links: []Link{
			{From: "a", To: "nobody", Type: "XX", Lag: MaxMinutes + 1, LagKind: "x"},
			{From: "b", To: "b"},
			{From: "", To: "a", Lag: 5, MaxLag: span(4)},
		},
	}
	_, err := Calculate(in)
	e := fault.As(err)
	if e == nil || e.Kind != fault.Invalid || e.Code != "network-invalid" {
		t.Fatalf("got %v", err)
	}
	var got []string
	for _, f := range e.Fields {
		got = append(got, f.Pointer)
	}
	want := []string{"/start", "/promise",
		"/tasks/0/minutes", "/tasks/0/kind", "/tasks/1/id", "/tasks/1/minutes", "/tasks/2/id", "/tasks/2/not_before", "/tasks/2/finish_by",
		"/tasks/3/remaining_minutes", "/tasks/3/actual_finish", "/tasks/4/actual_start", "/tasks/5/actual_start",
		"/links/0/to", "/links/0/type", "/links/0/lag_minutes", "/links/0/lag_kind", "/links/1/to", "/links/2/from", "/links/2/max_lag_minutes"}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("faults (-want +got):\n%s", d)
	}
}

func TestActualsNeedADataDate(t *testing.T) {
	_, err := Calculate(Input{Start: monday, Tasks: []Task{{ID: "a", ActualStart: &monday}}})
	if e := fault.As(err); e == nil || len(e.Fields) != 1 || e.Fields[0].Pointer != "/tasks/0/actual_start" {
		t.Fatalf("got %v", err)
	}
}

func TestFaultsOfTheCalendarKeepTheirPlace(t *testing.T) {
	_, err := Calculate(Input{Start: monday, Calendar: &calendar.Spec{TimeZone: "Nowhere/Atall"}})
	e := fault.As(err)
	if e == nil || !slices.ContainsFunc(e.Fields, func(f fault.Field) bool { return f.Pointer == "/calendar/time_zone" }) {
		t.Fatalf("got %v", err)
	}
}

func TestManyFaultsAreCut(t *testing.T) {
	in := Input{Start: monday, Tasks: make([]Task, 5000)}
	if e := fault.As(func() error { _, err := Calculate(in); return err }()); e == nil || len(e.Fields) != maxFaults {
		t.Fatalf("got %v", e)
	}
}

func TestWorkBeyondTheKnownYears(t *testing.T) {
	in := Input{Start: *at(t, "2190-01-01T00:00:00Z"), Calendar: &berlinSpec, Tasks: []Task{{ID: "a", Duration: MaxMinutes}}}
	if _, err := Calculate(in); fault.As(err) == nil || fault.As(err).Code != "network-too-long" {
		t.Fatalf("forward: got %v", err)
	}
	in = Input{Start: *at(t, "2031-01-01T00:00:00Z"), Promise: at(t, "1970-02-01T00:00:00Z"), Calendar: &berlinSpec,
		Tasks: []Task{{ID: "a", Duration: 100_000}}}
	if _, err := Calculate(in); fault.As(err) == nil || fault.As(err).Code != "network-too-long" {
		t.Fatalf("backward: got %v", err)
	}
}

// A cycle B → C → D → B with A before it and E after it, links given in any
// order: always the same evidence.
func TestCycleIsNamedTheSameInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tasks := []Task{{ID: "A"}, {ID: "B"}, {ID: "C"}, {ID: "D"}, {ID: "E"}}
		links := []Link{{ID: "ab", From: "A", To: "B"}, {ID: "bc", From: "B", To: "C", Type: SS}, {ID: "cd", From: "C", To: "D"},
			{ID: "db", From: "D", To: "B", Type: FF}, {ID: "de", From: "D", To: "E"}, {ID: "ae", From: "A", To: "E"}}
		in := Input{Start: monday, Tasks: rapid.Permutation(tasks).Draw(t, "tasks"), Links: rapid.Permutation(links).Draw(t, "links")}
		_, err := Calculate(in)
		e := fault.As(err)
		if e == nil || e.Code != "network-cycle" || e.Kind != fault.Invalid || len(e.Fields) != 3 {
			t.Fatalf("got %v", err)
		}
		c := e.Evidence.(Cycle)
		var names []string
		for _, l := range c.Links {
			names = append(names, l.Link)
			if in.Links[l.Index].ID != l.Link {
				t.Fatalf("link %+v is not at its index", l)
			}
		}
		if !slices.Equal(c.Tasks, []string{"B", "C", "D"}) || !slices.Equal(names, []string{"bc", "cd", "db"}) {
			t.Fatalf("cycle %+v", c)
		}
	})
}

func TestEmptyNetworkFinishesWhenItStarts(t *testing.T) {
	res, err := Calculate(Input{Start: monday})
	if err != nil || !res.Finish.Equal(monday) || res.ElapsedMinutes != 0 || len(res.Tasks) != 0 {
		t.Fatalf("got %+v, %v", res, err)
	}
}

func TestExampleCalculates(t *testing.T) {
	text, err := json.Marshal(Example())
	if err != nil {
		t.Fatal(err)
	}
	var in Input
	if err := json.Unmarshal(text, &in); err != nil {
		t.Fatal(err)
	}
	res, err := Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: blast Mon 08:00-Tue 10:00; inspect must end an hour later, Tue
	// 11:00; cut to Tue 15:30; weld waits for steel on Wed 08:00, to Thu 12:00;
	// sweep Thu 12:30-15:30; prime to Fri 10:00; cure to Sun 10:00; coat Mon
	// 08:00-13:30 with the noon break; done 12 h later by the clock.
	if want := *at(t, "2031-03-11T01:30:00Z"); !res.Finish.Equal(want) {
		t.Errorf("finish %v, want %v", res.Finish, want)
	}
	if want := []string{"weld", "sweep", "prime", "cure", "coat", "done"}; !slices.Equal(res.DrivingChain, want) {
		t.Errorf("driving chain %v, want %v", res.DrivingChain, want)
	}
}

func FuzzCalculate(f *testing.F) {
	seed, err := json.Marshal(Example())
	if err != nil {
		f.Fatal(err)
	}
	f.Add(seed)
	f.Add([]byte(`{"start":"2031-03-03T00:00:00Z","data_date":"2031-03-04T00:00:00Z","tasks":[{"id":"a","minutes":5,"kind":"elapsed","actual_start":"2031-03-03T00:00:00Z","remaining_minutes":3},{"id":"b"}],"links":[{"from":"a","to":"b","type":"SF","lag_minutes":-7,"max_lag_minutes":9}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		var in Input
		if json.Unmarshal(text, &in) != nil {
			return
		}
		res, err := Calculate(in)
		if err != nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Fatalf("not a refusal: %v", err)
			}
			return
		}
		if len(res.Tasks) != len(in.Tasks) {
			t.Fatalf("%d results for %d tasks", len(res.Tasks), len(in.Tasks))
		}
		for _, r := range res.Tasks {
			if r.EarlyFinish.Before(r.EarlyStart) || r.EarlyFinish.After(res.Finish) || r.FreeFloat < 0 {
				t.Fatalf("task %+v does not fit a whole that finishes %v", r, res.Finish)
			}
		}
		if _, err := json.Marshal(res); err != nil {
			t.Fatal(err)
		}
	})
}
