package app

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

// Card is a task as a technician needs to see it: no money.
type Card struct {
	Task    domain.Task
	Job     domain.Job
	Phase   string
	Station string
	Stand   Standing
	Start   time.Time
	Finish  time.Time
	Driving bool
	Ready   bool // everything before it is done
	Why     string
	Blocks  []Block
	// OrderNumber is of the change order that brought the task; 0 when none did.
	OrderNumber int
	// Plan is what the agreed plan of all jobs says of it; nil where none is followed or it names the task not.
	Plan *CardPlan
}

// Today is a technician's day.
type Today struct {
	Day     domain.Day
	Clock   *LoggedEntry
	Card    *Card // what the clock runs on
	Minutes int   // logged today, the running clock not counted
	// Next is what the plan gives to the technician, or without a plan what is
	// free; Others is what is free beside it.
	Next, Others []Card
	Entries      []LoggedEntry // today's, newest first
	Jobs         []domain.Job  // in work
	// Roster is the technician's own hours and absences; nil: the shop's hours.
	Roster *domain.Roster
	// Plan is the agreed plan that the order follows; nil: Unplanned says why none.
	Plan      *domain.ShopPlan
	Unplanned string
}

// nextShown is how many tasks are offered at once.
const nextShown = 3

// Today returns the actor's running clock, what is next and why, and what was
// logged today.
func (a *App) Today(ctx context.Context, actor domain.Actor) (out Today, err error) {
	err = a.view(ctx, actor, "getToday", func(r Reader) error {
		desk, err := a.cards(r, actor.PersonID, "")
		if err != nil {
			return err
		}
		me, err := r.Person(actor.PersonID)
		if err != nil {
			return err
		}
		out.Jobs, out.Roster = desk.jobs, me.Roster
		if err := a.todayEntries(r, actor, desk.shop, &out); err != nil {
			return err
		}
		out.pickClock(desk.cards)
		out.arrange(desk, me)
		return nil
	})
	return out, err
}

func (a *App) todayEntries(r Reader, actor domain.Actor, shop domain.Shop, out *Today) error {
	zone := shop.Zone()
	out.Day = domain.DayOf(a.now(), zone)
	entries, err := r.EntriesAround(actor.PersonID, out.Day.Start(zone), out.Day.End(zone))
	if err != nil {
		return err
	}
	running, ok, err := r.RunningEntry(actor.PersonID)
	if err != nil {
		return err
	}
	if ok && !slices.ContainsFunc(entries, func(e domain.Entry) bool { return e.ID == running.ID }) {
		entries = append(entries, running)
	}
	sort.Slice(entries, func(i, j int) bool { return entries[i].StartedAt.After(entries[j].StartedAt) })
	named, err := withNames(r, entries)
	if err != nil {
		return err
	}
	out.Entries = []LoggedEntry{}
	for _, e := range named {
		if e.Entry.Running() {
			out.Clock = &e
			continue
		}
		out.Minutes += e.Entry.Minutes()
		out.Entries = append(out.Entries, e)
	}
	return nil
}

func (t *Today) runsOn() domain.ID {
	if t.Clock == nil {
		return ""
	}
	return t.Clock.Entry.TaskID
}

func (t *Today) pickClock(cards []Card) {
	for _, c := range cards {
		if t.Clock != nil && c.Task.ID == t.Clock.Entry.TaskID {
			t.Card = &c
		}
	}
}

// BenchTasks lists the tasks of the jobs in work, to log against; jobID "" is
// all of them. Finished ones come last.
func (a *App) BenchTasks(ctx context.Context, actor domain.Actor, jobID domain.ID) (out []Card, err error) {
	err = a.view(ctx, actor, "listBenchTasks", func(r Reader) (err error) {
		if jobID != "" {
			if _, err := r.Job(jobID); err != nil {
				return err
			}
		}
		desk, err := a.cards(r, actor.PersonID, jobID)
		out = desk.cards
		sort.SliceStable(out, func(i, j int) bool {
			return out[i].Stand.State != TaskFinished && out[j].Stand.State == TaskFinished
		})
		return err
	})
	return out, err
}

// desk is the tasks that people work on, with what they were made from.
type desk struct {
	shop  domain.Shop
	jobs  []domain.Job
	cards []Card
	plan  *heldPlan // that is followed, if any
	// unplanned says why none is.
	unplanned string
}

// cards makes a card of every task that people work on, as one of them sees it.
func (a *App) cards(r Reader, me, jobID domain.ID) (d desk, err error) {
	if d.shop, err = r.Shop(); err != nil {
		return d, err
	}
	if d.jobs, err = allJobs(r, []domain.JobState{domain.Accepted, domain.InWork}, ""); err != nil {
		return d, err
	}
	if jobID != "" {
		d.jobs = slices.DeleteFunc(d.jobs, func(j domain.Job) bool { return j.ID != jobID })
	}
	pages, err := a.loadPages(r, d.jobs)
	if err != nil {
		return d, err
	}
	d.plan, d.unplanned = planOfDay(pages, a.now())
	view, err := d.plan.seenBy(r, me, a.now(), d.shop.Zone())
	if err != nil {
		return d, err
	}
	d.cards = []Card{}
	for _, p := range pages {
		g := gateOf(p.Job, p.Estimate)
		for _, t := range p.Estimate.Tasks {
			if t.Kind == domain.Work || t.Hours.High.IsPositive() {
				d.cards = append(d.cards, p.card(t, g[t.ID], view))
			}
		}
	}
	return d, nil
}

func (p JobPage) card(t domain.Task, blocks []Block, plan planView) Card {
	times := p.Plan.Of(t.ID)
	c := Card{Task: t, Job: p.Job, Stand: p.Tasks[t.ID], Start: times.EarlyStart, Finish: times.EarlyFinish,
		Driving: slices.Contains(p.Plan.DrivingChain, t.ID), Blocks: blocks, OrderNumber: p.OrderNumbers[t.OrderID]}
	if ph, ok := p.Estimate.Phase(t.PhaseID); ok {
		c.Phase = ph.Name
	}
	for _, s := range p.Shop.Settings.Stations {
		if s.Key == t.Station {
			c.Station = s.Name
		}
	}
	waits := p.waitsFor(t)
	c.Ready = len(waits) == 0
	plan.put(&c)
	c.Why = strings.TrimSpace(p.byWords(t) + " " + why(c, times.TotalFloat, standardDay(p.Shop.Calendar), waits))
	return c
}

// waitsFor names the tasks that must end or begin before this one may start.
func (p JobPage) waitsFor(t domain.Task) []string {
	var out []string
	for _, l := range p.Estimate.Links {
		if l.ToID != t.ID {
			continue
		}
		before, ok := p.Estimate.Task(l.FromID)
		if !ok {
			continue
		}
		state := p.Tasks[before.ID].State
		if l.Type == "FS" && state != TaskFinished || l.Type == "SS" && state == TaskOpen {
			out = append(out, before.Describe())
		}
	}
	return out
}

// why says in a sentence why a task is next, or what it waits for.
func why(c Card, float calendar.Minutes, day calendar.Minutes, waits []string) string {
	switch {
	case c.Stand.State == TaskFinished:
		return "Finished."
	case len(c.Blocks) > 0:
		return c.Blocks[0].Detail
	case c.Stand.State == TaskInWork && c.Driving:
		return "In work, and the date hangs on it."
	case c.Stand.State == TaskInWork:
		return "In work."
	case len(waits) > 0:
		return "Waits for " + strings.Join(waits, ", ") + "."
	case c.Driving || c.Plan == nil && float <= 0:
		return "Ready, and the date hangs on it: a day lost here is a day lost at the end."
	case c.Plan != nil:
		return "Ready."
	}
	return fmt.Sprintf("Ready, with %s of slack.", slackWords(float, day))
}

func slackWords(float, day calendar.Minutes) string {
	if float < day {
		return fmt.Sprintf("%d h %02d min", float/60, float%60)
	}
	return plural(int(float/day), "working day")
}

// next picks what to do now: what this person has skill for and may log hours
// on, in work before ready before waiting, the driving chain first.
func next(cards []Card, me domain.Person, running domain.ID) []Card {
	var fit []Card
	for _, c := range cards {
		if c.Stand.State != TaskFinished && len(c.Blocks) == 0 && c.Task.ID != running && able(me, c.Task.Skill) {
			fit = append(fit, c)
		}
	}
	rank := func(c Card) int {
		switch {
		case c.Stand.State == TaskInWork:
			return 0
		case c.Ready:
			return 1
		}
		return 2
	}
	sort.SliceStable(fit, func(i, j int) bool {
		a, b := fit[i], fit[j]
		if rank(a) != rank(b) {
			return rank(a) < rank(b)
		}
		if a.Driving != b.Driving {
			return a.Driving
		}
		if !a.Start.Equal(b.Start) {
			return a.Start.Before(b.Start)
		}
		return a.Task.ID < b.Task.ID
	})
	return fit[:min(len(fit), nextShown):min(len(fit), nextShown)]
}

// able reports whether a person has a skill; who has none listed does anything.
func able(p domain.Person, skill string) bool {
	return skill == "" || len(p.Skills) == 0 || slices.Contains(p.Skills, skill)
}
