package levelling

// fit finds the first place of task i, begun no earlier than lo and finished no
// earlier than ef, that everybody and every place it needs is open and free for;
// never when there is none before the horizon. The people are then in
// d.match.slots, and the pieces of an interruptible task in d.pieces.
func (d *decoder) fit(i, lo, ef int32) (start, finish int32) {
	t := &d.s.tasks[i]
	d.match.slots = d.match.slots[:0]
	switch {
	case t.minutes == 0:
		if at := max(lo, ef); at <= d.s.horizon {
			return at, at
		}
		return never, never
	case t.elapsed:
		return d.fitElapsed(t, max(lo, ef-t.minutes))
	case t.interruptible && t.held:
		return d.fitPieces(t, lo, ef)
	}
	return d.fitWhole(t, lo, ef)
}

// fitElapsed holds the places of a task day and night. It ends before the horizon,
// after which no working minutes are counted.
func (d *decoder) fitElapsed(t *task, x int32) (start, finish int32) {
	for x <= d.s.horizon-t.minutes {
		until, yes := d.taken(t, x, x+t.minutes)
		if !yes {
			return x, x + t.minutes
		}
		x = until
	}
	return never, never
}

// taken says whether a station of t has no room from start to finish, and the
// next start at which it may.
func (d *decoder) taken(t *task, start, finish int32) (until int32, yes bool) {
	for _, u := range t.uses {
		if e, no := d.lines[d.people+u.station].blocked(start, finish, d.s.capacity[u.station]-u.units); no {
			until, yes = max(until, e), true
		}
	}
	return until, yes
}

// fitWhole places work that pauses only while closed. Each round either answers
// or moves x past something that is in the way.
func (d *decoder) fitWhole(t *task, x, ef int32) (start, finish int32) {
	h := d.hours[t.class]
	for {
		if x = h.nextOpen(x); x >= never {
			return never, never
		}
		f := h.finish(x, t.minutes)
		if f >= never {
			return never, never
		}
		if t.longest < never {
			if after, broken := h.tooLong(x, f, t.longest); broken {
				x = after
				continue
			}
		}
		if until, yes := d.taken(t, x, f); yes {
			x = until
			continue
		}
		class := t.class
		if len(t.needs) > 0 {
			next, last, with := d.crewAt(t, x)
			if last < 0 {
				x = next
				continue
			}
			class = with
			if last > f {
				f = last
				if until, yes := d.taken(t, x, f); yes {
					x = until
					continue
				}
			}
		}
		if f >= ef {
			return x, f
		}
		x = d.later(d.hours[class], x, f, ef)
	}
}

// later moves x by the work that is missing from f to ef.
func (d *decoder) later(h *hours, x, f, ef int32) int32 {
	missing := max(1, h.worked(ef-1)+1-h.worked(f))
	return max(x+1, h.latest(h.worked(x)+missing))
}

// crewAt chooses people who can do t from x on. With last < 0 there are too few,
// and next is the first minute at which that may change. Greedy by the order of
// preference: somebody whose calendar or bookings do not hold for as long as the
// others' calendars make it last is passed over.
func (d *decoder) crewAt(t *task, x int32) (next, last, class int32) {
	for k := range t.needs {
		for _, p := range t.needs[k].who {
			d.wait[p] = d.personAt(t, p, x) - x
		}
	}
	for {
		slots := d.match.match(t.needs, d.wait)
		if slots == nil {
			return d.nextChance(t, x), -1, 0
		}
		class = t.class
		for _, p := range slots {
			class = d.joint(class, d.s.person[p])
		}
		f, ok := d.holds(t, x, class)
		if ok {
			return x, f, class
		}
	}
}

// holds says whether the matched people can do t from x on in the hours that they
// share; if not, one of them is made to wait.
func (d *decoder) holds(t *task, x, class int32) (finish int32, ok bool) {
	h := d.hours[class]
	f := h.finish(x, t.minutes)
	if f >= never {
		d.passOver(t, never)
		return 0, false
	}
	if t.longest < never {
		if after, broken := h.tooLong(x, f, t.longest); broken {
			d.passOver(t, after-x)
			return 0, false
		}
	}
	for _, p := range d.match.slots {
		if until, yes := d.lines[p].blocked(x, f, 0); yes {
			d.wait[p] = until - x
			return 0, false
		}
	}
	return f, true
}

// passOver lets the last of the matched people wait whose hours are fewer than
// the places' own.
func (d *decoder) passOver(t *task, wait int32) {
	slots := d.match.slots
	for k := len(slots) - 1; k > 0; k-- {
		if p := slots[k]; d.joint(t.class, d.s.person[p]) != t.class {
			d.wait[p] = wait
			return
		}
	}
	d.wait[slots[0]] = wait
}

// personAt gives the first minute from x on at which person p alone could begin t.
func (d *decoder) personAt(t *task, p, x int32) int32 {
	h := d.hours[d.joint(t.class, d.s.person[p])]
	for {
		if x = h.nextOpen(x); x >= never {
			return never
		}
		if t.interruptible {
			from, _ := d.lines[p].free(x, 0)
			if from == x {
				return x
			}
			x = from
			continue
		}
		f := h.finish(x, t.minutes)
		if f >= never {
			return never
		}
		if t.longest < never {
			if after, broken := h.tooLong(x, f, t.longest); broken {
				x = after
				continue
			}
		}
		until, yes := d.lines[p].blocked(x, f, 0)
		if !yes {
			return x
		}
		x = until
	}
}

// nextChance gives the first minute after x at which every need has enough people.
func (d *decoder) nextChance(t *task, x int32) int32 {
	jump, least := int32(0), int32(never)
	for k := range t.needs {
		n := &t.needs[k]
		jump = max(jump, d.nth(n.who, n.count))
		for _, p := range n.who {
			if w := d.wait[p]; w > 0 {
				least = min(least, w)
			}
		}
	}
	if jump == 0 {
		jump = least
	}
	if jump >= never-x {
		return never
	}
	return x + jump
}

// nth gives the wait until count of these people are there. O(people × count).
func (d *decoder) nth(who []int32, count int32) int32 {
	have, last := int32(0), int32(-1)
	for have < count {
		next := int32(never)
		for _, p := range who {
			if w := d.wait[p]; w > last {
				next = min(next, w)
			}
		}
		if next >= never {
			return never
		}
		for _, p := range who {
			if d.wait[p] == next {
				have++
			}
		}
		last = next
	}
	return last
}
