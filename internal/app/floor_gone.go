package app

import (
	"bareframe/internal/calendar"
	"bareframe/internal/levelling"
)

// absence is who or what was not there when a task could have started.
type absence struct {
	name   string
	waited calendar.Minutes // of the shop
}

// gone names, of each task that waited a working day or more for somebody or a station to be
// there, the one that was there least in that time: less than half of it. The input
// counts and not the shop's settings, because a what-if closes what is open.
func (b *floorBase) gone(in levelling.Input, r levelling.Result, why map[string]levelling.Why) map[string]absence {
	names, own := map[string]string{}, map[string]*calendar.Spec{}
	for _, p := range in.People {
		names[p.ID], own[p.ID] = p.Name, p.Calendar
	}
	for _, s := range in.Stations {
		names[s.ID], own[s.ID] = s.Name, s.Calendar
	}
	laid := map[string]*calendar.Calendar{}
	hours := func(id string) *calendar.Calendar {
		if c, ok := laid[id]; ok || own[id] == nil {
			return c
		}
		c, err := calendar.New(*own[id])
		if err == nil {
			c, err = calendar.Lay(c, b.cal)
		}
		if err != nil {
			c = nil // then nothing is said of it
		}
		laid[id] = c
		return c
	}
	out := map[string]absence{}
	for _, p := range r.Tasks {
		w := why[p.Task]
		if w.Cause != levelling.ByCalendar || w.Waited < b.day {
			continue
		}
		least := w.Waited / 2
		for _, id := range append([]string{b.tasks.of(p.Task).Station}, p.People...) {
			if c := hours(id); c != nil && c.Between(w.Ready, p.Start) < least {
				least, out[p.Task] = c.Between(w.Ready, p.Start), absence{names[id], w.Waited}
			}
		}
	}
	return out
}
