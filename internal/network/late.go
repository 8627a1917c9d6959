package network

// latestPlace is the last place of task i whose ends are no later than high,
// which bounds at least one of them.
func (s *schedule) latestPlace(i int32, high pair) pair {
	if s.traits[i]&onClock != 0 {
		return s.onClockFrom(i, s.latestOnClock(i, high))
	}
	return s.atWork(i, s.latestAtWork(i, high))
}

// latestOnClock is latestPlace of a task placed on the clock: its instant.
func (s *schedule) latestOnClock(i int32, high pair) int64 {
	for e := range high {
		if high[e].worked < forever {
			high[e].at = min(high[e].at, s.latest(high[e].worked))
		}
	}
	return min(high[0].at, high[1].at-s.length[i])
}

// latestAtWork is latestPlace of a working task: the working minutes before it.
func (s *schedule) latestAtWork(i int32, high pair) int64 {
	w := min(high[0].worked, high[1].worked-s.length[i])
	if high[0].at < forever {
		w = min(w, s.lastStart(high[0].at))
	}
	if high[1].at < forever {
		w = min(w, s.worked(high[1].at)-s.length[i])
	}
	return w
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
// topological order. O(tasks + links), and a few readings of the ruler a task;
// with maximum lags it goes over all again until nothing moves.
func (s *schedule) backward(c ceilings) ([]pair, error) {
	n := len(s.tasks)
	late := make([]pair, n)
	if s.bounds > 0 { // arcs lead to tasks not yet seen, too
		for i := range late {
			late[i] = pair{noLater, noLater}
		}
	}
	for work := s.patience(); ; {
		moved := false
		for k := n - 1; k >= 0; k-- {
			i := s.order[k]
			was := late[i][0].at
			if s.traits[i]&finished != 0 {
				late[i] = s.early[i]
				continue
			}
			late[i] = s.latestPlace(i, s.held(i, s.ceilingOf(i, c), late))
			moved = moved || late[i][0].at != was
		}
		if s.bounds == 0 || !moved || s.under {
			return late, nil
		}
		if work -= n + len(s.arcs); work < 0 {
			return nil, errUnsettled()
		}
	}
}

// held gives the upper bounds on both ends of task i, whose finish may not be
// after ceiling, when its successors stand at places.
func (s *schedule) held(i int32, ceiling int64, places []pair) pair {
	high := pair{noLater, {ceiling, forever}}
	for _, a := range s.arcs[s.first[i]:s.first[i+1]] {
		far := places[a.to][a.code.end()]
		if a.code&moot != 0 || far.at == forever { // a maximum lag, not yet seen
			continue
		}
		near := &high[a.code.from()]
		if a.code&inWork != 0 {
			near.worked = min(near.worked, far.worked-int64(a.lag))
		} else {
			near.at = min(near.at, far.at-int64(a.lag))
		}
	}
	if s.traits[i]&started != 0 {
		high[0] = noLater // its start has happened
	}
	return high
}

// slack finds how far every task may slip, in its own time, and move no other
// task's early place and not the finish of the whole.
func (s *schedule) slack() {
	s.free = make([]int64, len(s.tasks))
	for k := range s.free {
		i, x, early := int32(k), s.traits[k], s.early[k][0]
		if x&finished != 0 {
			continue
		}
		high := s.held(i, s.finish, s.early)
		switch {
		case x&onClock == 0:
			s.free[i] = s.latestAtWork(i, high) - early.worked
		case x&elapsed != 0:
			s.free[i] = s.latestOnClock(i, high) - early.at
		default:
			s.free[i] = s.worked(s.latestOnClock(i, high)) - early.worked
		}
	}
}
