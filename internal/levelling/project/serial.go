package project

import "bareframe/internal/levelling/search"

// serial is the serial scheme in one direction of time, a search.Decoder for
// projects without maximum lags. Its cost is the makespan.
type serial struct {
	*frame
	board  *board
	mirror *serial
	sample *sampler
	place  []int32 // of each activity in an order
}

// newSerial returns the decoder of a project, forward.
func newSerial(forward, backward *frame) *serial {
	one, two := newScheme(forward), newScheme(backward)
	one.mirror, two.mirror = two, one
	return one
}

func newScheme(f *frame) *serial {
	return &serial{frame: f, board: newBoard(f.full, f.horizon), sample: newSampler(f), place: make([]int32, len(f.duration))}
}

func (s *serial) Size() int              { return len(s.duration) }
func (s *serial) Ahead(i int32) []int32  { return s.ahead[i] }
func (s *serial) Weight(i int32) float64 { return s.weight[i] }
func (s *serial) Mirror() search.Decoder { return s.mirror }

// Decode places the activities in order. It gives up as soon as an activity
// starts too late for the work behind it.
// Of eight orders one, chosen by a sum over its beginning, goes through the parallel
// scheme instead, which packs closer and keeps the population apart.
func (s *serial) Decode(order []int32, limit search.Cost, into *search.Schedule) (int, bool) {
	most := int32(min(limit[0], 1<<30))
	if s.takesParallel(order) {
		for h, i := range order {
			s.place[i] = int32(h)
		}
		return s.sample.parallel(func(fit []int32) int32 { return first(s.place, fit) }, most, into)
	}
	s.board.clear()
	start, finish := into.Start, into.Finish
	var end int32
	for h, i := range order {
		var t int32
		lag := s.lag[i]
		for x, q := range s.ahead[i] {
			t = max(t, start[q]+lag[x])
		}
		d, need := s.duration[i], s.need[i]
		t = s.board.earliest(t, d, need)
		if t+s.tail[i] > most {
			return h + 1, false
		}
		start[i], finish[i] = t, t+d
		s.board.take(t, d, need)
		end = max(end, t+d)
	}
	into.Cost = search.Cost{int64(end)}
	return len(order), true
}

// Sample makes a schedule by chance, weighed by how late an activity may start:
// with the parallel scheme when k is even, else with the serial one. The
// chance of each is the square of its latest start's distance from the latest
// among the candidates (regret based biased random sampling, Drexl 1991, Kolisch 1995).
func (s *serial) Sample(src *search.Source, k int, into *search.Schedule) int {
	if k%2 == 0 {
		placed, _ := s.sample.parallel(func(fit []int32) int32 { return s.sample.draw(src, fit) }, 1<<30, into)
		return placed
	}
	placed, _ := s.Decode(s.sample.order(src), search.None, into)
	return placed
}

// takesParallel reports whether an order goes through the parallel scheme.
func (s *serial) takesParallel(order []int32) bool {
	const beginning, share = 20, 8
	sum := uint64(14695981039346656037) // FNV-1a
	for _, i := range order[:min(beginning, len(order))] {
		sum = (sum ^ uint64(i)) * 1099511628211
	}
	return sum>>33%share == 0
}
