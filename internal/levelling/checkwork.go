package levelling

import (
	"slices"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/network"
)

// work: minute by minute, exactly the minutes of the task, begun and ended with
// one of them, left over closed stretches as long as allowed and no longer.
func (c *inspector) work(t *Task, p *Placement) {
	left := c.left(t)
	if t.ActualFinish != nil {
		return
	}
	from := c.began(t, p)
	switch {
	case left == 0:
		if t.ActualStart == nil && !p.Finish.Equal(p.Start) {
			c.say("%s takes no time and lasts from %v to %v", t.ID, p.Start, p.Finish)
		}
		return
	case t.Kind == calendar.Elapsed:
		if p.Finish.Sub(from) != time.Duration(left)*time.Minute || from.Before(c.now) {
			c.say("%s takes %d minutes by the clock and lasts from %v to %v", t.ID, left, from, p.Finish)
		}
		return
	case len(p.Pieces) > 0:
		c.pieces(t, p, left)
		return
	}
	worked, closed := int64(0), int64(0)
	for m := from; m.Before(p.Finish); m = m.Add(time.Minute) {
		if c.works(t, p, m) {
			worked++
			closed = 0
			continue
		}
		if closed++; t.LongestBreak != nil && closed > int64(*t.LongestBreak) {
			c.say("%s is left for more than %d minutes at %v", t.ID, *t.LongestBreak, m)
			closed = -1 << 40
		}
	}
	if worked != left {
		c.say("%s takes %d minutes and is worked for %d from %v to %v", t.ID, left, worked, from, p.Finish)
	}
	if !c.works(t, p, from) || !c.works(t, p, p.Finish.Add(-time.Minute)) {
		c.say("%s begins or ends while something it needs is closed: %v to %v", t.ID, from, p.Finish)
	}
}

func (c *inspector) pieces(t *Task, p *Placement, left int64) {
	if !t.Interruptible {
		c.say("%s may not be interrupted and has pieces", t.ID)
	}
	worked, last := int64(0), time.Time{}
	for k, x := range p.Pieces {
		for m := x.From; m.Before(x.To); m = m.Add(time.Minute) {
			if worked++; !c.works(t, p, m) {
				c.say("%s is worked at %v while something it needs is closed", t.ID, m)
				break
			}
		}
		if k > 0 && !x.From.After(last) || !x.To.After(x.From) {
			c.say("%s has pieces out of order", t.ID)
		}
		if k > 0 && t.LongestBreak != nil && x.From.Sub(last) > time.Duration(*t.LongestBreak)*time.Minute {
			c.say("%s is left for more than %d minutes before %v", t.ID, *t.LongestBreak, x.From)
		}
		last = x.To
	}
	first := p.Pieces[0].From
	if t.ActualStart != nil {
		p = &Placement{Start: first, Finish: p.Finish}
	}
	if worked != left || !first.Equal(p.Start) || !last.Equal(p.Finish) {
		c.say("%s takes %d minutes and its pieces are %d, from %v to %v", t.ID, left, worked, first, last)
	}
}

// links: each lag and each maximum lag, in its kind of time.
func (c *inspector) links() {
	for k := range c.in.Links {
		l := &c.in.Links[k]
		from, to := c.tasks[l.From], c.tasks[l.To]
		a, b := c.placed[l.From], c.placed[l.To]
		if to.ActualFinish != nil || to.ActualStart != nil && (kindOf(l) == network.FS || kindOf(l) == network.SS) {
			continue // it has happened
		}
		if a == nil || b == nil {
			if b != nil && to.ActualStart == nil {
				c.say("%s is planned although %s, which it waits for, is not", l.To, l.From)
			}
			if a != nil && l.MaxLag != nil && from.ActualStart == nil && to.ActualStart == nil {
				c.say("%s is planned although %s, which must follow in time, is not", l.From, l.To)
			}
			continue
		}
		x, y := a.Finish, b.Start
		if kindOf(l) == network.SS || kindOf(l) == network.SF {
			x = a.Start
		}
		if kindOf(l) == network.FF || kindOf(l) == network.SF {
			y = b.Finish
		}
		c.lag(l, x.Truncate(time.Minute), y)
	}
}

func (c *inspector) lag(l *network.Link, x, y time.Time) {
	gone := calendar.Minutes(y.Sub(x) / time.Minute)
	if shop := c.opens["shop"]; shop != nil && l.LagKind != calendar.Elapsed {
		if l.Lag == 0 && gone < 0 {
			c.say("%s comes %d minutes before %s allows", l.To, -gone, l.From)
		}
		gone = shop.Between(x, y)
	}
	if gone < l.Lag {
		c.say("%s comes %d minutes after %s, and the lag is %d", l.To, gone, l.From, l.Lag)
	}
	if l.MaxLag != nil && c.tasks[l.To].ActualStart == nil && gone > *l.MaxLag {
		c.say("%s comes %d minutes after %s, and at most %d may pass", l.To, gone, l.From, *l.MaxLag)
	}
}

// stretch is a time in which a task occupies something.
type stretch struct {
	task     string
	from, to time.Time
	units    int
}

// doubles: nobody does two things at once, no station holds more than it takes.
func (c *inspector) doubles() {
	for _, person := range c.in.People {
		c.count("person "+person.ID, 1, c.stretches(func(t *Task, p *Placement) int {
			if slices.Contains(p.People, person.ID) {
				return 1
			}
			return 0
		}))
	}
	for _, s := range c.in.Stations {
		c.count("station "+s.ID, s.Capacity, c.stretches(func(t *Task, p *Placement) int {
			for _, x := range t.Places {
				if x.Station == s.ID {
					return max(1, x.Units)
				}
			}
			return 0
		}))
	}
}

func (c *inspector) stretches(units func(*Task, *Placement) int) []stretch {
	var out []stretch
	for id, p := range c.placed {
		t := c.tasks[id]
		n := units(t, p)
		if n == 0 || t.ActualFinish != nil || c.left(t) == 0 {
			continue
		}
		if len(p.Pieces) == 0 {
			out = append(out, stretch{id, c.began(t, p), p.Finish, n})
		}
		for _, x := range p.Pieces {
			out = append(out, stretch{id, x.From, x.To, n})
		}
	}
	return out
}

// count looks at every start: what is there then is the most there ever is.
func (c *inspector) count(what string, most int, all []stretch) {
	for _, a := range all {
		sum := 0
		for _, b := range all {
			if !b.from.After(a.from) && b.to.After(a.from) {
				sum += b.units
			}
		}
		if sum > most {
			c.say("%s holds %d at %v, when %s begins, and takes %d", what, sum, a.from, a.task, most)
		}
	}
}

// results: the finishes and the cost are those of the placements.
func (c *inspector) results() {
	var late, finish int64
	for k, j := range c.in.Jobs {
		last, open := time.Time{}, false
		for _, p := range c.r.Tasks {
			if t := c.tasks[p.Task]; t.Job == j.ID {
				open = open || t.ActualFinish == nil
				if p.Finish.After(last) {
					last = p.Finish
				}
			}
		}
		if last.IsZero() {
			continue
		}
		weight := int64(max(1, j.Weight))
		last = last.Truncate(time.Minute)
		if open {
			finish += weight * max(0, int64(last.Sub(c.now)/time.Minute))
		}
		if j.Promise != nil {
			late += weight * max(0, int64(last.Sub(j.Promise.Truncate(time.Minute))/time.Minute))
		}
		if got := c.r.Jobs[k]; got.Job != j.ID || !got.Finish.Truncate(time.Minute).Equal(last) {
			c.say("job %s finishes %v and is said to finish %v", j.ID, last, got.Finish)
		}
	}
	for _, p := range c.r.Tasks {
		if by := c.tasks[p.Task].FinishBy; by != nil {
			late += max(0, int64(p.Finish.Truncate(time.Minute).Sub(by.Truncate(time.Minute))/time.Minute))
		}
	}
	if late != c.r.Cost.Late || finish != c.r.Cost.Finish {
		c.say("lateness is %d and finish %d; the plan says %d and %d", late, finish, c.r.Cost.Late, c.r.Cost.Finish)
	}
	if c.r.Bound.Late > late || c.r.Bound.Late == late && c.r.Bound.Finish > finish {
		c.say("the bound %v is above the plan", c.r.Bound)
	}
}
