package network

import (
	"slices"
	"testing"
	"time"

	"bareframe/internal/calendar"
)

// Without hours to go, what is left of a task under way is its duration less
// the time of its own kind since it started, and never less than nothing. By
// hand: data date Monday 24 March 2031 12:00 UTC, noon being 13:00 in Berlin,
// where the shop stands and works 08:00-12:00 and 12:30-16:30.
func TestWhatIsLeftWithoutHoursToGo(t *testing.T) {
	data := *at(t, "2031-03-24T12:00:00Z")
	start := at(t, "2031-03-24T07:00:00Z") // 08:00 in Berlin; 4 h 30 min worked by the data date
	in := Input{Calendar: &berlinSpec, Start: *start, DataDate: &data, Tasks: []Task{
		{ID: "cure", Duration: 6 * 60, Kind: calendar.Elapsed, ActualStart: start},
		{ID: "work", Duration: 6 * 60, Kind: calendar.Working, ActualStart: start},
		{ID: "over", Duration: 60, Kind: calendar.Working, ActualStart: start},
	}}
	res, err := Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"2031-03-24T13:00:00Z", "2031-03-24T13:30:00Z", "2031-03-24T12:00:00Z"} {
		if got := res.Tasks[i].EarlyFinish; !got.Equal(*at(t, want)) {
			t.Errorf("%s finishes %v, want %s", res.Tasks[i].ID, got, want)
		}
	}
}

// Of two links into the same end that differ by a minute, only the later one
// drives; across closed time, both do.
func TestAMinuteDecidesWhatDrives(t *testing.T) {
	in := Input{Calendar: &berlinSpec, Start: *at(t, "2031-03-24T07:00:00Z"),
		Tasks: []Task{{ID: "a", Duration: 480, Kind: calendar.Working}, {ID: "b", Duration: 120, Kind: calendar.Working},
			{ID: "c", Duration: 60, Kind: calendar.Working}, {ID: "d", Duration: 60, Kind: calendar.Working}},
		Links: []Link{
			{ID: "ff60", From: "a", To: "b", Type: FF, Lag: 60}, {ID: "ff59", From: "a", To: "b", Type: FF, Lag: 59},
			{ID: "ss60", From: "a", To: "c", Type: SS, Lag: 60}, {ID: "ss59", From: "a", To: "c", Type: SS, Lag: 59},
			{ID: "fs", From: "a", To: "d"}, {ID: "fs600", From: "a", To: "d", Lag: 600, LagKind: calendar.Elapsed},
		}}
	res, err := Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range [][]string{nil, {"ff60"}, {"ss60"}, {"fs", "fs600"}} {
		if got := res.Tasks[i].Driving; !slices.Equal(got, want) {
			t.Errorf("%s is driven by %v, want %v", res.Tasks[i].ID, got, want)
		}
	}
	if want := (time.Date(2031, 3, 25, 7, 0, 0, 0, time.UTC)); !res.Tasks[3].EarlyStart.Equal(want) {
		t.Errorf("d starts %v, want %v", res.Tasks[3].EarlyStart, want)
	}
}
