package project

import (
	"context"
	"math"

	"bareframe/internal/levelling/search"
)

// SolveLags schedules a project with minimum and maximum lags. Infeasible is shown
// by lags that contradict each other, by pairs that fit in neither order, or by a
// search that leaves nothing out; that search gets exactShare of the schedules,
// the population what is left. Errors as Solve.
func SolveLags(ctx context.Context, p *Project, effort search.Effort) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	const exactShare = 0.5
	forward, possible := pathsOf(p, false)
	if !possible || p.tooSmall() {
		return Result{Status: Infeasible}, nil
	}
	r := Result{Status: Open, Path: forward.length()}
	pairs := apart(p)
	if !forward.settle(pairs, p.Durations) {
		r.Status = Infeasible
		return r, nil
	}
	r.Bound = max(forward.length(), work(p, everything(p)))
	r.raise(forward, pairs, p)
	r.exactly(p, forward, pairs, horizonOf(p)+1, math.Ceil(exactShare*effort.Schedules))
	if r.Status == Infeasible || r.Optimal() || r.Schedules >= effort.Schedules {
		return r, nil
	}
	effort.Schedules -= r.Schedules
	r.breed(ctx, p, forward, effort)
	return r, nil
}

func everything(p *Project) []bool {
	all := make([]bool, len(p.Durations))
	for i := range all {
		all[i] = true
	}
	return all
}

// raise lifts the bound as long as pairs that fit in neither order show that
// nothing finishes by it (destructive improvement, Klein and Scholl 1999).
func (r *Result) raise(d *distances, pairs [][2]int32, p *Project) {
	const steps = 64
	for range steps {
		try := d.clone()
		if try.within(r.Bound) && try.settle(pairs, p.Durations) {
			return
		}
		r.Bound++
	}
}

// exactly searches the tree of all orders.
func (r *Result) exactly(p *Project, d *distances, pairs [][2]int32, below int32, nodes float64) {
	starts, spent, all := exhaust(p, d.clone(), pairs, below, nodes)
	r.Schedules += spent
	if starts != nil {
		r.Status, r.Starts, r.Makespan = Found, starts, makespan(p, starts)
	}
	switch {
	case all && starts != nil:
		r.Bound = r.Makespan
	case all:
		r.Status = Infeasible
	}
}

// breed searches by a population, and keeps what was found before unless it is beaten.
func (r *Result) breed(ctx context.Context, p *Project, forward *distances, effort search.Effort) {
	backward, _ := pathsOf(p, true)
	if !backward.settle(apart(p), p.Durations) {
		return // cannot be: the mirror of what settled settles
	}
	found := search.Run(ctx, func() search.Decoder { return newLagged(p, forward, backward) }, effort, search.Cost{0, int64(r.Bound)}, nil)
	r.Schedules += found.Schedules
	if found.Best.Cost[0] == 0 && (r.Starts == nil || int32(found.Best.Cost[1]) < r.Makespan) {
		r.Status, r.Starts, r.Makespan = Found, found.Best.Start, int32(found.Best.Cost[1])
	}
}

func makespan(p *Project, starts []int32) int32 {
	var end int32
	for i, s := range starts {
		end = max(end, s+p.Durations[i])
	}
	return end
}
