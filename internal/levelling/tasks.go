package levelling

import (
	"slices"
	"time"

	"bareframe/internal/calendar"
)

// layTasks puts the tasks on the axis and names those that nobody or no place
// here can take.
func (s *shop) layTasks() {
	s.tasks = make([]task, len(s.in.Tasks))
	days := s.days()
	previous := make(map[string]*Placement, len(s.in.Previous))
	for i := range s.in.Previous {
		previous[s.in.Previous[i].Task] = &s.in.Previous[i]
	}
	for i := range s.tasks {
		s.layTask(int32(i), previous[s.in.Tasks[i].ID], days)
	}
}

func (s *shop) layTask(i int32, before *Placement, days []int32) {
	in, t := &s.in.Tasks[i], &s.tasks[i]
	*t = task{job: s.places.jobs[in.Job], minutes: int32(in.Duration), longest: never, floor: s.now, pin: -1, finishBy: never, dayHi: -1,
		elapsed: in.Kind == calendar.Elapsed, interruptible: in.Interruptible && in.Kind != calendar.Elapsed}
	s.jobs[t.job].tasks = append(s.jobs[t.job].tasks, i)
	if in.LongestBreak != nil && !t.elapsed {
		t.longest = int32(*in.LongestBreak)
	}
	if in.FinishBy != nil {
		t.finishBy = s.minuteDown(*in.FinishBy)
	}
	s.layProgress(i)
	if t.state == open {
		if in.NotBefore != nil {
			t.floor = max(t.floor, s.minuteUp(*in.NotBefore))
		}
		if in.Pin != nil {
			t.pin = s.minuteDown(*in.Pin)
		}
	}
	s.layBefore(t, before, days)
	if t.state == finished {
		return
	}
	if t.minutes == 0 {
		return
	}
	t.held = len(in.Crew)+len(in.Places)+len(in.On) > 0
	s.layUses(i)
	s.layNeeds(i)
}

// layProgress reads what has happened to a task and what is left of it.
func (s *shop) layProgress(i int32) {
	in, t := &s.in.Tasks[i], &s.tasks[i]
	if in.ActualStart == nil {
		return
	}
	t.state, t.began = underWay, max(0, s.minuteDown(*in.ActualStart))
	switch {
	case in.ActualFinish != nil:
		t.state, t.minutes, t.ended = finished, 0, max(0, s.minuteDown(*in.ActualFinish))
		s.jobs[t.job].done = max(s.jobs[t.job].done, t.ended)
	case in.Remaining != nil:
		t.minutes = int32(*in.Remaining)
	case t.elapsed:
		t.minutes = max(0, t.minutes-(s.now-t.began))
	default:
		t.minutes = max(0, t.minutes-(s.hours[0].worked(s.now)-s.hours[0].worked(t.began)))
	}
}

// layBefore notes the working day and the people of the previous plan.
func (s *shop) layBefore(t *task, before *Placement, days []int32) {
	if before == nil {
		return
	}
	m := s.minuteDown(before.Start)
	if k, ok := slices.BinarySearch(days, m); ok || k > 0 && k < len(days) {
		if !ok {
			k--
		}
		if k+1 < len(days) {
			t.dayLo, t.dayHi = days[k], days[k+1]
		}
	}
	if t.dayHi < 0 { // a day outside the axis: any day is another
		t.dayLo, t.dayHi = never, never
	}
	for _, id := range before.People {
		if p, ok := s.places.people[id]; ok {
			t.previous = append(t.previous, p)
		} else {
			t.previous = append(t.previous, -1)
		}
	}
	slices.Sort(t.previous)
}

// days lists where the days of the shop's clock begin.
func (s *shop) days() []int32 {
	if len(s.in.Previous) == 0 {
		return nil
	}
	var days []int32
	y, m, d := s.origin.In(s.loc).Date()
	for k := 0; ; k++ {
		at := s.minuteDown(time.Date(y, m, d+k, 0, 0, 0, 0, s.loc))
		days = append(days, at)
		if at > s.horizon {
			return days
		}
	}
}

// layUses finds the stations of a task and the hours in which all are open.
func (s *shop) layUses(i int32) {
	in, t := &s.in.Tasks[i], &s.tasks[i]
	var classes []int32
	for _, p := range in.Places {
		k, ok := s.places.stations[p.Station]
		if !ok {
			s.refuse(i, "station-unknown", "%s needs the station %q, which the shop does not have", s.title(i), clip(p.Station))
			continue
		}
		units := int32(max(1, p.Units))
		if units > s.capacity[k] {
			s.refuse(i, "station-too-small", "%s needs %d of %s, which takes %d at once", s.title(i), units, s.stationTitle(k), s.capacity[k])
		}
		t.uses = append(t.uses, use{k, units})
		classes = append(classes, s.station[k])
	}
	t.class = s.together(classes)
}

// together gives the class in which all of these are open, and makes it where
// it does not exist.
func (s *shop) together(classes []int32) int32 {
	out := int32(0)
	for _, c := range classes {
		switch {
		case c == 0 || c == out:
		case out == 0:
			out = c
		default:
			s.hours = append(s.hours, joint(s.hours[out], s.hours[c], s.horizon))
			out = int32(len(s.hours) - 1)
		}
	}
	return out
}

// layNeeds finds who may do a task. Named people are a need each.
func (s *shop) layNeeds(i int32) {
	in, t := &s.in.Tasks[i], &s.tasks[i]
	if t.state == underWay {
		for _, id := range in.On {
			if p, ok := s.places.people[id]; ok {
				t.needs = append(t.needs, need{skill: -1, count: 1, who: []int32{p}})
			}
		}
		if len(t.needs) > 0 {
			return
		}
	}
	crew := map[int32]int{}
	for _, w := range in.Crew {
		k := s.skill(w.Skill)
		if len(s.able[k]) == 0 {
			s.refuse(i, "nobody-has-skill", "%s needs %q, and nobody here has that skill", s.title(i), clip(w.Skill))
			continue
		}
		if at, twice := crew[k]; twice {
			t.needs[at].count += int32(w.Count)
			continue
		}
		crew[k] = len(t.needs)
		t.needs = append(t.needs, need{k, int32(w.Count), s.prefer(s.able[k], t.previous)})
	}
	if s.unplaced[i] != nil || len(t.needs)+len(in.PinPeople) == 0 {
		return
	}
	if len(in.PinPeople) > 0 && t.state == open {
		s.pinPeople(i)
		return
	}
	if match(t.needs, len(s.in.People)) == nil {
		s.refuse(i, "too-few-people", "%s needs %s at once, and there are not so many people here", s.title(i), crewText(in.Crew))
	}
}

// pinPeople makes the crew of the people who were decided on.
func (s *shop) pinPeople(i int32) {
	in, t := &s.in.Tasks[i], &s.tasks[i]
	total := int32(0)
	for _, n := range t.needs {
		total += n.count
	}
	if total != int32(len(in.PinPeople)) {
		s.refuse(i, "pin-contradicts", "%s needs %d people, and %d were named for it", s.title(i), total, len(in.PinPeople))
		return
	}
	var named []int32
	for _, id := range in.PinPeople {
		p, ok := s.places.people[id]
		if !ok {
			s.refuse(i, "pin-contradicts", "%q was named for %s and does not work here", clip(id), s.title(i))
			return
		}
		named = append(named, p)
	}
	only := make([]need, len(t.needs))
	for k, n := range t.needs {
		only[k] = need{skill: n.skill, count: n.count}
		for _, p := range named {
			if slices.Contains(n.who, p) {
				only[k].who = append(only[k].who, p)
			}
		}
	}
	chosen := match(only, len(s.in.People))
	if chosen == nil {
		s.refuse(i, "pin-contradicts", "the people who were named for %s do not have the skills that it needs: %s", s.title(i), crewText(in.Crew))
		return
	}
	var needs []need
	k := 0
	for _, n := range t.needs {
		for range n.count {
			needs = append(needs, need{skill: n.skill, count: 1, who: []int32{chosen[k]}})
			k++
		}
	}
	t.needs = needs
}

// match finds different people for all needs, in their order, or nil where there
// are too few (augmenting paths: Kuhn, "The Hungarian Method for the Assignment
// Problem", 1955).
func match(needs []need, people int) []int32 {
	m := newMatcher(people)
	return m.match(needs, nil)
}
