package domain

import (
	"fmt"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// JobState is where a job stands in its life.
type JobState string

// The states of a job.
const (
	Enquiry   JobState = "enquiry"
	Surveyed  JobState = "surveyed"
	Quoted    JobState = "quoted"
	Accepted  JobState = "accepted"
	InWork    JobState = "in_work"
	Finished  JobState = "finished"
	Closed    JobState = "closed"
	Declined  JobState = "declined"
	Cancelled JobState = "cancelled"
)

// Job is one car's restoration from first survey to close-out.
type Job struct {
	ID               ID
	Version          int // moves with every edit of the estimate or the head
	Number           int // counts up within the shop
	Title            string
	State            JobState
	ClientID         ID
	TemplateID       ID // empty for jobs from before it was kept
	TemplateName     string
	FrameName        string          // the layout that its zones were copied from; empty while there is none
	VehicleOptions   []VehicleOption // the template's choices, kept with the job
	Cautions         map[string]string
	Vehicle          Vehicle
	NotBefore        Day
	Promise          Day
	CreatedAt        time.Time
	AcceptedQuoteID  ID
	AuthorisedAmount decimal.Decimal
	Currency         string
	ExchangeRate     decimal.Decimal // units of Currency for one of the shop's own, fixed when the job was made; zero reads as 1
	RateOn           Day             // the day that rate is of; empty in the shop's own currency
	SheetID          ID              // the judging sheet; empty: none was chosen
	SheetVersion     int
	Weight           int    // how much a late day of this car matters on the floor, see OrdinaryWeight
	Finish           Finish // that the steel is brought to, where a zone has none of its own
	Ways             Ways   // by which method, where a zone has none of its own
}

// Vehicle is the car, with the options that change the work.
type Vehicle struct {
	Make    string            `json:"make"`
	Model   string            `json:"model"`
	Year    int               `json:"year"`
	Serial  string            `json:"serial"`
	Options map[string]string `json:"options"`
}

// Label returns year, make and model in one line.
func (v Vehicle) Label() string { return fmt.Sprintf("%d %s %s", v.Year, v.Make, v.Model) }

// moves lists what an owner may do by hand. Quoting, acceptance and the first
// hours move a job by themselves.
var moves = map[JobState][]JobState{
	Enquiry:  {Surveyed, Declined, Cancelled},
	Surveyed: {Declined, Cancelled},
	Quoted:   {Declined, Cancelled},
	Accepted: {Cancelled},
	InWork:   {Finished, Cancelled},
	Finished: {Closed},
}

// Moves returns the states that an owner may move the job to by hand.
func (j Job) Moves() []JobState { return slices.Clone(moves[j.State]) }

// Move changes the state by hand. It fails with Conflict when the job's life
// has no such step.
func (j *Job) Move(to JobState) error {
	if !slices.Contains(moves[j.State], to) {
		return fault.New(fault.Conflict, "job-state", "A job that is %s cannot become %s.", j.State, to)
	}
	j.State = to
	return nil
}

// Quotable reports whether a quote may be issued or decided on.
func (j Job) Quotable() bool {
	return j.State == Enquiry || j.State == Surveyed || j.State == Quoted
}

// Sold reports whether a quote was accepted, so that scope and price are fixed.
func (j Job) Sold() bool { return j.AcceptedQuoteID != "" }

// Workable reports whether hours may be logged.
func (j Job) Workable() bool { return j.State == Accepted || j.State == InWork }

// Over reports whether nothing more is seen, done or found on the job.
func (j Job) Over() bool { return j.State == Closed || j.State == Declined || j.State == Cancelled }

// Editable refuses edits of a job whose life is over.
func (j Job) Editable() error {
	switch j.State {
	case Finished, Closed, Declined, Cancelled:
		return fault.New(fault.Conflict, "job-not-editable", "A job that is %s is not edited any more.", j.State)
	}
	return nil
}
