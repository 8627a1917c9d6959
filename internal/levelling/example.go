package levelling

import (
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/network"
)

// Question is an Input with the effort to spend on it, as the stateless
// calculation reads it.
type Question struct {
	Input
	// Effort left out is 200 schedules with seed 1.
	Effort *Effort `json:"effort,omitempty"`
}

// Example is a small shop to try the calculation on: two cars, three people, one
// stand and one cabinet, in an ordinary week. Primer follows blasting within four
// hours by the clock.
func Example() Question {
	day := []calendar.Interval{{From: "08:00", To: "12:00"}, {From: "12:30", To: "16:30"}}
	promise := time.Date(2031, 3, 12, 16, 30, 0, 0, time.UTC)
	most, whole := calendar.Minutes(240), calendar.Minutes(60)
	const hour = 60
	in := Input{
		Now: time.Date(2031, 3, 3, 8, 0, 0, 0, time.UTC),
		Calendar: &calendar.Spec{TimeZone: "UTC", Week: map[string][]calendar.Interval{
			"monday": day, "tuesday": day, "wednesday": day, "thursday": day, "friday": day}},
		People: []Person{
			{ID: "p1", Name: "First welder", Skills: []string{"weld", "body"}},
			{ID: "p2", Name: "Blaster", Skills: []string{"blast", "paint"}},
			{ID: "p3", Name: "Body hand", Skills: []string{"body"}},
		},
		Stations: []Station{{ID: "stand", Name: "Frame stand", Capacity: 1}, {ID: "cabinet", Name: "Blast cabinet", Capacity: 1}},
		Jobs:     []Job{{ID: "a", Name: "First car", Promise: &promise, Weight: 2}, {ID: "b", Name: "Second car", Weight: 1}},
	}
	for _, job := range []string{"a", "b"} {
		in.Tasks = append(in.Tasks,
			Task{ID: job + "-lift", Job: job, Name: "Lift the body", Duration: 4 * hour, Kind: calendar.Working, Crew: []Crew{{"body", 2}}, Places: []Place{{Station: "stand"}}},
			Task{ID: job + "-weld", Job: job, Name: "Weld in new steel", Duration: 12 * hour, Kind: calendar.Working, Crew: []Crew{{"weld", 1}}, Places: []Place{{Station: "stand"}}},
			Task{ID: job + "-blast", Job: job, Name: "Blast the frame", Duration: 3 * hour, Kind: calendar.Working, Crew: []Crew{{"blast", 1}}, Places: []Place{{Station: "cabinet"}}, LongestBreak: &whole},
			Task{ID: job + "-prime", Job: job, Name: "Prime", Duration: 2 * hour, Kind: calendar.Working, Crew: []Crew{{"paint", 1}}, LongestBreak: &whole},
			Task{ID: job + "-cure", Job: job, Name: "Primer cures", Duration: 48 * hour, Kind: calendar.Elapsed})
		in.Links = append(in.Links,
			network.Link{ID: job + "1", From: job + "-lift", To: job + "-weld", Type: network.FS},
			network.Link{ID: job + "2", From: job + "-weld", To: job + "-blast", Type: network.FS},
			network.Link{ID: job + "3", From: job + "-blast", To: job + "-prime", Type: network.FS, LagKind: calendar.Elapsed, MaxLag: &most},
			network.Link{ID: job + "4", From: job + "-prime", To: job + "-cure", Type: network.FS})
	}
	return Question{Input: in, Effort: &Effort{Schedules: 200, Seed: 1}}
}
