package domain

import (
	"encoding/json"
	"time"
)

// PlanState says whether a plan of the shop holds.
type PlanState string

// The states of a plan. The newest agreed one is the shop's.
const (
	PlanProposed PlanState = "proposed"
	PlanAgreed   PlanState = "agreed"
	PlanDropped  PlanState = "dropped"
)

// ShopPlan is a plan of all the shop's jobs together, kept as it was made.
type ShopPlan struct {
	ID        ID
	Revision  int // counts up within the shop
	MadeAt    time.Time
	MadeBy    string
	Cause     string // why it was made, in a sentence
	Facts     string // sum over what it was made from; see App.Floor
	Seed      uint64
	Schedules int    // generated
	Status    string // of the search
	Late      int64  // weighted minutes after promises
	Bound     int64  // that no plan can be below
	Body      json.RawMessage
	State     PlanState
	DecidedAt *time.Time
	DecidedBy string
}

// HoldsSince is when a plan was agreed to, before that when it was made.
func (p ShopPlan) HoldsSince() time.Time {
	if p.DecidedAt != nil {
		return *p.DecidedAt
	}
	return p.MadeAt
}

// FloorPin is a start that somebody decided on, and by whom the task is done.
type FloorPin struct {
	TaskID ID
	JobID  ID
	Start  time.Time
	People []ID // empty: whoever can
	ByName string
	At     time.Time
}

// FloorTrial is what would become of the promises if something were otherwise.
type FloorTrial struct {
	ID      ID
	Name    string // empty until it is saved
	PlanID  ID     // that it is compared with
	Facts   string
	Changes json.RawMessage
	Body    json.RawMessage
	MadeAt  time.Time
	MadeBy  string
}

// RunState says where the making of a plan stands.
type RunState string

// The states of a run.
const (
	RunWaiting   RunState = "waiting"
	RunRunning   RunState = "running"
	RunDone      RunState = "done"
	RunCancelled RunState = "cancelled"
	RunFailed    RunState = "failed"
)

// FloorRun is the last or present making of a shop's plan.
type FloorRun struct {
	State        RunState
	Number       int // counts up, so that a run that was taken over knows it
	Cause        string
	ByID         ID // empty: the shop's own rule
	ByName       string
	AskedAt      time.Time
	ClaimedUntil *time.Time
	EndedAt      *time.Time
	Cancel       bool // somebody asked for it
	Schedules    int
	OfSchedules  int
	Late         int64  // of the best plan so far
	Facts        string // that it was made from
	Note         string // how it ended
}

// Making reports whether a plan is being made or about to be.
func (r FloorRun) Making() bool { return r.State == RunWaiting || r.State == RunRunning }
