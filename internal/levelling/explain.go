package levelling

import (
	"slices"

	"bareframe/internal/calendar"
)

// Explain says for each planned task, in input order, what it waited for at the
// start that it has. What it cannot read as a plan of this input it leaves
// unsaid. O(tasks²) where everything queues.
func Explain(in Input, r Result) []Why {
	places, err := validate(&in)
	if err != nil {
		return nil
	}
	s := newShop(&in, places, minutesOfYears, false)
	s.settle()
	d := s.newDecoder()
	d.reset()
	for k := range r.Tasks {
		if i, ok := places.tasks[r.Tasks[k].Task]; ok && s.blockOf[i] >= 0 {
			d.adopt(i, &r.Tasks[k])
		}
	}
	x := newExplainer(s, d)
	var out []Why
	for i := range s.tasks {
		if t := &s.tasks[i]; t.state == finished || d.start[i] < never {
			w, _ := x.why(int32(i))
			out = append(out, w)
		}
	}
	return out
}

// adopt books a task where a plan has it.
func (d *decoder) adopt(i int32, p *Placement) {
	s := d.s
	d.start[i], d.finish[i] = s.minuteDown(p.Start), s.minuteDown(p.Finish)
	if s.tasks[i].state == underWay {
		d.start[i] = max(s.now, d.finish[i]-s.tasks[i].minutes)
	}
	crew := d.crew[s.slot[i]:s.slot[i+1]]
	for k := range crew {
		if k < len(p.People) {
			crew[k] = s.places.people[p.People[k]]
		}
	}
	d.cut[i] = d.cut[i][:0]
	for _, c := range p.Pieces {
		d.cut[i] = append(d.cut[i], piece{s.minuteDown(c.From), s.minuteDown(c.To)})
	}
	if len(p.Pieces) == 0 {
		d.cut[i] = append(d.cut[i], piece{d.start[i], d.finish[i]})
	}
	d.book(i, 1)
}

// explainer asks about a plan that a decoder holds: empty is a shop without it.
type explainer struct {
	s        *shop
	d, empty *decoder
}

func newExplainer(s *shop, d *decoder) *explainer { return &explainer{s, d, s.newDecoder()} }

// why finds what held task i, and the link that made it ready, -1 for none.
func (x *explainer) why(i int32) (Why, int32) {
	s, d, t := x.s, x.d, &x.s.tasks[i]
	w := Why{Task: s.in.Tasks[i].ID, Cause: ByNow, Ready: s.time(s.now)}
	if t.state != open {
		w.Cause, w.Ready = ByActual, s.in.Tasks[i].ActualStart.In(s.loc)
		return w, -1
	}
	lo, ef, link := t.floor, int32(-never), int32(-1)
	if lo > s.now {
		w.Cause = ByDate
	}
	for _, k := range s.into[i] {
		a := &s.arcs[k]
		from := d.end(a.from, a.fromFinish)
		if from >= never {
			continue
		}
		at := s.after(from, a.lag, a.elapsed)
		if a.finish {
			if at > ef {
				ef = at
				if s0, _ := x.empty.fit(i, lo, ef); s0 > lo {
					link = k
				}
			}
		} else if at > lo || at == lo && w.Cause == ByNow {
			lo, link = at, k
		}
	}
	if link >= 0 {
		w.Cause, w.Link, w.From = ByLink, s.linkName(link), s.in.Tasks[s.arcs[link].from].ID
	}
	calendarAt, _ := x.empty.fit(i, lo, ef)
	ready := lo
	if ef > lo {
		ready = max(lo, min(calendarAt, d.start[i]))
	}
	w.Ready = s.time(ready)
	w.Waited = calendar.Minutes(max(0, s.hours[0].worked(d.start[i])-s.hours[0].worked(ready)))
	switch {
	case t.pin >= 0:
		w.Cause = ByPin
	case d.start[i] > calendarAt:
		x.queue(i, lo, ef, calendarAt, &w)
	case d.start[i] > ready && w.Waited > 0:
		w.Cause = ByCalendar
	}
	return w, link
}

// queue tries each station and each skill alone with what else the plan has on
// it; the one that holds the task longest is named.
func (x *explainer) queue(i, lo, ef, calendarAt int32, w *Why) {
	s, d, t := x.s, x.d, &x.s.tasks[i]
	d.book(i, -1)
	defer d.book(i, 1)
	most, on := calendarAt, []int32(nil)
	try := func(lines []int32, station, skill string) {
		for _, k := range lines {
			x.empty.lines[k].copyOf(&d.lines[k])
		}
		if at, _ := x.empty.fit(i, lo, ef); at > most {
			most, on, w.Station, w.Skill = at, lines, station, skill
		}
		for _, k := range lines {
			x.empty.lines[k] = newLine()
		}
	}
	for _, u := range t.uses {
		try([]int32{d.people + u.station}, s.in.Stations[u.station].ID, "")
	}
	for _, n := range t.needs {
		try(n.who, "", s.skillName(n.skill))
	}
	if on == nil {
		if w.Cause = ByQueue; len(s.blocks[s.blockOf[i]]) > 1 {
			w.Cause = ByUnbroken
		}
		return
	}
	w.Cause = ByQueue
	w.By = x.occupants(i, on, calendarAt)
}

func (s *shop) skillName(k int32) string {
	for name, n := range s.skills {
		if n == k {
			return name
		}
	}
	return ""
}

// occupants names up to five tasks that are on these people or stations between
// a minute and the start of task i, the last to leave first.
func (x *explainer) occupants(i int32, on []int32, from int32) []string {
	s, d := x.s, x.d
	var there []int32
	for j := range s.tasks {
		if int32(j) == i || d.start[j] >= d.start[i] || d.finish[j] <= from || !s.tasks[j].held || d.finish[j] >= never {
			continue
		}
		uses := slices.ContainsFunc(s.tasks[j].uses, func(u use) bool { return slices.Contains(on, d.people+u.station) })
		if uses || slices.ContainsFunc(d.crew[s.slot[j]:s.slot[j+1]], func(p int32) bool { return slices.Contains(on, p) }) {
			there = append(there, int32(j))
		}
	}
	slices.SortFunc(there, func(a, b int32) int { return int(d.finish[b] - d.finish[a]) })
	var out []string
	for _, j := range there[:min(5, len(there))] {
		out = append(out, s.in.Tasks[j].ID)
	}
	return out
}

// chain walks back from the last task of a job by the links that made each
// ready, and adds up what it waited for on the way.
func (x *explainer) chain(j int32) (chain []string, lost []Queue) {
	s, d, last := x.s, x.d, int32(-1)
	for _, i := range s.jobs[j].tasks {
		if d.start[i] < never && (last < 0 || d.finish[i] > d.finish[last]) {
			last = i
		}
	}
	for i := last; i >= 0; {
		chain = append(chain, s.in.Tasks[i].ID)
		w, link := x.why(i)
		if w.Cause == ByQueue && w.Waited > 0 {
			at := slices.IndexFunc(lost, func(q Queue) bool { return q.Station == w.Station && q.Skill == w.Skill })
			if at < 0 {
				at, lost = len(lost), append(lost, Queue{Station: w.Station, Skill: w.Skill})
			}
			lost[at].Minutes += w.Waited
		}
		if i = -1; link >= 0 {
			i = s.arcs[link].from
		}
	}
	slices.Reverse(chain)
	slices.SortStableFunc(lost, func(a, b Queue) int { return int(b.Minutes - a.Minutes) })
	return chain, lost
}
