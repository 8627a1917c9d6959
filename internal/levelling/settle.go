package levelling

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// settle decides what can be planned at all, places what is fixed, and parts the
// rest into blocks. It can be called again after more was refused.
func (s *shop) settle() {
	s.ring()
	s.waits()
	s.sort()
	s.laySlots()
	s.callCalendars()
	for {
		s.waits()
		if s.layFixed() {
			break
		}
	}
	s.layBlocks()
	s.layAlone()
}

func (s *shop) laySlots() {
	s.slot = make([]int32, len(s.tasks)+1)
	for i := range s.tasks {
		n := int32(0)
		for _, need := range s.tasks[i].needs {
			n += need.count
		}
		s.slot[i+1] = s.slot[i] + n
	}
}

// binds says whether an arc makes its successor wait for something that is
// still to come.
func (s *shop) binds(a *arc) bool {
	return !s.moot(a) && s.tasks[a.from].state != finished && (s.tasks[a.from].state == open || a.fromFinish)
}

// mostEvidence is how many tasks and links of a ring are named.
const mostEvidence = 24

// ring refuses the tasks that wait for each other.
func (s *shop) ring() {
	inside := make([]bool, len(s.tasks))
	for _, c := range s.components(s.binds, nil) {
		if len(c) < 2 {
			continue
		}
		slices.Sort(c)
		u := Unplaced{Code: "cycle"}
		for _, i := range c {
			inside[i] = true
		}
		for _, i := range c[:min(len(c), mostEvidence)] {
			u.Tasks = append(u.Tasks, s.in.Tasks[i].ID)
			for _, k := range s.into[i] {
				if a := &s.arcs[k]; s.binds(a) && inside[a.from] && len(u.Links) < mostEvidence {
					u.Links = append(u.Links, s.linkName(k))
				}
			}
		}
		u.Detail = fmt.Sprintf("these tasks wait for each other and none can start: %s; take out one of the links %s",
			strings.Join(first(u.Tasks, 12), ", "), strings.Join(first(u.Links, 12), ", "))
		for _, i := range c {
			inside[i] = false
			if s.unplaced[i] == nil {
				one := u
				one.Task = s.in.Tasks[i].ID
				s.unplaced[i] = &one
			}
		}
	}
}

func first(list []string, n int) []string {
	if len(list) > n {
		return append(slices.Clone(list[:n]), "…")
	}
	return list
}

// sort puts the tasks in topological order; what was refused holds nothing.
func (s *shop) sort() {
	n := len(s.tasks)
	waits := make([]int32, n)
	holds := func(a *arc) bool { return s.binds(a) && s.unplaced[a.from] == nil && s.unplaced[a.to] == nil }
	for k := range s.arcs {
		if holds(&s.arcs[k]) {
			waits[s.arcs[k].to]++
		}
	}
	s.order = s.order[:0]
	for i := range waits {
		if waits[i] == 0 {
			s.order = append(s.order, int32(i))
		}
	}
	for head := 0; head < len(s.order); head++ {
		for _, k := range s.outof[s.order[head]] {
			if a := &s.arcs[k]; holds(a) {
				if waits[a.to]--; waits[a.to] == 0 {
					s.order = append(s.order, a.to)
				}
			}
		}
	}
}

// waits refuses what waits for something that was refused, and what may not be
// left waiting for it.
func (s *shop) waits() {
	for moved := true; moved; {
		moved = false
		for k := range s.arcs {
			a := &s.arcs[k]
			if s.moot(a) {
				continue
			}
			from, to := s.unplaced[a.from], s.unplaced[a.to]
			if from != nil && to == nil && s.tasks[a.to].state == open {
				s.refuse(a.to, "waits-for-unplaced", "%s waits for %s, which cannot be planned", s.title(a.to), s.title(a.from)).by(s, int32(k))
				moved = true
			}
			if to != nil && from == nil && a.most < never && s.tasks[a.from].state == open {
				s.refuse(a.from, "waits-for-unplaced", "%s may not be left waiting for %s, which cannot be planned", s.title(a.from), s.title(a.to)).by(s, int32(k))
				moved = true
			}
		}
	}
}

// callCalendars refuses what no time before the horizon is good for, were the
// shop empty.
func (s *shop) callCalendars() {
	d := s.newDecoder()
	for i := range s.tasks {
		t := &s.tasks[i]
		if t.state == finished || s.unplaced[i] != nil {
			continue
		}
		if at, _ := d.fit(int32(i), max(t.floor, s.now), -never); at < never {
			continue
		}
		longest := t.longest
		t.longest = never
		at, _ := d.fit(int32(i), max(t.floor, s.now), -never)
		t.longest = longest
		switch last, _ := d.fit(int32(i), s.now, -never); {
		case at < never:
			s.refuse(int32(i), "opening-too-short", "%s takes %d minutes and may be left over a closed stretch of at most %d; no openings of what it needs lie so close together for so long", s.title(int32(i)), t.minutes, longest)
		case last < never || t.floor > s.horizon || t.elapsed:
			s.refuse(int32(i), "beyond-horizon", "%s cannot begin within the %d years that a plan reaches", s.title(int32(i)), maxYears)
		default:
			s.refuse(int32(i), "calendars-never-meet", "the people and places that %s needs are never there together for %d minutes", s.title(int32(i)), t.minutes)
		}
	}
}

// layFixed places what is under way and what is pinned, in this order, ahead of
// everything else. False when a pin had to be refused.
func (s *shop) layFixed() bool {
	s.fixed = s.fixed[:0]
	for i := range s.tasks {
		if t := &s.tasks[i]; t.state == underWay && s.unplaced[i] == nil && !s.held(int32(i)) {
			s.fixed = append(s.fixed, int32(i))
		}
	}
	n := len(s.fixed)
	for i := range s.tasks {
		if t := &s.tasks[i]; t.pin >= 0 && s.unplaced[i] == nil {
			s.fixed = append(s.fixed, int32(i))
		}
	}
	slices.SortStableFunc(s.fixed[n:], func(a, b int32) int { return cmp.Compare(s.tasks[a].pin, s.tasks[b].pin) })
	d := s.newDecoder()
	ok := true
	for _, i := range s.fixed {
		ok = s.placeFixed(d, i) && ok
	}
	s.base = d
	return ok
}

// held says whether the finish of a task under way waits for something to come.
func (s *shop) held(i int32) bool {
	return slices.ContainsFunc(s.into[i], func(k int32) bool { return s.binds(&s.arcs[k]) })
}

func (s *shop) placeFixed(d *decoder, i int32) bool {
	t := &s.tasks[i]
	d.raise[0][i], d.raise[1][i] = -never, -never
	w := d.window(i)
	if t.state == open {
		if t.pin < w.lo[0] {
			s.pinEarly(d, i, w.lo[0])
			return false
		}
		w.lo[0] = t.pin
		w.hi[0] = min(w.hi[0], t.pin)
	} else {
		w.hi = [2]int32{never, never}
	}
	if d.place(i, &w) {
		return true
	}
	switch {
	case t.state != open:
		s.refuse(i, "beyond-horizon", "what is left of %s cannot be done within the %d years that a plan reaches", s.title(i), maxYears)
	case w.by[0] >= 0 || w.by[1] >= 0:
		s.refuse(i, "pin-contradicts", "%s was pinned to %s, which its links do not allow", s.title(i), s.clock(t.pin)).by(s, max(w.by[0], w.by[1]))
	default:
		s.refuse(i, "pin-contradicts", "%s was pinned to %s, when not everybody and every place it needs is there and free; the first time after it is %s",
			s.title(i), s.clock(t.pin), s.clock(d.start[i]))
	}
	d.start[i], d.finish[i] = never, never
	return false
}

func (s *shop) pinEarly(d *decoder, i, lo int32) {
	t := &s.tasks[i]
	u := s.refuse(i, "pin-contradicts", "%s was pinned to %s and cannot start before %s", s.title(i), s.clock(t.pin), s.clock(lo))
	for _, k := range s.into[i] {
		if a := &s.arcs[k]; !s.moot(a) {
			if x := d.end(a.from, a.fromFinish); x < never && s.after(x, a.lag, a.elapsed) > t.pin {
				u.by(s, k)
			}
		}
	}
	d.start[i], d.finish[i] = never, never
}

// layBlocks joins what maximum lags hold together: the strongly connected
// components of the links, each maximum lag being one that leads back.
func (s *shop) layBlocks() {
	moves := func(i int32) bool {
		return s.tasks[i].state != finished && s.unplaced[i] == nil && s.base.start[i] >= never
	}
	s.blocks, s.ahead, s.weight = nil, nil, nil
	s.blockOf = make([]int32, len(s.tasks))
	place := make([]int32, len(s.tasks))
	for k, i := range s.order {
		place[i] = int32(k)
		s.blockOf[i] = -1
	}
	for i := range s.blockOf {
		s.blockOf[i] = -1
	}
	binds := func(a *arc) bool { return s.binds(a) && moves(a.from) && moves(a.to) }
	for _, c := range s.components(binds, func(a *arc) bool { return binds(a) && a.most < never }) {
		if !moves(c[0]) {
			continue
		}
		slices.SortFunc(c, func(a, b int32) int { return cmp.Compare(place[a], place[b]) })
		for _, i := range c {
			s.blockOf[i] = int32(len(s.blocks))
		}
		s.blocks = append(s.blocks, c)
	}
	s.layAhead()
	s.layWeights()
	s.spread()
}

func (s *shop) layAhead() {
	s.ahead = make([][]int32, len(s.blocks))
	for k := range s.arcs {
		a := &s.arcs[k]
		from, to := s.blockOf[a.from], s.blockOf[a.to]
		if from < 0 || to < 0 || from == to || !s.binds(a) || slices.Contains(s.ahead[to], from) {
			continue
		}
		s.ahead[to] = append(s.ahead[to], from)
	}
}
