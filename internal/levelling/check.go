package levelling

import (
	"fmt"
	"slices"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/network"
)

// Check holds a plan against the rules of its input and says in sentences what
// is broken; nothing when all is well. It is slow and obvious on purpose, reads
// the calendars afresh and shares nothing with what makes plans. O(bookings²)
// for each person and station, and a reading of the calendars for each minute
// asked.
func Check(in Input, r Result) []string {
	c := &inspector{in: &in, r: &r, tasks: map[string]*Task{}, placed: map[string]*Placement{}, opens: map[string]*calendar.Calendar{}}
	if !c.read() {
		return c.said
	}
	for i := range in.Tasks {
		t := &in.Tasks[i]
		if p := c.placed[t.ID]; p != nil {
			c.dates(t, p)
			c.crew(t, p)
			c.work(t, p)
		}
	}
	c.links()
	c.doubles()
	c.results()
	return c.said
}

type inspector struct {
	in     *Input
	r      *Result
	tasks  map[string]*Task
	placed map[string]*Placement
	opens  map[string]*calendar.Calendar // by "shop", "person ID" and "station ID"; none: round the clock
	now    time.Time
	said   []string
}

func (c *inspector) say(format string, args ...any) {
	c.said = append(c.said, fmt.Sprintf(format, args...))
}

// read lists what there is. Every task is placed once or refused once.
func (c *inspector) read() bool {
	c.now = c.in.Now.Add(time.Minute - 1).Truncate(time.Minute)
	c.open("shop", c.in.Calendar)
	for _, p := range c.in.People {
		c.open("person "+p.ID, p.Calendar)
	}
	for _, s := range c.in.Stations {
		c.open("station "+s.ID, s.Calendar)
	}
	for i := range c.in.Tasks {
		c.tasks[c.in.Tasks[i].ID] = &c.in.Tasks[i]
	}
	seen := map[string]int{}
	for i := range c.r.Tasks {
		p := &c.r.Tasks[i]
		c.placed[p.Task] = p
		seen[p.Task]++
	}
	for _, u := range c.r.Unplaced {
		seen[u.Task]++
		if u.Detail == "" || u.Code == "" {
			c.say("%s is refused without a reason", u.Task)
		}
	}
	for id, n := range seen {
		if c.tasks[id] == nil || n != 1 {
			c.say("%s is answered %d times", id, n)
		}
	}
	for id := range c.tasks {
		if seen[id] == 0 {
			c.say("%s is not answered", id)
		}
	}
	return len(c.said) == 0
}

func (c *inspector) open(name string, spec *calendar.Spec) {
	if spec == nil {
		return
	}
	cal, err := calendar.New(*spec)
	if err != nil {
		c.say("the calendar of %s: %v", name, err)
		return
	}
	c.opens[name] = cal
}

// dates: nothing in the past, nothing before it may start, pins kept.
func (c *inspector) dates(t *Task, p *Placement) {
	switch {
	case t.ActualFinish != nil:
		if !p.Start.Equal(*t.ActualStart) || !p.Finish.Equal(*t.ActualFinish) {
			c.say("%s is done and stands elsewhere", t.ID)
		}
		return
	case t.ActualStart != nil:
		if !p.Start.Equal(*t.ActualStart) {
			c.say("%s has started and stands elsewhere", t.ID)
		}
	case p.Start.Before(c.now):
		c.say("%s starts before now", t.ID)
	case t.NotBefore != nil && p.Start.Before(*t.NotBefore):
		c.say("%s starts before %v", t.ID, *t.NotBefore)
	case t.Pin != nil && !p.Start.Equal(t.Pin.Truncate(time.Minute)):
		c.say("%s is pinned to %v and starts %v", t.ID, *t.Pin, p.Start)
	}
	if p.Finish.Before(p.Start) {
		c.say("%s finishes before it starts", t.ID)
	}
}

// left gives the minutes of t that the plan has to hold.
func (c *inspector) left(t *Task) int64 {
	switch {
	case t.ActualFinish != nil:
		return 0
	case t.ActualStart == nil:
		return int64(t.Duration)
	case t.Remaining != nil:
		return int64(*t.Remaining)
	}
	start := t.ActualStart.Truncate(time.Minute)
	if first := c.now.AddDate(-10, 0, 0); start.Before(first) {
		start = first
	}
	gone := int64(c.now.Sub(start) / time.Minute)
	if shop := c.opens["shop"]; shop != nil && t.Kind != calendar.Elapsed {
		gone = int64(shop.Between(start, c.now))
	}
	return max(0, int64(t.Duration)-gone)
}

// crew: the people that it takes, each for one need and able to fill it.
func (c *inspector) crew(t *Task, p *Placement) {
	if c.left(t) == 0 {
		return
	}
	if on := c.on(t); len(on) > 0 {
		if !slices.Equal(on, p.People) {
			c.say("%s is under way with %v and planned with %v", t.ID, on, p.People)
		}
		return
	}
	var skills []string // in the order of the crew, rows of one skill together
	for k, w := range t.Crew {
		if slices.ContainsFunc(t.Crew[:k], func(x Crew) bool { return x.Skill == w.Skill }) {
			continue
		}
		for _, x := range t.Crew {
			for range x.Count {
				if x.Skill == w.Skill {
					skills = append(skills, w.Skill)
				}
			}
		}
	}
	if len(skills) != len(p.People) {
		c.say("%s needs %d people and has %v", t.ID, len(skills), p.People)
		return
	}
	for k, id := range p.People {
		at := slices.IndexFunc(c.in.People, func(x Person) bool { return x.ID == id })
		if at < 0 || !slices.Contains(c.in.People[at].Skills, skills[k]) {
			c.say("%s: %s is there for %q and cannot do it", t.ID, id, skills[k])
		}
		if slices.Contains(p.People[:k], id) {
			c.say("%s: %s is there twice", t.ID, id)
		}
		if len(t.PinPeople) > 0 && t.ActualStart == nil && !slices.Contains(t.PinPeople, id) {
			c.say("%s: %s does it, and others were named", t.ID, id)
		}
	}
}

// on are the people on a task under way who work here.
func (c *inspector) on(t *Task) []string {
	var out []string
	for _, id := range t.On {
		if t.ActualStart != nil && slices.ContainsFunc(c.in.People, func(x Person) bool { return x.ID == id }) {
			out = append(out, id)
		}
	}
	return out
}

// isOpen asks one calendar about the minute that begins at m.
func (c *inspector) isOpen(name string, m time.Time) bool {
	cal := c.opens[name]
	return cal == nil || cal.NextOpen(m).Equal(m)
}

// works says whether the minute that begins at m is one in which t can be worked.
func (c *inspector) works(t *Task, p *Placement, m time.Time) bool {
	if !c.isOpen("shop", m) {
		return false
	}
	for _, x := range t.Places {
		if !c.isOpen("station "+x.Station, m) {
			return false
		}
	}
	for _, id := range p.People {
		if !c.isOpen("person "+id, m) {
			return false
		}
	}
	return true
}

// began gives where what the plan holds of a task begins: of one under way, as
// late as its minutes allow, since where it goes on is not part of the answer.
func (c *inspector) began(t *Task, p *Placement) time.Time {
	if t.ActualStart == nil || t.ActualFinish != nil {
		return p.Start
	}
	m, left := p.Finish, c.left(t)
	for left > 0 && m.After(c.now) {
		m = m.Add(-time.Minute)
		if t.Kind == calendar.Elapsed || c.works(t, p, m) {
			left--
		}
	}
	return m
}

func kindOf(l *network.Link) network.LinkType {
	if l.Type == "" {
		return network.FS
	}
	return l.Type
}
