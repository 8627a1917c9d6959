package project

import "bareframe/internal/levelling/search"

// serial is the serial scheme in one direction of time, a search.Decoder for
// projects without maximum lags. Its cost is the makespan.
type serial struct {
	*frame
	board  *board
	mirror *serial
	sample *sampler
}

// newSerial returns the decoder of a project, forward.
func newSerial(forward, backward *frame) *serial {
	one := &serial{frame: forward, board: newBoard(forward.full, forward.horizon)}
	two := &serial{frame: backward, board: newBoard(backward.full, backward.horizon), mirror: one}
	one.mirror = two
	one.sample = newSampler(forward)
	return one
}

func (s *serial) Size() int              { return len(s.duration) }
func (s *serial) Ahead(i int32) []int32  { return s.ahead[i] }
func (s *serial) Weight(i int32) float64 { return s.weight[i] }
func (s *serial) Mirror() search.Decoder { return s.mirror }

// Decode places the activities in order. It gives up as soon as an activity
// starts too late for the work behind it.
func (s *serial) Decode(order []int32, limit search.Cost, into *search.Schedule) (int, bool) {
	s.board.clear()
	most := int32(min(limit[0], 1<<30))
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
		return s.sample.parallel(src, into)
	}
	order := s.sample.order(src)
	placed, _ := s.Decode(order, search.None, into)
	return placed
}
