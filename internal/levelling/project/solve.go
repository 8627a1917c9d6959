package project

import (
	"context"

	"bareframe/internal/levelling/search"
)

// Status is what a search has shown.
type Status string

// The statuses.
const (
	Found      Status = "found"      // a schedule; see Result.Optimal
	Infeasible Status = "infeasible" // there is none, and that was shown
	Open       Status = "open"       // none was found and none was excluded
)

// Result is a schedule and what was shown about it.
type Result struct {
	Status   Status
	Starts   []int32 // nil without a schedule
	Makespan int32
	// Bound is a makespan that no schedule is below: the longest path, and the
	// work on each resource divided by its capacity.
	Bound int32
	// Path is the longest path through the arcs, resources left out.
	Path int32
	// Schedules generated, see package doc.
	Schedules float64
}

// Optimal reports whether the makespan is shown to be the least.
func (r Result) Optimal() bool { return r.Status == Found && r.Makespan == r.Bound }

// Solve schedules a project without maximum lags: every lag of its arcs is at
// least zero. It returns fault.Invalid for an instance that is not one
// ("project-invalid"); arcs in a circle, or needs beyond a capacity, make it Infeasible. The answer depends on effort alone unless ctx ends first.
func Solve(ctx context.Context, p *Project, effort search.Effort) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	for _, a := range p.Arcs {
		if a.Lag < 0 {
			return Result{}, invalid("Activity %d follows activity %d by a negative lag, which is a maximum lag; this scheme knows none.", a.To, a.From)
		}
	}
	forward, sound := lay(p, false)
	if !sound || p.tooSmall() {
		return Result{Status: Infeasible}, nil
	}
	backward, _ := lay(p, true)
	r := Result{Path: forward.path, Bound: max(forward.path, work(p, everything(p)))}
	for i := range forward.tail {
		r.Bound = max(r.Bound, forward.tail[i], backward.tail[i])
	}
	found := search.Run(ctx, func() search.Decoder { return newSerial(forward, backward) }, effort, search.Cost{int64(r.Bound)}, nil)
	r.Status, r.Starts, r.Makespan, r.Schedules = Found, found.Best.Start, int32(found.Best.Cost[0]), found.Schedules
	return r, nil
}
