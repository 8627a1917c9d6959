package network

import (
	"time"

	"bareframe/internal/calendar"
)

// Example is a small network to try the calculation on: the rear of a frame is
// blasted, repaired, primed and coated over two weeks of an ordinary shop.
func Example() Input {
	day := []calendar.Interval{{From: "08:00", To: "12:00"}, {From: "12:30", To: "16:30"}}
	promise := time.Date(2031, 3, 14, 16, 30, 0, 0, time.UTC)
	steel := time.Date(2031, 3, 5, 8, 0, 0, 0, time.UTC)
	const hour = 60
	return Input{
		Calendar: &calendar.Spec{TimeZone: "UTC", Week: map[string][]calendar.Interval{
			"monday": day, "tuesday": day, "wednesday": day, "thursday": day, "friday": day}},
		Start:   time.Date(2031, 3, 3, 8, 0, 0, 0, time.UTC),
		Promise: &promise,
		Tasks: []Task{
			{ID: "blast", Name: "Blast the rear rails", Duration: 10 * hour, Kind: calendar.Working},
			{ID: "inspect", Name: "Inspect bare steel", Duration: 2 * hour, Kind: calendar.Working},
			{ID: "cut", Name: "Cut out the left rail ahead of the wheel", Duration: 4 * hour, Kind: calendar.Working},
			{ID: "weld", Name: "Weld in new steel", Duration: 12 * hour, Kind: calendar.Working, NotBefore: &steel},
			{ID: "sweep", Name: "Sweep-blast before priming", Duration: 3 * hour, Kind: calendar.Working},
			{ID: "prime", Name: "Prime", Duration: 3 * hour, Kind: calendar.Working},
			{ID: "cure", Name: "Primer cures", Duration: 48 * hour, Kind: calendar.Elapsed},
			{ID: "coat", Name: "Top coat", Duration: 5 * hour, Kind: calendar.Working},
			{ID: "done", Name: "Rear of the frame done", Kind: calendar.Working},
		},
		Links: []Link{
			{ID: "1", From: "blast", To: "inspect", Type: FF, Lag: 1 * hour, LagKind: calendar.Working},
			{ID: "2", From: "inspect", To: "cut", Type: FS, LagKind: calendar.Working},
			{ID: "3", From: "cut", To: "weld", Type: SS, Lag: 2 * hour, LagKind: calendar.Working},
			{ID: "4", From: "weld", To: "sweep", Type: FS, LagKind: calendar.Working},
			{ID: "5", From: "sweep", To: "prime", Type: FS, LagKind: calendar.Working},
			{ID: "6", From: "prime", To: "cure", Type: FS, LagKind: calendar.Elapsed},
			{ID: "7", From: "cure", To: "coat", Type: FS, LagKind: calendar.Elapsed},
			{ID: "8", From: "coat", To: "done", Type: FS, Lag: 12 * hour, LagKind: calendar.Elapsed},
		},
	}
}
