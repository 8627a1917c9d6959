package calendar

import (
	"time"

	"bareframe/internal/fault"
)

const (
	// MaxDuration bounds the durations that Calculate takes, either way: ten
	// years, day and night.
	MaxDuration Minutes = 10 * 366 * minutesPerDay
	// MaxOpen is the number of stretches that a Result lists.
	MaxOpen = 500
)

// Input asks when a duration that starts at Start is over.
type Input struct {
	Calendar Spec      `json:"calendar"`
	Start    time.Time `json:"start"`
	// Duration is negative to reckon backward from Start.
	Duration Minutes `json:"minutes"`
	Kind     Kind    `json:"kind"`
}

// Result says when, and what passed meanwhile.
type Result struct {
	// Finish is on the shop's clock. For a negative duration it is the start
	// of the work and lies before Input.Start.
	Finish time.Time `json:"finish"`
	// Working and Elapsed pass from Start to Finish, rounded toward zero, and
	// have the sign of the duration.
	Working Minutes `json:"working_minutes"`
	Elapsed Minutes `json:"elapsed_minutes"`
	// Open lists the first MaxOpen open stretches between Start and Finish.
	Open []Span `json:"open"`
	// OpenLeftOut is the number of further stretches that Open does not list.
	OpenLeftOut int `json:"open_left_out"`
}

// Calculate answers an Input by itself. It returns fault.Invalid, with all
// faults named at once, for a bad calendar, a start or a finish outside Limits,
// a duration beyond MaxDuration either way, or an unknown kind.
func Calculate(in Input) (Result, error) {
	var faults fault.Collector
	c := read(&faults, "/calendar", in.Calendar)
	checkInstant(&faults, "/start", in.Start)
	if in.Duration > MaxDuration || in.Duration < -MaxDuration {
		faults.Add("/minutes", "a duration must lie within %d minutes (ten years) either way", MaxDuration)
	}
	if in.Kind != Working && in.Kind != Elapsed {
		faults.Add("/kind", "the kind must be %q or %q", Working, Elapsed)
	}
	if err := faults.Err("calendar-invalid"); err != nil {
		return Result{}, err
	}
	if err := c.everOpen("/calendar"); err != nil {
		return Result{}, err
	}
	finish := in.Start.Add(time.Duration(in.Duration) * time.Minute)
	if in.Kind == Working {
		finish = c.Add(in.Start, in.Duration)
	}
	return c.result(in.Start, finish)
}

// result describes the time from start to finish.
func (c *Calendar) result(start, finish time.Time) (Result, error) {
	if lo, hi := Limits(); !finish.After(lo) || !finish.Before(hi) {
		return Result{}, fault.InvalidField("calendar-out-of-range", "/minutes",
			"the result lies outside the years %d to %d", firstYear, lastYear)
	}
	r := Result{
		Finish:  finish.In(c.loc),
		Working: c.Between(start, finish),
		Elapsed: Minutes(finish.Sub(start) / time.Minute),
	}
	from, to := start, finish
	if to.Before(from) {
		from, to = to, from
	}
	r.Open = c.OpenIntervals(from, to)
	if n := len(r.Open); n > MaxOpen {
		r.Open, r.OpenLeftOut = r.Open[:MaxOpen:MaxOpen], n-MaxOpen
	}
	if r.Open == nil {
		r.Open = []Span{}
	}
	return r, nil
}
