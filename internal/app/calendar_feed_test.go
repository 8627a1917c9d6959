package app_test

import (
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
	"bareframe/internal/testkit/ics"
)

// feed makes a link and reads it strictly.
func (b *bench) feed(kind domain.CalendarKind, of string) *ics.Component {
	b.t.Helper()
	made, err := b.app.MakeCalendarLink(b.t.Context(), b.owner, app.CalendarOf{Kind: kind, Of: of})
	b.ok("making a link", err)
	return b.reads(made.Token)
}

func (b *bench) reads(token string) *ics.Component {
	b.t.Helper()
	b.pass(4 * time.Second)
	f, err := b.app.ReadCalendar(b.t.Context(), token, app.Place{Address: "192.0.2.9"})
	b.ok("reading the feed", err)
	c, err := ics.Read(f.Body)
	b.ok("parsing the feed", err)
	if faults := c.Faults(); len(faults) > 0 {
		b.t.Fatalf("%q in\n%s", faults, f.Body)
	}
	return c
}

// mornings has somebody work Mondays to Wednesdays from eight to noon, off on one Tuesday.
func (b *bench) mornings(who domain.Actor, off domain.Day) {
	b.t.Helper()
	p, err := b.app.Person(b.t.Context(), b.owner, who.PersonID)
	b.ok("person", err)
	half := []calendar.Interval{{From: "08:00", To: "12:00"}}
	p.Roster = &domain.Roster{Week: map[string][]calendar.Interval{"monday": half, "tuesday": half, "wednesday": half},
		Absences: []domain.Absence{{From: off, To: off, Reason: domain.AwayHoliday}}}
	_, err = b.app.ChangePerson(b.t.Context(), b.owner, p.ID, app.Precondition{Given: true, Version: p.Version}, p)
	b.ok("roster", err)
}

func called(c *ics.Component, code string) []*ics.Component {
	var out []*ics.Component
	for _, e := range c.Components {
		if strings.HasPrefix(e.Text("SUMMARY"), code+" ") {
			out = append(out, e)
		}
	}
	return out
}

func minutes(t *testing.T, events []*ics.Component) (sum int) {
	t.Helper()
	for _, e := range events {
		from, _, _ := e.Time("DTSTART")
		to, _, _ := e.Time("DTEND")
		sum += int(to.Sub(from).Minutes())
	}
	return sum
}

// A phone's calendar is true about nights, weekends and days off: the weld of two
// cars lies in the welder's mornings and adds up to its hours. Its mean is
// (5 + 4·8 + 14) / 6 = 8.5 hours by the three-point formula of PERT (Malcolm and
// others, 1959): 510 minutes a car.
func TestAPersonsFeedKeepsToTheirHours(t *testing.T) {
	for _, r := range []struct {
		name string
		open func(testing.TB, domain.ShopSettings) *bench
	}{{"sqlite", open}, {"postgres", openOnPostgres}} {
		t.Run(r.name, func(t *testing.T) {
			b := r.open(t, settings("EUR", pricing.PerDocument))
			b.skilled(b.marik, "welder")
			b.skilled(b.tessel, "fitter")
			b.mornings(b.marik, "2031-03-11") // the second Tuesday
			one, two := b.soldJob(), b.soldJob()
			if f := b.plans(); f.Plan == nil || len(f.Plan.Said.Unplaced) > 0 {
				t.Fatalf("the plan: %+v", f.Plan)
			}
			c := b.feed(domain.CalendarOfPerson, b.marik.PersonID)
			welds := called(c, "B10")
			if len(welds) != len(c.Components) || minutes(t, welds) != 2*510 {
				t.Errorf("%d events of %d weld for %d minutes; want all, for 1020", len(welds), len(c.Components), minutes(t, welds))
			}
			for _, e := range c.Components {
				from, _, _ := e.Time("DTSTART")
				to, _, _ := e.Time("DTEND")
				noon := time.Date(from.Year(), from.Month(), from.Day(), 12, 0, 0, 0, time.UTC)
				if d := from.Weekday(); d < time.Monday || d > time.Wednesday || from.Hour() < 8 || to.After(noon) || from.Format(time.DateOnly) == "2031-03-11" {
					t.Errorf("%s is from %v to %v; they work Mondays to Wednesdays from 8 to 12, and not on the 11th", e.Text("SUMMARY"), from, to)
				}
				if e.All("TRANSP")[0].Value != "OPAQUE" || !strings.Contains(e.Text("DESCRIPTION"), "Crew: Marik Oldane") {
					t.Errorf("event %v", e.Properties)
				}
			}
			if none := b.feed(domain.CalendarOfPerson, b.owner.PersonID); len(none.Components) != 0 {
				t.Errorf("who does nothing has %d events", len(none.Components))
			}
			b.jobFeed(t, one.Job)
			b.jobFeed(t, two.Job)
		})
	}
}

// jobFeed: all tasks of the job, its cure as one stretch of 24 hours that takes nobody's time.
func (b *bench) jobFeed(t *testing.T, j domain.Job) {
	t.Helper()
	promise := b.page(j.ID).Job.Promise
	c := b.feed(domain.CalendarOfJob, j.ID)
	cures := called(c, "C20")
	if len(cures) != 1 || minutes(t, cures) != 24*60 || cures[0].All("TRANSP")[0].Value != "TRANSPARENT" {
		t.Errorf("the cure: %d events for %d minutes; want one for 1440 that takes no time", len(cures), minutes(t, cures))
	}
	if n := minutes(t, called(c, "B10")); n != 510 {
		t.Errorf("the weld takes %d minutes; want 510", n)
	}
	promises := called(c, "Promised:")
	if len(promises) != 1 {
		t.Fatalf("%d promises in %d events", len(promises), len(c.Components))
	}
	// RFC 5545, 3.6.1: DTEND of an all-day event is the day after.
	from, to := strings.ReplaceAll(string(promise), "-", ""), strings.ReplaceAll(string(promise.AddDays(1)), "-", "")
	if p := promises[0]; promise == "" || p.All("DTSTART")[0].Value != from || p.All("DTEND")[0].Value != to || p.All("DTSTART")[0].Params["VALUE"] != "DATE" {
		t.Errorf("the promise: %v", p.Properties)
	}
}

// A proposed plan is not the shop's: the feed is the same until it is agreed to.
// Then an event of the same task on the same day keeps its identity and is revised.
func TestAFeedFollowsOnlyWhatIsAgreedTo(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	b.soldJob()
	first := b.plans()
	made, err := b.app.MakeCalendarLink(t.Context(), b.marik, app.CalendarOf{Kind: domain.CalendarOfPerson, Of: b.marik.PersonID})
	b.ok("making a link", err)
	before := b.reads(made.Token)
	_, err = b.app.PlanFloor(t.Context(), b.owner)
	b.ok("asking for a plan", err)
	second := b.plans()
	if second.Proposed != nil {
		_, err = b.app.DecidePlan(t.Context(), b.owner, second.Proposed.ID, true)
		b.ok("agreeing", err)
		second = b.plans()
	}
	after := b.reads(made.Token)
	if second.Plan.Revision == first.Plan.Revision || len(before.Components) == 0 {
		t.Fatalf("revision %d after %d, %d events", second.Plan.Revision, first.Plan.Revision, len(before.Components))
	}
	was := map[string]bool{}
	for _, e := range before.Components {
		was[e.Text("UID")] = true
	}
	kept := 0
	for _, e := range after.Components {
		if was[e.Text("UID")] { // RFC 5545, 3.8.7.4: a revision counts up
			kept++
			if e.All("SEQUENCE")[0].Value <= before.Components[0].All("SEQUENCE")[0].Value {
				t.Errorf("%s was revised and is number %s", e.Text("UID"), e.All("SEQUENCE")[0].Value)
			}
		}
	}
	if kept == 0 {
		t.Errorf("no event of %d kept its identity", len(before.Components))
	}
	b.closeFor(30)
	proposed := b.plans()
	if proposed.Proposed == nil {
		t.Fatal("a closed month proposes no other plan")
	}
	asked := b.reads(made.Token)
	if got, want := asked.Components[0].All("SEQUENCE")[0].Value, after.Components[0].All("SEQUENCE")[0].Value; got != want {
		t.Errorf("the feed follows revision %s before it is agreed to; want %s", got, want)
	}
}

func TestATaskMayBeCalledAnything(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	p := b.job(b.template)
	weld := taskCalled(t, p, "B10")
	weld.Name = `Weld, grind; "dress" \ 🔩 ` + strings.Repeat("Längsträger", 9) + "\r\nATTENDEE:mailto:x@example.org"
	p, err := b.app.ChangeTask(t.Context(), b.owner, p.Job.ID, weld.ID, made(p), weld, nil)
	b.ok("naming", err)
	b.accept(b.issue(p))
	b.plans()
	welds := called(b.feed(domain.CalendarOfJob, p.Job.ID), "B10")
	if len(welds) == 0 || len(welds[0].All("ATTENDEE")) != 0 {
		t.Fatalf("got %v", welds)
	}
	if want := "B10 " + strings.ReplaceAll(weld.Name, "\r\n", " "); !strings.HasPrefix(welds[0].Text("SUMMARY"), want) {
		t.Errorf("got %q, want it to begin %q", welds[0].Text("SUMMARY"), want)
	}
}
