package network

import "math"

const (
	never   = math.MinInt64 / 4 // below every lower bound
	forever = math.MaxInt64 / 4 // above every upper bound
)

// schedule is a plan laid on a ruler: its arrays hold clock minutes, one entry
// a task. Of a task under way, place is where what is left of it goes on and
// began its actual start; of a finished one place and end are its actual dates.
type schedule struct {
	*plan
	*ruler
	start, data int64 // data is never when there is no data date

	length []int64 // what is still to be placed, in the task's own time
	began  []spot  // actual starts; empty when nothing has started
	early  []pair  // earliest place and its finish
	finish int64   // of the whole

	late     []pair  // latest place and its finish
	toFinish []pair  // the same against the finish; late itself when nothing else was asked
	free     []int64 // how far each may slip in its own time and move nothing else
}

// newSchedule reads the dates and durations of in. O(tasks).
func newSchedule(p *plan, r *ruler, in *Input) *schedule {
	n := len(p.tasks)
	s := &schedule{plan: p, ruler: r, start: r.minuteFrom(in.Start), data: never,
		length: make([]int64, n), early: make([]pair, n)}
	if in.DataDate != nil {
		s.data = r.minuteFrom(*in.DataDate)
	}
	for i := range p.tasks {
		p.traits[i] &^= onClock
		s.length[i] = int64(p.tasks[i].Duration)
		if p.traits[i]&started != 0 {
			s.readProgress(i)
		}
		if s.length[i] == 0 || p.traits[i]&elapsed != 0 {
			p.traits[i] |= onClock
		}
	}
	return s
}

// readProgress fixes what has happened to task i and what is left of it.
func (s *schedule) readProgress(i int) {
	if s.began == nil {
		s.began = make([]spot, len(s.tasks))
	}
	t := &s.tasks[i]
	s.began[i] = s.spot(s.minute(*t.ActualStart))
	switch {
	case s.traits[i]&finished != 0:
		s.early[i] = pair{s.began[i], s.spot(s.minute(*t.ActualFinish))}
		s.length[i] = 0
	case t.Remaining != nil:
		s.length[i] = int64(*t.Remaining)
	default:
		done := int64(between(s.began[i], s.spot(s.data), s.traits[i]&elapsed != 0))
		s.length[i] = max(0, s.length[i]-done)
	}
}

// floorOf is the earliest instant that dates alone allow for task i.
func (s *schedule) floorOf(i int32) int64 {
	if s.traits[i]&started != 0 {
		return s.data
	}
	low := max(s.start, s.data)
	if nb := s.tasks[i].NotBefore; nb != nil {
		low = max(low, s.minuteFrom(*nb))
	}
	return low
}

// forward finds the earliest place of every task. Without maximum lags one pass
// in topological order does: O(tasks + links), and a few readings of the ruler a
// task (logarithmic in the length of the calendar).
func (s *schedule) forward() error {
	if s.bounds > 0 {
		if err := s.settle(); err != nil {
			return err
		}
	} else {
		s.sweep()
	}
	s.finish = s.start
	for i := range s.early {
		s.finish = max(s.finish, s.early[i][1].at)
	}
	return nil
}

// sweep is forward without maximum lags. Until a task is placed, its entry of
// early gathers the bounds on it.
func (s *schedule) sweep() {
	for i := range s.early {
		if s.traits[i]&finished == 0 {
			s.early[i] = s.lowest(int32(i))
		}
	}
	for _, i := range s.order {
		if s.traits[i]&finished == 0 {
			s.early[i] = s.earliestPlace(i, s.early[i])
		}
		near := s.leaving(i)
		for _, a := range s.arcs[s.first[i]:s.first[i+1]] {
			if a.code&moot != 0 {
				continue
			}
			from, low := near[a.code.from()], &s.early[a.to][a.code.end()]
			if a.code&inWork != 0 {
				low.worked = max(low.worked, from.worked+int64(a.lag))
			} else {
				low.at = max(low.at, from.at+int64(a.lag))
			}
		}
	}
}

// from and end say which end of its task an arc leaves and which it bounds: 0
// the start, 1 the finish.
func (c arcCode) from() int { return int(c & 1) }
func (c arcCode) end() int  { return int(c >> 1 & 1) }

// noLater and noEarlier bound nothing.
var (
	noLater   = spot{forever, forever}
	noEarlier = spot{never, never}
)

// lowest are the bounds that dates alone put on task i.
func (s *schedule) lowest(i int32) pair {
	return pair{{s.floorOf(i), never}, noEarlier}
}

// asks is the instant that an arc with the given near end asks its far end not
// to be before. A lag of nothing means the same instant; a maximum of nothing,
// no time of its kind between.
func (s *schedule) asks(near spot, a arc) int64 {
	return s.after(near, int64(a.lag), a.code&inWork == 0)
}

// leaving are the instants at which arcs leave the ends of task i.
func (s *schedule) leaving(i int32) pair {
	near := s.early[i]
	if s.traits[i]&started != 0 {
		near[0] = s.began[i]
	}
	return near
}

// onClockFrom places task i at an instant of the clock.
func (s *schedule) onClockFrom(i int32, m int64) pair {
	place := s.spot(s.within(m))
	if s.length[i] == 0 {
		return pair{place, place}
	}
	return pair{place, s.spot(s.within(m + s.length[i]))}
}

// atWork places task i where w working minutes have passed.
func (s *schedule) atWork(i int32, w int64) pair {
	d := s.length[i]
	return pair{{s.latest(w), w}, {s.earliest(w + d), w + d}}
}

// earliestPlace is the first place of task i whose ends are no earlier than low,
// which bounds at least one of them.
func (s *schedule) earliestPlace(i int32, low pair) pair {
	d := s.length[i]
	if s.traits[i]&onClock != 0 {
		for e := range low {
			if low[e].worked > never {
				low[e].at = max(low[e].at, s.earliest(low[e].worked))
			}
		}
		return s.onClockFrom(i, max(low[0].at, low[1].at-d))
	}
	w := max(low[0].worked, low[1].worked-d)
	if low[0].at > never {
		w = max(w, s.worked(low[0].at))
	}
	if low[1].at > never {
		w = max(w, s.firstEnd(low[1].at)-d)
	}
	return s.atWork(i, w)
}
