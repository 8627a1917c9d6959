package levelling

import (
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/network"
)

// Bounds of what is accepted: far outside any real shop.
const (
	MaxTasks    = 20_000
	MaxPeople   = 200
	MaxStations = 100
	MaxJobs     = 500
)

// Input is a shop with all the work it has before it.
type Input struct {
	// Now is the data date: nothing that has not begun starts before it.
	Now time.Time `json:"now"`
	// Calendar of the shop; left out, it works round the clock. Working lags
	// count on it, and every other calendar lies inside it.
	Calendar *calendar.Spec `json:"calendar,omitempty"`
	People   []Person       `json:"people"`
	Stations []Station      `json:"stations"`
	Jobs     []Job          `json:"jobs"`
	Tasks    []Task         `json:"tasks"`
	Links    []network.Link `json:"links"`
	// Previous is the plan that people know; a new plan keeps to it where that
	// costs no promise and no finish.
	Previous []Placement `json:"previous,omitempty"`
}

// Person is somebody who works by name.
type Person struct {
	ID     string   `json:"id"`
	Name   string   `json:"name,omitempty"`
	Skills []string `json:"skills"`
	// Calendar of the person, laid over the shop's; left out, the shop's.
	Calendar *calendar.Spec `json:"calendar,omitempty"`
}

// Station is a place that tasks occupy: a frame stand, a blast cabinet, a booth.
type Station struct {
	ID   string `json:"id"`
	Name string `json:"name,omitempty"`
	// Capacity is how many tasks, or units of them, it takes at once.
	Capacity int `json:"capacity"`
	// Calendar of the station, laid over the shop's; left out, the shop's.
	Calendar *calendar.Spec `json:"calendar,omitempty"`
}

// Job is one car.
type Job struct {
	ID   string `json:"id"`
	Name string `json:"name,omitempty"`
	// Promise is the instant by which the job's last task is to be finished.
	Promise *time.Time `json:"promise,omitempty"`
	// Weight is what a late minute of this job counts beside another's, 1 to 100;
	// left out, 1.
	Weight int `json:"weight,omitempty"`
}

// Task is a piece of work that is placed as a whole: with all its people and
// places from its start to its finish.
type Task struct {
	ID   string `json:"id"`
	Job  string `json:"job"`
	Name string `json:"name,omitempty"`
	// Duration in whole minutes of Kind. Working minutes pass while the shop and
	// everybody and every place that the task occupies are open.
	Duration calendar.Minutes `json:"minutes"`
	Kind     calendar.Kind    `json:"kind"`
	Crew     []Crew           `json:"crew,omitempty"`
	Places   []Place          `json:"places,omitempty"`
	// LongestBreak is the longest closed stretch, in elapsed minutes, that the
	// work may be left over; left out, it pauses whenever it has to. Zero: it is
	// done in one opening.
	LongestBreak *calendar.Minutes `json:"longest_break_minutes,omitempty"`
	// Interruptible: other work may come between; the places stay free meanwhile.
	Interruptible bool       `json:"interruptible,omitempty"`
	NotBefore     *time.Time `json:"not_before,omitempty"`
	FinishBy      *time.Time `json:"finish_by,omitempty"`
	// Pin is the start that somebody has decided on; what contradicts it is named.
	Pin *time.Time `json:"pin,omitempty"`
	// PinPeople are the people who shall do it, where somebody has decided so.
	PinPeople []string `json:"pin_people,omitempty"`

	// ActualStart and ActualFinish are what happened, up to Now.
	ActualStart  *time.Time `json:"actual_start,omitempty"`
	ActualFinish *time.Time `json:"actual_finish,omitempty"`
	// Remaining minutes of a task under way, from Now; beats Duration.
	Remaining *calendar.Minutes `json:"remaining_minutes,omitempty"`
	// On are the people who are on a task under way; they stay on it.
	On []string `json:"on,omitempty"`
}

// Crew is a number of people of one skill.
type Crew struct {
	Skill string `json:"skill"`
	Count int    `json:"count"`
}

// Place is a share of a station.
type Place struct {
	Station string `json:"station"`
	// Units of the station's capacity; left out, 1.
	Units int `json:"units,omitempty"`
}

// Effort says how long to search. The answer depends on Schedules and Seed
// alone, whatever the number of Workers, unless the search is cancelled.
type Effort struct {
	// Schedules is how many schedules may be generated, 1 to 10,000,000.
	Schedules int    `json:"schedules"`
	Seed      uint64 `json:"seed"`
	// Workers is how many processors may be used; left out, one.
	Workers int `json:"workers,omitempty"`
}
