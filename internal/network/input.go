package network

import (
	"time"

	"bareframe/internal/calendar"
)

// LinkType says which end of the one task holds which end of the other.
type LinkType string

// The four kinds of precedence.
const (
	FS LinkType = "FS" // finish to start
	SS LinkType = "SS" // start to start
	FF LinkType = "FF" // finish to finish
	SF LinkType = "SF" // start to finish
)

// Task is one activity of the network.
type Task struct {
	// ID is unique within the network and not empty.
	ID   string `json:"id"`
	Name string `json:"name,omitempty"`
	// Duration in whole minutes of Kind; zero is a milestone.
	Duration calendar.Minutes `json:"minutes"`
	// Kind of Duration, and of the task's floats. Left out: working.
	Kind calendar.Kind `json:"kind"`
	// NotBefore is the earliest start; it says nothing once the task has started.
	NotBefore *time.Time `json:"not_before,omitempty"`
	// FinishBy is the latest finish wanted; missing it makes float negative.
	FinishBy *time.Time `json:"finish_by,omitempty"`
	// ActualStart and ActualFinish are what happened, up to the data date.
	ActualStart  *time.Time `json:"actual_start,omitempty"`
	ActualFinish *time.Time `json:"actual_finish,omitempty"`
	// Remaining is what is left of a task under way, in minutes of Kind, counted
	// from the data date. It beats Duration between start and finish and is
	// ignored before and after.
	Remaining *calendar.Minutes `json:"remaining_minutes,omitempty"`
}

// Link is a precedence between two tasks.
type Link struct {
	// ID names the link in results; without one it is called by its place in
	// the input, "#1" for the first.
	ID   string `json:"id,omitempty"`
	From string `json:"from"`
	To   string `json:"to"`
	// Type left out is FS.
	Type LinkType `json:"type"`
	// Lag is the least time between the two ends in minutes of LagKind;
	// negative is a lead.
	Lag calendar.Minutes `json:"lag_minutes"`
	// LagKind left out is working.
	LagKind calendar.Kind `json:"lag_kind"`
	// MaxLag is the most time between the two ends, in minutes of LagKind.
	MaxLag *calendar.Minutes `json:"max_lag_minutes,omitempty"`
}

// Input is a network with the dates that hold for the whole.
type Input struct {
	// Calendar of working time; left out, the shop works round the clock.
	Calendar *calendar.Spec `json:"calendar,omitempty"`
	// Start is the earliest start of any task that has not started.
	Start time.Time `json:"start"`
	// DataDate is the instant up to which progress is known. It must be given
	// when any task carries an actual date.
	DataDate *time.Time `json:"data_date,omitempty"`
	// Promise, when given, is what late dates and floats are measured against.
	Promise *time.Time `json:"promise,omitempty"`
	Tasks   []Task     `json:"tasks"`
	Links   []Link     `json:"links"`
}
