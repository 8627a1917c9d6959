package store

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// A link comes back as it was made, is one of its kind while it works, and is found
// by its hash in whatever shop.
func TestCalendarLinks(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		furnish(t, s, "b")
		link := func(id domain.ID, kind domain.CalendarKind, of string, minute int) domain.CalendarLink {
			l := domain.CalendarLink{ID: id, ShopID: "a", TokenHash: "hash-" + id, CreatedAt: at(minute), CreatedBy: "Ida"}
			l.SetOf(kind, of)
			return l
		}
		one, two, three := link("1", domain.CalendarOfPerson, f.fitter.ID, 1), link("2", domain.CalendarOfStation, "stand", 2), link("3", domain.CalendarOfJob, f.job.ID, 3)
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.AddCalendarLink(one), tx.AddCalendarLink(two), tx.AddCalendarLink(three))
		})
		for _, again := range []domain.CalendarLink{link("4", domain.CalendarOfPerson, f.fitter.ID, 4), link("4", domain.CalendarOfStation, "stand", 4), link("4", domain.CalendarOfJob, f.job.ID, 4)} {
			err := s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.AddCalendarLink(again) })
			refused(t, "a second of "+string(again.Kind), err, fault.Conflict, "calendar-link-there")
		}
		view(t, s, "a", func(r app.Reader) {
			all, err := r.CalendarLinks()
			same(t, "all, newest first", all, []domain.CalendarLink{three, two, one}, err)
			got, ok, err := r.CalendarLinkOf(domain.CalendarOfStation, "stand")
			same(t, "of the station", got, two, err)
			same(t, "found", ok, true, nil)
		})
		view(t, s, "b", func(r app.Reader) {
			all, err := r.CalendarLinks()
			same(t, "of another shop", all, []domain.CalendarLink{}, err)
			refused(t, "another shop's", second(r.CalendarLink("1")), fault.NotFound, "calendar-link-not-found")
		})
		refused(t, "stopping another shop's", s.Update(t.Context(), "b", func(tx app.Tx) error { return tx.StopCalendarLink("1", at(9)) }), fault.NotFound, "calendar-link-not-found")
		same(t, "touching another shop's", "", "", s.TouchCalendarLink(t.Context(), "b", "1", at(9)))
		same(t, "touching", "", "", s.TouchCalendarLink(t.Context(), "a", "2", at(8)))
		update(t, s, "a", func(tx app.Tx) error {
			again := link("5", domain.CalendarOfPerson, f.fitter.ID, 5)
			return must(tx.StopCalendarLink("1", at(7)), tx.AddCalendarLink(again))
		})
		one.RevokedAt, two.LastReadAt = ptr(at(7)), ptr(at(8))
		got, err := s.CalendarLinkByHash(t.Context(), "hash-1")
		same(t, "stopped", got, one, err)
		got, err = s.CalendarLinkByHash(t.Context(), "hash-2")
		same(t, "read", got, two, err)
		refused(t, "unknown", second(s.CalendarLinkByHash(t.Context(), "x")), fault.NotFound, "calendar-link-not-found")
	})
}

// Reading a calendar takes as many statements for a hundred events by thirty people
// as for one by one.
func TestReadingACalendarTakesAConstantNumberOfStatements(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		update(t, s, "a", func(tx app.Tx) error {
			for i := range 30 {
				if err := tx.AddPerson(domain.Person{ID: fmt.Sprint("p", i), Version: 1, Name: fmt.Sprint("P", i), Email: fmt.Sprint(i, "@x"), Role: domain.Technician, Active: true, CreatedAt: at(0)}); err != nil {
					return err
				}
			}
			return nil
		})
		clock := at(1000)
		a := app.New(app.Options{Store: s, Now: func() time.Time { return clock }, NewID: func() domain.ID { return fmt.Sprint("l", clock.Unix()) }, Secret: func() string { return fmt.Sprint("s", clock.Unix()) }})
		owner := domain.Actor{ShopID: "a", PersonID: f.owner.ID, Role: domain.Owner, Name: "Ida"}
		n := countStatements(s)
		var first int64
		for revision, size := range []int{1, 2, 100} {
			said := app.FloorSaid{Jobs: []app.FloorJob{{JobID: f.job.ID, Number: 1, Car: "1963 Orlo Nine"}}}
			for i := range size {
				start := at(2000 + 60*i)
				said.Bars = append(said.Bars, app.FloorBar{TaskID: fmt.Sprint("t", i), JobID: f.job.ID, Code: "A", Name: "x", Kind: domain.Work, Start: start, Finish: start.Add(time.Hour), People: []domain.ID{fmt.Sprint("p", i%30)}, Stations: []string{"stand"}})
			}
			body, err := json.Marshal(said)
			update(t, s, "a", func(tx app.Tx) error {
				return must(err, tx.AddShopPlan(domain.ShopPlan{ID: fmt.Sprint("plan", revision), Revision: revision + 1, MadeAt: clock, Body: body, State: domain.PlanAgreed}))
			})
			clock = clock.Add(time.Hour)
			made, err := a.MakeCalendarLink(t.Context(), owner, app.CalendarOf{Kind: domain.CalendarOfStation, Of: "stand"})
			same(t, "made", "", "", err)
			before := n.Load()
			feed, err := a.ReadCalendar(t.Context(), made.Token, app.Place{})
			took := n.Load() - before
			if first == 0 {
				first = took
			}
			if err != nil || took != first || len(feed.Body) < 200*size {
				t.Errorf("%d events: %d statements for %d bytes (%v); one event takes %d", size, took, len(feed.Body), err, first)
			}
		}
		t.Logf("a calendar takes %d statements, with noting that it was read", first)
	})
}
