package project

import "bareframe/internal/levelling/search"

// sampler draws orders and schedules by a priority rule and chance.
type sampler struct {
	*frame
	open   []int32 // predecessors that are not placed
	ready  []int32
	fit    []int32
	chance []float64
	out    []int32
	busy   []int32
	board  *board
}

func newSampler(f *frame) *sampler {
	return &sampler{frame: f, open: make([]int32, len(f.duration)), board: newBoard(f.full, f.horizon)}
}

func (s *sampler) begin() {
	s.ready, s.out, s.busy = s.ready[:0], s.out[:0], s.busy[:0]
	for i := range s.ahead {
		s.open[i] = int32(len(s.ahead[i]))
		if s.open[i] == 0 {
			s.ready = append(s.ready, int32(i))
		}
	}
}

// place marks i as placed and makes ready what waited for it alone.
func (s *sampler) place(i int32) {
	s.out = append(s.out, i)
	for x, j := range s.ready {
		if j == i {
			s.ready[x] = s.ready[len(s.ready)-1]
			s.ready = s.ready[:len(s.ready)-1]
			break
		}
	}
	for _, j := range s.behind[i] {
		if s.open[j]--; s.open[j] == 0 {
			s.ready = append(s.ready, j)
		}
	}
}

// draw picks one of the candidates.
func (s *sampler) draw(src *search.Source, from []int32) int32 {
	least := int32(1 << 30)
	for _, i := range from {
		least = min(least, s.tail[i]-s.duration[i])
	}
	s.chance = s.chance[:0]
	total := 0.0
	for _, i := range from {
		c := float64(s.tail[i]-s.duration[i]-least) + 1
		total += c * c
		s.chance = append(s.chance, total)
	}
	at := src.Float() * total
	for x, c := range s.chance {
		if at < c {
			return from[x]
		}
	}
	return from[len(from)-1]
}

// order draws an order of all activities.
func (s *sampler) order(src *search.Source) []int32 {
	s.begin()
	for len(s.ready) > 0 {
		s.place(s.draw(src, s.ready))
	}
	return s.out
}

// parallel goes through time and starts what choose picks of what fits, until
// everything is placed or something starts too late to be finished by most. It
// returns how many activities it placed, and whether those are all.
func (s *sampler) parallel(choose func(fit []int32) int32, most int32, into *search.Schedule) (placed int, all bool) {
	s.begin()
	s.board.clear()
	n := len(s.duration)
	into.Cost = search.Cost{}
	for t := int32(0); len(s.out) < n; {
		next := s.look(t, into.Start)
		if len(s.fit) == 0 {
			t = min(next, s.nextFinish(t))
			continue
		}
		i := choose(s.fit)
		if t+s.tail[i] > most {
			return len(s.out) + 1, false
		}
		into.Start[i], into.Finish[i] = t, t+s.duration[i]
		s.board.take(t, s.duration[i], s.need[i])
		s.busy = append(s.busy, t+s.duration[i])
		into.Cost[0] = max(into.Cost[0], int64(t+s.duration[i]))
		s.place(i)
	}
	return n, true
}

// look fills fit with what can start at t, and returns when the arcs first let
// something else start.
func (s *sampler) look(t int32, start []int32) int32 {
	s.fit = s.fit[:0]
	next := int32(1 << 30)
	for _, i := range s.ready {
		from := s.from(i, start)
		if from > t {
			next = min(next, from)
		} else if s.board.earliest(t, s.duration[i], s.need[i]) == t {
			s.fit = append(s.fit, i)
		}
	}
	return next
}

// first picks what stands first in the order whose places are given.
func first(place, from []int32) int32 {
	best := from[0]
	for _, i := range from[1:] {
		if place[i] < place[best] {
			best = i
		}
	}
	return best
}

// from is when the arcs allow i to start.
func (s *sampler) from(i int32, start []int32) int32 {
	var t int32
	for x, q := range s.ahead[i] {
		t = max(t, start[q]+s.lag[i][x])
	}
	return t
}

// nextFinish is the first finish after t, and forgets those that have passed.
func (s *sampler) nextFinish(t int32) int32 {
	next, k := int32(1<<30), 0
	for _, f := range s.busy {
		if f > t {
			next = min(next, f)
			s.busy[k] = f
			k++
		}
	}
	s.busy = s.busy[:k]
	return next
}
