package search

import (
	"context"
	"math"
)

// Effort says how long to search, see package doc.
type Effort struct {
	// Schedules is how many may be generated in all, at least 1. The generation
	// in which they run out is not begun again: what lies beyond is left out.
	Schedules float64
	// Aim is how many schedules the first round is laid out for; left out, Schedules.
	Aim float64
	// Seed of all chance.
	Seed uint64
	// Workers is how many decoders work side by side; left out, one.
	Workers int
}

// Outcome is what a search found.
type Outcome struct {
	// Best is the schedule of least cost, the first found among equals, on the
	// decoder's own line of time; for an activity without a place, nothing.
	Best *Schedule
	// Schedules generated; one left unfinished counts by the share that was placed.
	Schedules float64
	// Done: the effort was spent or the cost came down to Enough; false when the
	// context ended the search.
	Done bool
}

// Progress hears of the search after each generation.
type Progress func(schedules float64, best Cost)

// Run searches with decoders made by new, one for each worker, until the effort
// is spent, the cost is not above enough, or ctx ends. It returns the best
// schedule found so far in any case, which costs None where no order could be
// decoded; one sample is always tried. hear may be nil.
func Run(ctx context.Context, new func() Decoder, effort Effort, enough Cost, hear Progress) Outcome {
	if effort.Aim <= 0 {
		effort.Aim = effort.Schedules
	}
	s := newState(ctx, new, effort, enough)
	aim := effort.Aim
	for round := 0; !s.over(); round++ {
		s.round(round, aim, hear)
		aim *= 2
	}
	return Outcome{Best: s.best, Schedules: s.spent, Done: ctx.Err() == nil}
}

// lineages is how many lineages a round begins with that is laid out for aim
// schedules of size activities. Found by trying on published instances: of 120
// activities 43 for a thousand, 120 for five thousand, 520 for fifty thousand; of
// 30 activities three times as many.
func lineages(aim float64, size int) int {
	often := 120 * math.Pow(aim/5000, 0.64)
	return max(4, int(often*math.Pow(120/float64(max(1, size)), 0.8)))
}

// kept is how many lineages are left when a share of a round's schedules is spent.
func kept(first int, share float64) int {
	last := max(3, first/12)
	return max(last, int(float64(first)-float64(first-last)*share))
}

// round lays out a population and breeds it until its share of the effort is spent.
func (s *state) round(round int, aim float64, hear Progress) {
	from := s.spent
	s.begin(round, lineages(aim, s.size))
	for gen := 1; s.spent-from < aim && !s.over(); gen++ {
		s.shrink(kept(s.first, (s.spent-from)/aim))
		s.generation(gen)
		s.turn()
		if hear != nil {
			hear(s.spent, s.best.Cost)
		}
	}
}
