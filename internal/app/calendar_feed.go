package app

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"slices"
	"strings"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/icalendar"
)

// CalendarFeed is the agreed plan as a calendar reads it.
type CalendarFeed struct {
	Body []byte
	Tag  string // the same for the same bytes
}

// feedHead is what a feed is of, as it stands now.
type feedHead struct {
	name  string
	job   domain.Job // of a job's feed
	holds func(b FloorBar) bool
}

// noFeed is the one answer to every address that leads nowhere: a wrong token, a
// link that was stopped, a person who left, a station that is gone, a job that is over.
func noFeed() error {
	return fault.New(fault.NotFound, "calendar-not-found", "There is no calendar at this address.")
}

// ReadCalendar returns the feed that a token opens. Attempts are throttled by
// address, right ones too, so that guessing costs the same either way; all
// refusals are alike. Reading is noted, at most once in some minutes.
func (a *App) ReadCalendar(ctx context.Context, token string, from Place) (CalendarFeed, error) {
	now := a.now()
	if err := a.attempts.take("calendar "+from.Address, 30, 4*time.Second, now); err != nil {
		return CalendarFeed{}, err
	}
	link, err := a.store.CalendarLinkByHash(ctx, tokenHash(token))
	if fault.KindOf(err) == fault.NotFound || err == nil && link.RevokedAt != nil {
		return CalendarFeed{}, noFeed()
	}
	if err != nil {
		return CalendarFeed{}, err
	}
	var feed icalendar.Feed
	err = a.store.View(ctx, link.ShopID, func(r Reader) (err error) {
		feed, err = a.feedOf(r, CalendarOf{link.Kind, link.Of()})
		return err
	})
	if fault.KindOf(err) == fault.NotFound {
		return CalendarFeed{}, noFeed()
	}
	if err != nil {
		return CalendarFeed{}, err
	}
	if link.LastReadAt == nil || now.Sub(*link.LastReadAt) > touchEvery {
		if err := a.store.TouchCalendarLink(ctx, link.ShopID, link.ID, now); err != nil {
			return CalendarFeed{}, err
		}
	}
	body, err := feed.Bytes()
	sum := sha256.Sum256(body)
	return CalendarFeed{Body: body, Tag: base64.RawURLEncoding.EncodeToString(sum[:16])}, err
}

// readFeedHead finds whom or what a feed is of. It fails with NotFound for a
// person who does not work here any more, a station that is gone and a job that
// is over.
func readFeedHead(r Reader, shop domain.Shop, of CalendarOf) (feedHead, error) {
	switch of.Kind {
	case domain.CalendarOfPerson:
		p, err := r.Person(of.Of)
		if err != nil || !p.Active || p.Role == domain.Client {
			return feedHead{}, cmp.Or(err, noFeed())
		}
		return feedHead{name: p.Name, holds: func(b FloorBar) bool { return slices.Contains(b.People, of.Of) }}, nil
	case domain.CalendarOfStation:
		for _, s := range shop.Settings.Stations {
			if s.Key == of.Of {
				return feedHead{name: s.Name, holds: func(b FloorBar) bool { return slices.Contains(b.Stations, of.Of) }}, nil
			}
		}
	case domain.CalendarOfJob:
		j, err := r.Job(of.Of)
		if err != nil || j.Over() {
			return feedHead{}, cmp.Or(err, noFeed())
		}
		return feedHead{name: fmt.Sprintf("Job %d: %s", j.Number, j.Vehicle.Label()), job: j, holds: func(b FloorBar) bool { return b.JobID == of.Of }}, nil
	}
	return feedHead{}, noFeed()
}

// feedOf writes what the agreed plan still holds for a person, a station or a job.
// The statements that it takes do not depend on how much that is.
func (a *App) feedOf(r Reader, of CalendarOf) (icalendar.Feed, error) {
	shop, err := r.Shop()
	if err != nil {
		return icalendar.Feed{}, err
	}
	head, err := readFeedHead(r, shop, of)
	if err != nil {
		return icalendar.Feed{}, err
	}
	feed := icalendar.Feed{Name: head.name + " – " + shop.Settings.Name}
	plan, err := a.agreedPlan(r)
	if err != nil {
		return icalendar.Feed{}, err
	}
	if plan != nil {
		if feed.Events, err = a.plannedEvents(r, shop, plan, head); err != nil {
			return icalendar.Feed{}, err
		}
	}
	if head.job.ID != "" && !head.job.Promise.IsZero() {
		feed.Events = append(feed.Events, promised(shop, head.job, plan))
	}
	return feed, nil
}

func (a *App) plannedEvents(r Reader, shop domain.Shop, plan *heldPlan, head feedHead) ([]icalendar.Event, error) {
	var bars []FloorBar
	ids := map[domain.ID]bool{}
	for _, b := range plan.Said.Bars {
		if b.Progress == "finished" || !head.holds(b) {
			continue
		}
		bars = append(bars, b)
		for _, p := range b.People {
			ids[p] = true
		}
	}
	people, err := r.PeopleByID(sortedKeys(ids))
	if err != nil {
		return nil, err
	}
	cal, err := a.calendarOf(shop)
	if err != nil {
		return nil, err
	}
	w := &feedWriter{shop: shop, plan: plan, people: people, hours: newWorkingHours(shop, cal, people)}
	var out []icalendar.Event
	for _, b := range bars {
		events, err := w.events(b)
		if err != nil {
			return nil, err
		}
		out = append(out, events...)
	}
	return out, nil
}

// feedWriter puts bars of a plan into events.
type feedWriter struct {
	shop   domain.Shop
	plan   *heldPlan
	people map[domain.ID]domain.Person
	hours  *workingHours
}

// events gives one event for each stretch that a task is worked.
func (w *feedWriter) events(b FloorBar) ([]icalendar.Event, error) {
	stretches, err := w.hours.of(b, w.plan.MadeAt)
	if err != nil {
		return nil, err
	}
	at := w.plan.HoldsSince()
	zone := w.shop.Zone()
	onDay := map[domain.Day]int{}
	out := make([]icalendar.Event, 0, len(stretches))
	for i, s := range stretches {
		day := domain.DayOf(s.From, zone)
		onDay[day]++
		out = append(out, icalendar.Event{
			UID:   fmt.Sprintf("%s-%s-%d@%s", b.TaskID, strings.ReplaceAll(string(day), "-", ""), onDay[day], w.shop.ID),
			Stamp: at, Modified: at, Sequence: w.plan.Revision, Start: s.From, End: s.To,
			Summary:  fmt.Sprintf("%s %s (job %d)", b.Code, b.Name, w.plan.jobs[b.JobID].Number),
			Location: w.places(b), Details: w.details(b, i, len(stretches)), Free: takesNobody(b),
		})
	}
	return out, nil
}

func (w *feedWriter) places(b FloorBar) string {
	var names []string
	for _, s := range w.shop.Settings.Stations {
		if slices.Contains(b.Stations, s.Key) {
			names = append(names, s.Name)
		}
	}
	return strings.Join(names, ", ")
}

// details say which car, who, and how far the task reaches. No client, no price
// and no serial number of a car: a feed is read outside the shop.
func (w *feedWriter) details(b FloorBar, part, parts int) string {
	zone := w.shop.Zone()
	job := w.plan.jobs[b.JobID]
	lines := []string{fmt.Sprintf("Job %d, %s", job.Number, job.Car)}
	var crew []string
	for _, id := range b.People {
		if p, ok := w.people[id]; ok {
			crew = append(crew, p.Name)
		}
	}
	if len(crew) > 0 {
		lines = append(lines, "Crew: "+strings.Join(crew, ", "))
	}
	switch {
	case b.Kind == domain.Cure:
		lines = append(lines, "It cures by itself, day and night.")
	case b.Kind == domain.Sublet:
		lines = append(lines, "It is away at a vendor.")
	case parts > 1:
		lines = append(lines, fmt.Sprintf("Part %d of %d; done %s.", part+1, parts, b.Finish.In(zone).Format("Mon 2 Jan 15:04")))
	}
	lines = append(lines, fmt.Sprintf("By plan %d of %s.", w.plan.Revision, w.plan.HoldsSince().In(zone).Format("2 January 2006")))
	return strings.Join(lines, "\n")
}

// takesNobody reports whether a task passes without anybody's time.
func takesNobody(b FloorBar) bool { return b.Kind == domain.Cure || b.Kind == domain.Sublet }

// promised is the day that a client may count on. The job keeps no time at which
// its promise was last moved, so that no LAST-MODIFIED is said.
func promised(shop domain.Shop, j domain.Job, plan *heldPlan) icalendar.Event {
	stamp := j.CreatedAt
	if plan != nil && plan.HoldsSince().After(stamp) {
		stamp = plan.HoldsSince()
	}
	day := j.Promise.Start(time.UTC)
	return icalendar.Event{UID: fmt.Sprintf("%s-promise@%s", j.ID, shop.ID), Stamp: stamp, Sequence: j.Version, Start: day, End: day.AddDate(0, 0, 1), AllDay: true,
		Summary: fmt.Sprintf("Promised: job %d", j.Number), Details: fmt.Sprintf("Job %d, %s", j.Number, j.Vehicle.Label()), Free: true}
}
