package levelling

// mostRounds bounds how often maximum lags are followed back for the bound,
// which holds after any number of rounds.
const mostRounds = 30

// layAlone finds how early everything could be if nobody and no place were ever
// taken: the critical path on calendars. A task is worked in the hours of the
// shop, its stations, and those people whom it cannot do without.
func (s *shop) layAlone() {
	n := len(s.tasks)
	s.alone, s.aloneEnd = make([]int32, n), make([]int32, n)
	d := s.newDecoder()
	copy(d.start, s.base.start)
	copy(d.finish, s.base.finish)
	class := s.unavoidable(d)
	low := make([]window, n)
	for i := range low {
		low[i].lo = [2]int32{-never, -never}
	}
	for range mostRounds {
		for _, i := range s.order {
			if s.blockOf[i] >= 0 {
				w := d.window(i)
				d.start[i], d.finish[i] = s.soonest(i, d.hours[class[i]], max(w.lo[0], low[i].lo[0]), max(w.lo[1], low[i].lo[1]))
			}
		}
		if !s.pushBack(d, low) {
			break
		}
	}
	copy(s.alone, d.start)
	copy(s.aloneEnd, d.finish)
	s.layTails()
	s.layLow()
	s.layKeys()
	s.layGrain()
}

// layGrain parts time so that a task takes five steps on average, as the activities
// of the published projects do on which the search was tuned.
func (s *shop) layGrain() {
	sum, n := int64(0), int64(0)
	for i := range s.tasks {
		if s.blockOf[i] >= 0 && s.tasks[i].minutes > 0 && s.alone[i] < never {
			sum, n = sum+int64(s.aloneEnd[i]-s.alone[i]), n+1
		}
	}
	s.grain = int32(max(1, sum/max(1, 5*n)))
}

// unavoidable gives the hours that a task is worked in whoever does it.
func (s *shop) unavoidable(d *decoder) []int32 {
	class := make([]int32, len(s.tasks))
	for i := range s.tasks {
		t := &s.tasks[i]
		class[i] = t.class
		for _, n := range t.needs {
			same := len(n.who) > 0
			for _, p := range n.who {
				same = same && s.person[p] == s.person[n.who[0]]
			}
			if same {
				class[i] = d.joint(class[i], s.person[n.who[0]])
			}
		}
	}
	return class
}

// soonest is the first place of a task in an empty shop that works hours h.
func (s *shop) soonest(i int32, h *hours, lo, ef int32) (start, finish int32) {
	t := &s.tasks[i]
	switch {
	case t.minutes == 0:
		return max(lo, ef), max(lo, ef)
	case t.elapsed:
		lo = max(lo, ef-t.minutes)
		return lo, lo + t.minutes
	}
	for {
		if lo = h.nextOpen(lo); lo >= never {
			return never, never
		}
		f := h.finish(lo, t.minutes)
		if f >= never {
			return never, never
		}
		if t.longest < never {
			if after, broken := h.tooLong(lo, f, t.longest); broken {
				lo = after
				continue
			}
		}
		if f >= ef {
			return lo, f
		}
		lo = s.base.later(h, lo, f, ef)
	}
}

// pushBack raises the tasks that maximum lags count from. False when none moved.
func (s *shop) pushBack(d *decoder, low []window) (moved bool) {
	for k := range s.arcs {
		a := &s.arcs[k]
		if a.most >= never || s.moot(a) || s.blockOf[a.from] < 0 {
			continue
		}
		y := d.end(a.to, a.finish)
		if y >= never || s.tasks[a.from].state != open && !a.fromFinish {
			continue
		}
		e, to := which(a.fromFinish), s.noEarlier(y, a.most, a.elapsed)
		if to > d.end(a.from, a.fromFinish) && to > low[a.from].lo[e] {
			low[a.from].lo[e] = to
			moved = true
		}
	}
	return moved
}

// layTails finds the least minutes that the rest of a job takes after each task.
// A working lag or task takes at least as long on the clock.
func (s *shop) layTails() {
	s.tail = make([]int32, len(s.tasks))
	for k := len(s.order) - 1; k >= 0; k-- {
		i := s.order[k]
		for _, l := range s.outof[i] {
			a := &s.arcs[l]
			if !a.fromFinish || s.blockOf[a.to] < 0 || s.tasks[a.to].job != s.tasks[i].job || !s.binds(a) || a.lag < 0 && !a.elapsed {
				continue
			}
			after := a.lag + s.tail[a.to]
			if !a.finish {
				after += s.tasks[a.to].minutes
			}
			s.tail[i] = max(s.tail[i], after)
		}
	}
}

// layLow reckons what is certain before anything is placed.
func (s *shop) layLow() {
	s.jobLow = make([]int32, len(s.jobs))
	s.costLow = [3]int64{}
	for j := range s.jobs {
		job := &s.jobs[j]
		low := job.done
		for _, i := range job.tasks {
			if s.alone[i] < never {
				low = max(low, s.aloneEnd[i]+s.tail[i])
			}
			if t := &s.tasks[i]; t.state == finished {
				s.costLow[0] += int64(max(0, t.ended-t.finishBy))
			} else if s.blockOf[i] < 0 && s.base.start[i] < never {
				s.costLow[0] += int64(max(0, s.base.finish[i]-t.finishBy))
			}
		}
		s.jobLow[j] = low
		if low >= 0 {
			s.costLow[0] += job.weight * int64(max(0, low-job.promise))
			s.costLow[1] += job.weight * int64(max(0, low-s.now))
		}
	}
}
