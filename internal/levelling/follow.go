package levelling

// Follow keeps to the previous plan as far as the rules allow and searches nothing:
// it answers what becomes of a plan that people know when work comes in, goes or
// takes longer. What was in that plan keeps its people and does not begin before the
// start that it had there, unless a maximum lag pulls it; all take their turns by those
// starts, and new work takes its turn when what it follows ends. So whatever was to
// begin earlier keeps its place, what comes later gives way where people or stations
// do not suffice for both, and nothing moves forward. The same input gives the same
// answer, and a difference between two answers is owed to the input and not to the
// luck of a search. Where these turns cannot be taken, a priority rule gives others.
// It refuses as Solve does. O(tasks × log tasks) as a rule.
func Follow(in Input) (Result, error) {
	p, err := lay(&in, true)
	if err != nil {
		return Result{}, err
	}
	p.place()
	return p.result(), nil
}

// hold lets nothing begin before the start that it had, but for what has to follow
// work that has begun within some time: that goes with the work.
func (s *shop) hold() {
	free := s.pulled()
	for _, p := range s.in.Previous {
		if i, ok := s.places.tasks[p.Task]; ok && s.tasks[i].state == open && !free[i] {
			s.tasks[i].floor = max(s.tasks[i].floor, s.minuteDown(p.Start))
		}
	}
}

// pulled marks what maximum lags tie to work that has begun.
func (s *shop) pulled() []bool {
	free := make([]bool, len(s.tasks))
	var stack []int32
	for i := range s.tasks {
		if s.tasks[i].state != open {
			stack = append(stack, int32(i))
		}
	}
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, k := range s.outof[i] {
			if a := &s.arcs[k]; a.most < never && s.tasks[a.to].state == open && !free[a.to] {
				free[a.to] = true
				stack = append(stack, a.to)
			}
		}
	}
	return free
}

// inserted ranks by the starts of the previous plan, and what was not in it by the
// end of what it follows.
func (s *shop) inserted() func(int32) int64 {
	starts, ends := make([]int64, len(s.tasks)), make([]int64, len(s.tasks))
	known := make([]bool, len(s.tasks))
	for _, p := range s.in.Previous {
		if i, ok := s.places.tasks[p.Task]; ok {
			starts[i], ends[i], known[i] = int64(s.minuteDown(p.Start)), int64(s.minuteDown(p.Finish)), true
			if n := len(p.Pieces); n > 0 { // what came between goes first
				starts[i] = int64(s.minuteDown(p.Pieces[n-1].From))
			}
		}
	}
	for _, i := range s.order {
		if known[i] {
			continue
		}
		starts[i] = int64(max(s.now, s.tasks[i].floor))
		for _, k := range s.into[i] {
			if a := &s.arcs[k]; s.binds(a) && s.unplaced[a.from] == nil {
				starts[i] = max(starts[i], ends[a.from])
			}
		}
		ends[i] = starts[i] + int64(max(0, s.aloneEnd[i]-s.alone[i]))
	}
	return func(i int32) int64 { // at the same minute what was known comes first
		if known[i] {
			return 2 * starts[i]
		}
		return 2*starts[i] + 1
	}
}
