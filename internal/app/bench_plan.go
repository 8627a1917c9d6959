package app

import (
	"cmp"
	"slices"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/levelling"
)

// CardPlan is what the agreed plan of all jobs says of a task to one person.
type CardPlan struct {
	Start, Finish time.Time
	Mine          bool     // the plan names this person
	With          []string // whom else it names, by name
	// Late: it was to begin before today, or to be finished by now.
	Late bool
	// Why says what it waited for in the plan; empty where the standing says it all.
	Why string
}

// forgottenAfter is how long after the last finish that it names for open work a
// plan still orders the day.
const forgottenAfter = 7 * 24 * time.Hour

// planOfDay returns the plan that pages were loaded with as far as it still speaks of
// the work that is open, or says why none is followed.
func planOfDay(pages []JobPage, now time.Time) (*heldPlan, string) {
	if len(pages) == 0 {
		return nil, ""
	}
	plan := pages[0].held
	if plan == nil {
		return nil, "No plan of all jobs is agreed yet: what is free comes by each job's own schedule."
	}
	if plan.speaksOf(pages, now) {
		return plan, ""
	}
	return nil, "The agreed plan says nothing of the work that is open, and no newer one is agreed yet: what is free comes by each job's own schedule."
}

// speaksOf reports whether the plan has something to say of open work. A floor
// without any follows it too.
func (p *heldPlan) speaksOf(pages []JobPage, now time.Time) bool {
	open := false
	for _, page := range pages {
		for _, t := range page.Estimate.Tasks {
			if t.Kind != domain.Work || page.Tasks[t.ID].State == TaskFinished {
				continue
			}
			open = true
			if bar, ok := p.bars[t.ID]; ok && now.Sub(bar.Finish) < forgottenAfter {
				return true
			}
		}
	}
	return !open
}

// planView is a plan as one person sees it at an instant; the zero value is no plan.
type planView struct {
	plan  *heldPlan
	me    domain.ID
	now   time.Time
	today time.Time // its beginning
	names map[domain.ID]domain.Person
}

func (p *heldPlan) seenBy(r Reader, me domain.ID, now time.Time, zone *time.Location) (planView, error) {
	if p == nil {
		return planView{}, nil
	}
	names, err := r.PeopleByID(p.people)
	return planView{plan: p, me: me, now: now, today: domain.DayOf(now, zone).Start(zone), names: names}, err
}

// put notes on a card what the plan says of it.
func (v planView) put(c *Card) {
	if v.plan == nil {
		return
	}
	bar, ok := v.plan.bars[c.Task.ID]
	if !ok {
		return
	}
	c.Driving = bar.Driving
	c.Plan = &CardPlan{Start: bar.Start, Finish: bar.Finish, Mine: slices.Contains(bar.People, v.me), With: []string{},
		Late: c.Stand.State != TaskFinished && (c.Stand.State == TaskOpen && bar.Start.Before(v.today) || bar.Finish.Before(v.now))}
	for _, id := range bar.People {
		if p, ok := v.names[id]; ok && id != v.me {
			c.Plan.With = append(c.Plan.With, p.Name)
		}
	}
	slices.Sort(c.Plan.With)
	c.Plan.Why = v.planWhy(*c, *bar)
}

// planWhy repeats the plan's words where they still hold: not of what has begun
// or is late, not that a station is taken until an instant that has passed, and
// not twice what a task follows.
func (v planView) planWhy(c Card, bar FloorBar) string {
	switch cause := levelling.Cause(bar.Cause); {
	case c.Stand.State != TaskOpen || c.Plan.Late:
		return ""
	case cause == levelling.ByLink && !c.Ready:
		return ""
	case (cause == levelling.ByQueue || cause == levelling.ByCalendar || cause == levelling.ByDate) && !bar.Start.After(v.now):
		return ""
	}
	return bar.Why
}

// arrange puts what the plan gives to the technician first, in its order, and
// keeps what is free beside it; without a plan there is only the latter.
func (t *Today) arrange(d desk, me domain.Person) {
	t.Unplanned = d.unplanned
	if d.plan == nil {
		t.Next = next(d.cards, me, t.runsOn())
		return
	}
	t.Plan = &d.plan.ShopPlan
	var mine, rest []Card
	for _, c := range d.cards {
		switch {
		case c.Stand.State == TaskFinished || c.Task.ID == t.runsOn():
		case c.Plan != nil && c.Plan.Mine, t.wasOn(c):
			mine = append(mine, c)
		default:
			rest = append(rest, c)
		}
	}
	t.Next, t.Others = soonest(mine, t.Day.End(d.shop.Zone())), next(rest, me, t.runsOn())
}

// wasOn reports whether the technician logged hours on a task today that is
// still under way: it stays at the top whomever the plan names.
func (t *Today) wasOn(c Card) bool {
	return c.Stand.State == TaskInWork && slices.ContainsFunc(t.Entries, func(e LoggedEntry) bool { return e.Entry.TaskID == c.Task.ID && e.Entry.Counts() })
}

// soonest orders tasks by the plan, those under way first, and keeps those that
// are to begin before an instant and the one after; nextShown at least.
func soonest(cards []Card, before time.Time) []Card {
	slices.SortFunc(cards, func(x, y Card) int {
		return cmp.Or(cmp.Compare(y.underWay(), x.underWay()), x.plannedStart().Compare(y.plannedStart()), cmp.Compare(x.Task.ID, y.Task.ID))
	})
	n := 0
	for _, c := range cards {
		if c.underWay() == 1 || c.plannedStart().Before(before) {
			n++
		}
	}
	return cards[:min(len(cards), max(n+1, nextShown))]
}

func (c Card) underWay() int {
	if c.Stand.State == TaskInWork {
		return 1
	}
	return 0
}

func (c Card) plannedStart() time.Time {
	if c.Plan != nil {
		return c.Plan.Start
	}
	return c.Start
}
