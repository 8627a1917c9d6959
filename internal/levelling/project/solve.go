package project

import (
	"context"
	"math"

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
	r.Status, r.Makespan = Found, 1<<30
	if !fitsBeam(p) {
		r.bred(ctx, forward, backward, effort)
		return r, nil
	}
	r.inTurn(ctx, p, [2]*frame{forward, backward}, effort)
	return r, nil
}

// bred takes what the population finds, where it is better.
func (r *Result) bred(ctx context.Context, forward, backward *frame, effort search.Effort) {
	found := search.Run(ctx, func() search.Decoder { return newGenerator(forward, backward) }, effort, search.Cost{int64(r.Bound)}, nil)
	r.Schedules += found.Schedules
	if end := int32(found.Best.Cost[0]); end < r.Makespan {
		r.Starts, r.Makespan = found.Best.Start, end
	}
}

// Widths of the beam, in states: what it begins with and what it never passes.
const narrowest, widest = 100, 1 << 16

// inTurn lets the population search, then beams forward and backward that grow wider,
// and so on in turn, each time for twice as long. The sequence does not depend on
// how much effort there is, only its end does, so more is never worse.
func (r *Result) inTurn(ctx context.Context, p *Project, frames [2]*frame, effort search.Effort) {
	aim := effort.Aim
	if aim <= 0 {
		aim = effort.Schedules
	}
	beams := [2]*beam{newBeam(p, frames[0]), newBeam(p, frames[1])}
	width := narrowest
	for turn := uint64(0); r.Schedules < effort.Schedules && !r.Optimal() && (ctx.Err() == nil || turn == 0); turn++ {
		round, part := effort, shareOfPopulation(len(p.Durations), aim)
		round.Aim = max(1, part*aim)
		round.Schedules = min(round.Aim, effort.Schedules-r.Schedules)
		round.Seed += turn * 0x632be59bd9b4e019
		r.bred(ctx, frames[0], frames[1], round)
		until := min(effort.Schedules, r.Schedules+(1-part)*aim)
		for k := 0; width <= widest && r.Schedules < until && !r.Optimal() && ctx.Err() == nil; k++ {
			r.beamed(ctx, p, beams[k%2], k%2 == 1, width, (until-r.Schedules)*float64(len(p.Durations)))
			width += width * (k % 2)
		}
		aim *= 2
	}
}

// shareOfPopulation is what the population gets of aim schedules. With more activities
// the sets grow too many for a narrow beam: the population gets a fifth of it
// with 32, four fifths with 62, and all where aim is below a thousand, doubled for
// each 14 activities more (found by trying on instances made for it).
func shareOfPopulation(activities int, aim float64) float64 {
	more := float64(activities - 32)
	if aim < 1000*math.Pow(2, more/14) {
		return 1
	}
	return min(0.8, max(0.2, 0.2+0.02*more))
}

// beamed takes what one pass of a beam finds or shows.
func (r *Result) beamed(ctx context.Context, p *Project, b *beam, backward bool, width int, limit float64) {
	starts, placed, all := b.pass(ctx, r.Makespan-1, width, limit)
	r.Schedules += max(1, placed) / float64(len(p.Durations))
	switch {
	case starts != nil:
		end := makespan(p, starts)
		if backward {
			for i := range starts {
				starts[i] = end - starts[i] - p.Durations[i]
			}
		}
		r.Starts, r.Makespan = starts, end
	case all:
		r.Bound = r.Makespan
	}
}
