package levelling

import (
	"time"

	"bareframe/internal/calendar"
)

// Placement is when a task is done, where, and by whom.
type Placement struct {
	Task   string    `json:"task"`
	Start  time.Time `json:"start"`
	Finish time.Time `json:"finish"`
	// People by ID, in the order of the task's crew.
	People []string `json:"people,omitempty"`
	// Pieces are the stretches in which an interrupted task is worked; left out
	// where it runs from start to finish and pauses only while closed.
	Pieces []calendar.Span `json:"pieces,omitempty"`
}

// Status says what the search has shown.
type Status string

// The statuses.
const (
	Optimal   Status = "optimal"   // no plan has less weighted lateness, and none with the same finishes earlier
	Feasible  Status = "feasible"  // every rule holds; better plans may exist
	Partial   Status = "partial"   // some tasks could not be placed, see Unplaced
	Cancelled Status = "cancelled" // feasible, stopped before its effort was spent
)

// Result is a plan for the shop.
type Result struct {
	Status Status `json:"status"`
	// Tasks in input order; finished tasks as they happened, unplaced ones left out.
	Tasks []Placement `json:"tasks"`
	Jobs  []JobResult `json:"jobs"`
	// Unplaced names the tasks that no plan can hold, and why.
	Unplaced []Unplaced `json:"unplaced,omitempty"`
	Cost     Cost       `json:"cost"`
	// Bound is a cost that no plan can be below.
	Bound Cost `json:"bound"`
	// Schedules is how many were generated; a schedule that was left unfinished
	// counts by the share of its tasks that were placed.
	Schedules float64 `json:"schedules"`
}

// Cost is what is made small, first things first.
type Cost struct {
	// Late is the sum over the jobs of weight × minutes after the promise, and of
	// minutes after each finish-by date.
	Late int64 `json:"late_weighted_minutes"`
	// Finish is the sum over the jobs of weight × minutes from Now to their finish:
	// what is finished earlier frees the shop.
	Finish int64 `json:"finish_weighted_minutes"`
	// Changes is how many tasks have other people or start on another working day
	// than in the previous plan.
	Changes int64 `json:"changes"`
}

// JobResult is what the plan means for one job.
type JobResult struct {
	Job    string    `json:"job"`
	Finish time.Time `json:"finish"`
	// LateMinutes after the promise, elapsed; zero when kept or none is given.
	LateMinutes calendar.Minutes `json:"late_minutes"`
	// EarliestFinish is the finish if the job had the whole shop for itself with
	// calendars, dates and links as they are.
	EarliestFinish time.Time `json:"earliest_finish"`
	// Chain is what drives the finish, first to last: each task with what it waited for.
	Chain []string `json:"chain"`
	// Lost is the time that the tasks of Chain waited for each queue, largest first.
	Lost []Queue `json:"lost,omitempty"`
}

// Queue is waiting for one station or skill.
type Queue struct {
	Station string           `json:"station,omitempty"`
	Skill   string           `json:"skill,omitempty"`
	Minutes calendar.Minutes `json:"working_minutes"` // of the shop
}

// Why is what a task waited for at the start that it has.
type Why struct {
	Task  string `json:"task"`
	Cause Cause  `json:"cause"`
	// Link and From where a link holds it; Station or Skill, and By the tasks that
	// occupy it until then, where a queue does.
	Link    string   `json:"link,omitempty"`
	From    string   `json:"from,omitempty"`
	Station string   `json:"station,omitempty"`
	Skill   string   `json:"skill,omitempty"`
	By      []string `json:"by,omitempty"`
	// Ready is when links and dates alone would have let it start.
	Ready time.Time `json:"ready"`
	// Waited is the shop's working minutes from Ready to the start.
	Waited calendar.Minutes `json:"waited_minutes"`
}

// Cause says what kind of thing holds a task.
type Cause string

// The causes, in the order in which they are named where several hold.
const (
	ByActual   Cause = "actual"     // it has started
	ByPin      Cause = "pin"        // somebody decided so
	ByQueue    Cause = "queue"      // a station or people are busy with other tasks
	ByCalendar Cause = "calendar"   // who or what it needs is not there: closed, ill, away
	ByLink     Cause = "link"       // a predecessor
	ByDate     Cause = "not_before" // its own not-before date
	ByNow      Cause = "now"        // nothing can start in the past
	ByUnbroken Cause = "unbroken"   // it waits so that a later task of a maximum lag can follow in time
)

// Unplaced is a task that no plan can hold.
type Unplaced struct {
	Task string `json:"task"`
	// Code: nobody-has-skill, too-few-people, station-too-small, station-unknown,
	// calendars-never-meet, opening-too-short, max-lag-cannot-hold, cycle, pin-contradicts,
	// waits-for-unplaced, beyond-horizon.
	Code   string `json:"code"`
	Detail string `json:"detail"` // a sentence that a person can act on
	// Tasks and Links are the evidence.
	Tasks []string `json:"tasks,omitempty"`
	Links []string `json:"links,omitempty"`
}
