package levelling

import (
	"context"
	"slices"
	"testing"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

func TestBadInputsAreNamed(t *testing.T) {
	for _, row := range []struct {
		name, pointer string
		spoil         func(*Input)
	}{
		{"no such job", "/tasks/0/job", func(in *Input) { in.Tasks[0].Job = "x" }},
		{"id twice", "/people/1/id", func(in *Input) { in.People[1].ID = in.People[0].ID }},
		{"no capacity", "/stations/0/capacity", func(in *Input) { in.Stations[0].Capacity = 0 }},
		{"a crew on a cure", "/tasks/4/crew", func(in *Input) { in.Tasks[4].Crew = []Crew{{"weld", 1}} }},
		{"maximum below minimum", "/links/0/max_lag_minutes", func(in *Input) { m := calendar.Minutes(-1); in.Links[0].MaxLag = &m }},
		{"started tomorrow", "/tasks/0/actual_start", func(in *Input) { d := in.Now.AddDate(0, 0, 1); in.Tasks[0].ActualStart = &d }},
		{"no such zone", "/calendar/time_zone", func(in *Input) { in.Calendar.TimeZone = "Nowhere/At all" }},
		{"waits for itself", "/links/0/to", func(in *Input) { in.Links[0].To = in.Links[0].From }},
	} {
		in := Example().Input
		row.spoil(&in)
		_, err := Solve(context.Background(), in, Effort{Schedules: 1}, nil)
		e := fault.As(err)
		if e == nil || e.Code != "levelling-invalid" || !slices.ContainsFunc(e.Fields, func(f fault.Field) bool { return f.Pointer == row.pointer }) {
			t.Errorf("%s: got %v, want levelling-invalid at %s", row.name, err, row.pointer)
		}
	}
}

func TestWhatNoPlanHoldsIsNamedAndTheRestStands(t *testing.T) {
	early, short := Example().Now.Add(time.Hour), calendar.Minutes(0)
	for _, row := range []struct {
		code, task string
		spoil      func(*Input)
	}{
		{"nobody-has-skill", "a-weld", func(in *Input) { in.Tasks[1].Crew = []Crew{{"trim", 1}} }},
		{"too-few-people", "a-lift", func(in *Input) { in.Tasks[0].Crew = []Crew{{"body", 3}} }},
		{"station-too-small", "a-lift", func(in *Input) { in.Tasks[0].Places[0].Units = 2 }},
		{"station-unknown", "a-lift", func(in *Input) { in.Tasks[0].Places[0].Station = "roof" }},
		{"opening-too-short", "a-weld", func(in *Input) { in.Tasks[1].LongestBreak = &short }},
		{"pin-contradicts", "a-weld", func(in *Input) { in.Tasks[1].Pin = &early }},
		{"cycle", "a-lift", func(in *Input) {
			in.Links = append(in.Links, network.Link{ID: "back", From: "a-weld", To: "a-lift"})
		}},
		{"waits-for-unplaced", "a-prime", func(in *Input) { in.Tasks[1].Crew = []Crew{{"trim", 1}} }},
		// Four hours of blasting in one opening end at 12:00 or 16:30, and exactly an hour
		// later no opening of four hours begins.
		{"max-lag-cannot-hold", "a-blast", func(in *Input) {
			hour := calendar.Minutes(60)
			in.Links[2].Lag, in.Links[2].MaxLag = 60, &hour
			in.Tasks[2].LongestBreak, in.Tasks[3].LongestBreak = &short, &short
			in.Tasks[2].Duration, in.Tasks[3].Duration = 240, 240
		}},
		// Its 48 hours cannot end half an hour after priming begins.
		{"max-lag-cannot-hold", "a-cure", func(in *Input) {
			half := calendar.Minutes(30)
			in.Links[3].Lag = -60
			in.Links = append(in.Links, network.Link{ID: "half", From: "a-prime", To: "a-cure", Type: network.SF, MaxLag: &half})
		}},
		{"beyond-horizon", "a-weld", func(in *Input) {
			late := in.Now.AddDate(13, 0, 0)
			in.Tasks[1].NotBefore = &late
		}},
		{"calendars-never-meet", "a-weld", func(in *Input) {
			in.People[0].Calendar = &calendar.Spec{TimeZone: "UTC", Week: map[string][]calendar.Interval{"sunday": {{From: "08:00", To: "12:00"}}}}
		}},
	} {
		in := Example().Input
		row.spoil(&in)
		r, err := Solve(context.Background(), in, Effort{Schedules: 20}, nil)
		if err != nil {
			t.Fatalf("%s: %v", row.code, err)
		}
		if !slices.ContainsFunc(r.Unplaced, func(u Unplaced) bool { return u.Code == row.code && u.Task == row.task }) {
			t.Errorf("%s: got %+v, want it for %s", row.code, r.Unplaced, row.task)
		}
		for _, said := range Check(in, r) {
			t.Errorf("%s: %s", row.code, said)
		}
	}
}
