package network

import (
	"time"

	"bareframe/internal/calendar"
)

// State is how far a task has got by the data date.
type State string

// The states of a task.
const (
	NotStarted State = "not_started"
	InProgress State = "in_progress"
	Finished   State = "finished"
)

// Reason says what holds a task at its early start.
type Reason string

// The reasons. Where several hold at once, the first of this list is named.
const (
	ByActual    Reason = "actual"     // it has started
	ByLink      Reason = "link"       // a predecessor, see TaskResult.Driving
	ByNotBefore Reason = "not_before" // its own not-before date
	ByDataDate  Reason = "data_date"  // nothing can start in the past
	ByStart     Reason = "start"      // the start of the whole
)

// TaskResult is when one task can and must happen.
type TaskResult struct {
	ID string `json:"id"`
	// EarlyStart to LateFinish. For what has happened, early and late are the
	// actual dates.
	EarlyStart  time.Time `json:"early_start"`
	EarlyFinish time.Time `json:"early_finish"`
	LateStart   time.Time `json:"late_start"`
	LateFinish  time.Time `json:"late_finish"`
	// Resume is when what is left of a task under way goes on at the earliest;
	// nil unless State is InProgress.
	Resume *time.Time `json:"resume,omitempty"`
	// TotalFloat against the promise or else the finish, and every finish-by.
	// Negative when they cannot be kept. Minutes of the task's own kind; zero
	// once finished.
	TotalFloat calendar.Minutes `json:"total_float_minutes"`
	// FreeFloat is never negative. Minutes of the task's own kind; zero once
	// finished.
	FreeFloat calendar.Minutes `json:"free_float_minutes"`
	// Critical: one minute more moves the finish of the whole, whatever was
	// promised. False once finished.
	Critical bool `json:"critical"`
	// Driving names the incoming links that hold the task at its early dates
	// (for a task under way, that hold what is left of it), in input order.
	Driving []string `json:"driving,omitempty"`
	Reason  Reason   `json:"reason"`
	State   State    `json:"state"`
}

// Limit says which date a Shortfall is measured against.
type Limit string

// The limits that a network can miss.
const (
	LimitPromise  Limit = "promise"
	LimitFinishBy Limit = "finish_by"
)

// Shortfall is a date that cannot be kept, and why.
type Shortfall struct {
	Limit Limit `json:"limit"`
	// Task finishes too late: the one with the finish-by date, or the one that
	// finishes last.
	Task string `json:"task"`
	// Due is the date that was to be kept, Finish what the network gives.
	Due    time.Time `json:"due"`
	Finish time.Time `json:"finish"`
	// WorkingMinutes and ElapsedMinutes lie between Due and Finish. The first
	// is zero when only closed time lies between them.
	WorkingMinutes calendar.Minutes `json:"working_minutes"`
	ElapsedMinutes calendar.Minutes `json:"elapsed_minutes"`
	// Chain is the tasks that drive Task, first to last, Task included.
	Chain []string `json:"chain"`
	// Because is what holds the first task of Chain.
	Because Reason `json:"because"`
}

// LagOverrun is a maximum lag that what has already happened has broken, or
// will break: its first end lies in the past and cannot move.
type LagOverrun struct {
	Link string `json:"link"`
	From string `json:"from"`
	To   string `json:"to"`
	// Minutes over the maximum, of the link's kind.
	Minutes calendar.Minutes `json:"minutes"`
}

// Result is the calculated network. Instants are whole minutes.
type Result struct {
	// Start is the given start, or the first actual start if that is earlier.
	Start time.Time `json:"start"`
	// Finish is the latest early finish; Start when there are no tasks.
	Finish time.Time `json:"finish"`
	// WorkingMinutes and ElapsedMinutes lie between Start and Finish.
	WorkingMinutes calendar.Minutes `json:"working_minutes"`
	ElapsedMinutes calendar.Minutes `json:"elapsed_minutes"`
	// Tasks in input order.
	Tasks []TaskResult `json:"tasks"`
	// DrivingChain is the tasks joined by driving links that end in the task
	// that finishes last, first to last. Ties go to the lower task ID.
	DrivingChain []string `json:"driving_chain"`
	// Shortfalls are the promise and finish-by dates that cannot be kept: the
	// promise first, then by how much in elapsed time, then by task. At most
	// MaxShortfalls are spelled out; ShortfallCount counts all.
	Shortfalls     []Shortfall `json:"shortfalls,omitempty"`
	ShortfallCount int         `json:"shortfall_count"`
	// OutOfSequence names the links that the actual dates of their successor
	// went against, in input order.
	OutOfSequence []string `json:"out_of_sequence,omitempty"`
	// LagOverruns are maximum lags that progress has broken, in input order.
	LagOverruns []LagOverrun `json:"lag_overruns,omitempty"`
}

// MaxShortfalls is how many shortfalls a result spells out.
const MaxShortfalls = 20
