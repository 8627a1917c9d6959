package health

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/network"
)

// A chain of a, b and c of an hour each, round the clock from 08:00: healthy. Each row
// spoils one thing and must find that and nothing else; worked by hand.
func TestEachCheckFindsItsOwn(t *testing.T) {
	at := func(hour int) *time.Time { x := time.Date(2031, 3, 3, hour, 0, 0, 0, time.UTC); return &x }
	four := calendar.Minutes(4 * 60)
	for name, r := range map[string]struct {
		spoil func(*Input)
		want  []string
	}{
		"healthy":         {func(*Input) {}, nil},
		"nothing agreed":  {func(in *Input) { in.Baseline = false }, []string{"no_baseline [] []"}},
		"a lead":          {func(in *Input) { in.Network.Links[0].Lag = -30 }, []string{"lead [] [ab]"}},
		"a lag of a week": {func(in *Input) { in.Network.Links[0].Lag = 7 * 24 * 60 }, nil},
		"a minute more":   {func(in *Input) { in.Network.Links[0].Lag = 7*24*60 + 1 }, []string{"long_lag [] [ab]"}},
		"a date":          {func(in *Input) { in.Network.Tasks[1].NotBefore = at(9) }, []string{"date_constraint [b] []"}},
		"promised 10:00":  {func(in *Input) { in.Network.Promise = at(10) }, []string{"negative_float [a b c] []"}},
		// The promise is 60 days after the finish of 11:00: all three could slip by 60 days.
		"promised in May": {func(in *Input) { in.Network.Promise = at(11 + 60*24) }, nil},
		// b of 23 days instead of 1 h, beside c of 1 h: c could slip by 23 days less an hour.
		"c beside a long b": {func(in *Input) {
			in.Network.Promise = at(11 + 90*24)
			in.Network.Tasks[1].Duration, in.Network.Links[1].From = 23*24*60, "a"
			in.Network.Links = append(in.Network.Links, network.Link{ID: "bd", From: "b", To: "d"}, network.Link{ID: "cd", From: "c", To: "d"})
			in.Network.Tasks = append(in.Network.Tasks, network.Task{ID: "d", Duration: 60})
			in.Limits.MuchFloat = 22 * 24 * 60
		}, []string{"much_float [c] []"}},
		"nothing before b": {func(in *Input) { in.Network.Links[0].From, in.Network.Links[0].To = "a", "c" }, []string{"open_start [a b] []"}},
		"nothing after b":  {func(in *Input) { in.Network.Links[1].From = "a" }, []string{"open_end [b c] []"}},
		"no crew":          {func(in *Input) { in.Unstaffed = []string{"b"} }, []string{"no_crew [b] []"}},
		"stale":            {func(in *Input) { in.Stale = []string{"b"} }, []string{"stale [b] []"}},
		"past its window": {func(in *Input) {
			in.Network.DataDate, in.Network.Links[0].MaxLag = at(14), &four
			in.Network.Tasks[0].ActualStart, in.Network.Tasks[0].ActualFinish = at(8), at(9)
		}, []string{"lag_overrun [b] [ab]"}},
		"begun after now": {func(in *Input) {
			in.Network.DataDate, in.Network.Tasks[0].ActualStart = at(8), at(9)
		}, []string{"future_actual [a] []"}},
		"ended after now": {func(in *Input) {
			in.Network.DataDate = at(9)
			in.Network.Tasks[0].ActualStart, in.Network.Tasks[0].ActualFinish = at(8), at(10)
		}, []string{"future_actual [a] []"}},
		"c before b": {func(in *Input) {
			in.Network.DataDate = at(14)
			in.Network.Tasks[0].ActualStart, in.Network.Tasks[0].ActualFinish = at(8), at(9)
			in.Network.Tasks[2].ActualStart = at(10)
		}, []string{"out_of_sequence [] [bc]"}},
	} {
		in := Input{Baseline: true, Limits: StartingLimits(), Network: network.Input{Start: *at(8), Tasks: []network.Task{{ID: "a", Duration: 60}, {ID: "b", Duration: 60}, {ID: "c", Duration: 60}},
			Links: []network.Link{{ID: "ab", From: "a", To: "b"}, {ID: "bc", From: "b", To: "c"}}}}
		r.spoil(&in)
		got, err := Examine(in)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		var said []string
		for _, f := range got.Findings {
			said = append(said, fmt.Sprint(f.Code, " ", f.Tasks, " ", f.Links))
		}
		if !slices.Equal(said, r.want) {
			t.Errorf("%s: %q, want %q", name, said, r.want)
		}
	}
}
