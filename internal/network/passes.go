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

	length     []int64 // what is still to be placed, in the task's own time
	began      []int64 // actual starts; empty when nothing has started
	early, end []spot  // earliest place and its finish
	bound      []int64 // by arc: what it asked of its successor
	finish     int64   // of the whole

	lateStart, lateEnd []spot
	free               []spot // latest place that moves nothing else
	toFinish           []spot // latest place against the finish; lateStart when nothing else was asked
}

// newSchedule reads the dates and durations of in. O(tasks).
func newSchedule(p *plan, r *ruler, in *Input) *schedule {
	n := len(p.tasks)
	s := &schedule{plan: p, ruler: r, start: r.minuteFrom(in.Start), data: never,
		length: make([]int64, n), early: make([]spot, n), end: make([]spot, n),
		bound: make([]int64, len(p.arcs))}
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
		s.began = make([]int64, len(s.tasks))
	}
	t := &s.tasks[i]
	s.began[i] = s.minute(*t.ActualStart)
	switch {
	case s.traits[i]&finished != 0:
		s.early[i], s.end[i] = s.spot(s.began[i]), s.spot(s.minute(*t.ActualFinish))
		s.length[i] = 0
	case t.Remaining != nil:
		s.length[i] = int64(*t.Remaining)
	default:
		done := int64(between(s.spot(s.began[i]), s.spot(s.data), s.traits[i]&elapsed != 0))
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
// in topological order does: O(tasks + links), each with one reading of the
// ruler (logarithmic in the length of the calendar).
func (s *schedule) forward() error {
	if s.bounds > 0 {
		if err := s.settle(); err != nil {
			return err
		}
	} else {
		s.sweep()
	}
	s.finish = s.start
	for i := range s.end {
		s.finish = max(s.finish, s.end[i].at)
	}
	return nil
}

// sweep is forward without maximum lags.
func (s *schedule) sweep() {
	lows := make([][2]int64, len(s.tasks)) // bounds on start and finish
	for i := range lows {
		lows[i] = [2]int64{s.floorOf(int32(i)), never}
	}
	for _, i := range s.order {
		if s.traits[i]&finished == 0 {
			s.early[i], s.end[i] = s.earliestPlace(i, lows[i][0], lows[i][1])
		}
		for k := s.first[i]; k < s.first[i+1]; k++ {
			a := s.arcs[k]
			s.bound[k] = s.asks(i, a)
			b := &lows[a.to][a.code.end()]
			*b = max(*b, s.bound[k])
		}
	}
}

// end says which end of its task an arc bounds: 0 the start, 1 the finish.
func (c arcCode) end() int { return int(c >> 1 & 1) }

// asks is the instant that an arc out of task i asks its far end not to be
// before. A lag of nothing means the same instant; a maximum of nothing, no
// time of its kind between.
func (s *schedule) asks(i int32, a arc) int64 {
	near := s.leaving(i, a.code)
	if a.lag == 0 && a.code&back == 0 {
		return near.at
	}
	return s.after(near, int64(a.lag), a.code&lagElapsed != 0)
}

// leaving is the instant at the near end of an arc out of task i.
func (s *schedule) leaving(i int32, c arcCode) spot {
	switch {
	case c&fromFinish != 0:
		return s.end[i]
	case s.traits[i]&started != 0:
		return s.spot(s.began[i])
	default:
		return s.early[i]
	}
}

// onClockFrom places task i at an instant of the clock.
func (s *schedule) onClockFrom(i int32, m int64) (place, end spot) {
	place = s.spot(s.within(m))
	if s.length[i] == 0 {
		return place, place
	}
	return place, s.spot(s.within(m + s.length[i]))
}

// atWork places task i where w working minutes have passed.
func (s *schedule) atWork(i int32, w int64) (place, end spot) {
	d := s.length[i]
	return spot{s.latest(w), w}, spot{s.earliest(w + d), w + d}
}

// earliestPlace is the first place of task i that starts no earlier than
// lowStart and finishes no earlier than lowEnd, and its finish.
func (s *schedule) earliestPlace(i int32, lowStart, lowEnd int64) (place, end spot) {
	d := s.length[i]
	if s.traits[i]&onClock != 0 {
		return s.onClockFrom(i, max(lowStart, lowEnd-d))
	}
	place = s.spot(s.open(lowStart))
	end = spot{s.earliest(place.worked + d), place.worked + d}
	if end.at >= lowEnd {
		return place, end
	}
	return s.endingAt(i, lowEnd)
}

// endingAt is the first place of a working task that finishes no earlier than
// lowEnd.
func (s *schedule) endingAt(i int32, lowEnd int64) (place, end spot) {
	w := s.worked(lowEnd)
	if s.earliest(w) < lowEnd { // closed: it must work at least a minute after
		w++
	}
	return s.atWork(i, w-s.length[i])
}

// latestPlace is the last place of task i that starts no later than highStart
// and finishes no later than highEnd, and its finish.
func (s *schedule) latestPlace(i int32, highStart, highEnd int64) (place, end spot) {
	d := s.length[i]
	if s.traits[i]&onClock != 0 {
		return s.onClockFrom(i, min(highStart, highEnd-d))
	}
	w := s.worked(highEnd) - d
	if highStart < forever {
		v := s.worked(highStart)
		if s.open(highStart) != highStart {
			v--
		}
		w = min(w, v)
	}
	return s.atWork(i, w)
}

// ceilings are the upper bounds that one backward pass starts from.
type ceilings struct {
	whole    int64 // on every finish
	finishBy bool  // whether each task's finish-by date counts too
}

func (s *schedule) ceilingOf(i int32, c ceilings) int64 {
	if !c.finishBy {
		return c.whole
	}
	if fb := s.tasks[i].FinishBy; fb != nil {
		return min(c.whole, s.minute(*fb))
	}
	return c.whole
}

// backward finds the latest place of every task, and its finish, in reverse
// topological order. O(tasks + links) readings of the ruler; with maximum lags
// it goes over all again until nothing moves.
func (s *schedule) backward(c ceilings) (place, end []spot, err error) {
	n := len(s.tasks)
	place, end = make([]spot, n), make([]spot, n)
	for i := range place {
		place[i], end[i] = spot{forever, forever}, spot{forever, forever}
	}
	for work := s.patience(); ; {
		moved := false
		for k := n - 1; k >= 0; k-- {
			i := s.order[k]
			was := place[i].at
			if s.traits[i]&finished != 0 {
				place[i], end[i] = s.early[i], s.end[i]
				continue
			}
			highStart, highEnd := s.held(i, s.ceilingOf(i, c), place, end)
			place[i], end[i] = s.latestPlace(i, highStart, highEnd)
			moved = moved || place[i].at != was
		}
		if s.bounds == 0 || !moved || s.under {
			return place, end, nil
		}
		if work -= n + len(s.arcs); work < 0 {
			return nil, nil, errUnsettled()
		}
	}
}

// held gives the upper bounds on both ends of task i when its successors stand
// at place and end.
func (s *schedule) held(i int32, highEnd int64, place, end []spot) (start, finish int64) {
	start, finish = forever, highEnd
	for _, a := range s.arcs[s.first[i]:s.first[i+1]] {
		if s.traits[a.to]&finished != 0 {
			continue
		}
		far := place[a.to]
		if a.code&toFinish != 0 {
			far = end[a.to]
		}
		if far.at == forever { // a maximum lag, not yet seen
			continue
		}
		x := far.at
		if a.lag != 0 || a.code&back != 0 {
			x = s.before(far, int64(a.lag), a.code&lagElapsed != 0)
		}
		switch {
		case a.code&fromFinish != 0:
			finish = min(finish, x)
		case s.traits[i]&started == 0:
			start = min(start, x)
		}
	}
	return start, finish
}

// slack finds the latest place of every task that moves no other task's early
// place and not the finish of the whole.
func (s *schedule) slack() {
	s.free = make([]spot, len(s.tasks))
	for i := range s.free {
		k := int32(i)
		if s.traits[k]&finished != 0 {
			s.free[k] = s.early[k]
			continue
		}
		highStart, highEnd := s.held(k, s.finish, s.early, s.end)
		s.free[k], _ = s.latestPlace(k, highStart, highEnd)
	}
}
