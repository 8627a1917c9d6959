package app

import (
	"testing"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

func planner(t *testing.T, now time.Time) (*App, domain.Shop) {
	t.Helper()
	shop := domain.Shop{ID: "s", Settings: StartingSettings("Shop", "EUR", "UTC", "en", "metric"), Calendar: StartingCalendar(), CalendarVersion: 1}
	shop.Calendar.TimeZone = "UTC"
	return New(Options{Now: func() time.Time { return now }}), shop
}

// Two tasks of 8 h one after the other; see the week of actuals_test.go.
var two = domain.Estimate{Tasks: []domain.Task{task("a"), task("b")}, Links: []domain.Link{follows("a", "b")}}

func TestPlanBeforeAndAfterAcceptance(t *testing.T) {
	sold := domain.Job{AcceptedQuoteID: "q"}
	begun := map[domain.ID]domain.TaskProgress{"a": {WorkedMinutes: 120, Started: ptr(on(3, "08:00"))}}
	for _, r := range []struct {
		name     string
		job      domain.Job
		progress map[domain.ID]domain.TaskProgress
		now      time.Time
		start    time.Time // of the whole
		finish   time.Time
		actual   bool // a has started
	}{
		{"an estimate starts now: Monday 10:00 and 16 h is Wednesday 10:00", domain.Job{}, nil, on(3, "10:00"), on(3, "10:00"), on(5, "10:00"), false},
		{"to the whole minute", domain.Job{}, nil, on(3, "10:00").Add(59 * time.Second), on(3, "10:00"), on(5, "10:00"), false},
		{"or on its earliest day", domain.Job{NotBefore: "2031-03-05"}, nil, on(3, "10:00"), on(5, "00:00"), on(6, "16:30"), false},
		{"an earliest day that is past does not count", domain.Job{NotBefore: "2031-03-01"}, nil, on(3, "10:00"), on(3, "10:00"), on(5, "10:00"), false},
		{"hours of an estimate that is not sold do not count", domain.Job{}, begun, on(3, "10:00"), on(3, "10:00"), on(5, "10:00"), false},
		{"sold: 6 h are left of a at Monday 10:00, then 8 h of b: Tuesday 16:30", sold, begun, on(3, "10:00"), on(3, "08:00"), on(4, "16:30"), true},
		{"sold, and nobody came on Tuesday: what is left moves", sold, begun, on(5, "08:00"), on(3, "08:00"), on(6, "14:30"), true},
	} {
		a, shop := planner(t, r.now)
		plan, err := a.planOf(shop, r.job, two, r.progress, r.now)
		if err != nil {
			t.Errorf("%s: %v", r.name, err)
			continue
		}
		if !plan.Start.Equal(r.start) || !plan.Finish.Equal(r.finish) {
			t.Errorf("%s: %v to %v, want %v to %v", r.name, plan.Start, plan.Finish, r.start, r.finish)
		}
		if start, _ := plan.Actual("a"); (start != nil) != r.actual {
			t.Errorf("%s: a has started: %v, want %v", r.name, start, r.actual)
		}
		if r.job.Sold() && plan.Of("b").EarlyStart.Before(r.now) {
			t.Errorf("%s: b starts in the past, %v", r.name, plan.Of("b").EarlyStart)
		}
	}
}

// 16 h from Monday 08:00 end on Tuesday 16:30.
func TestLateDays(t *testing.T) {
	for promise, want := range map[domain.Day]int{"": 0, "2031-03-05": 0, "2031-03-04": 0, "2031-03-03": 1, "2031-03-02": 2, "2031-02-28": 2, "2031-02-27": 3} {
		a, shop := planner(t, on(3, "08:00"))
		plan, err := a.planOf(shop, domain.Job{Promise: promise}, two, nil, on(3, "08:00"))
		if err != nil {
			t.Fatal(err)
		}
		if got := plan.lateDays(standardDay(shop.Calendar)); got != want {
			t.Errorf("promised for %q: %d days late, want %d", promise, got, want)
		}
	}
	elapsed := Plan{Result: network.Result{Shortfalls: []network.Shortfall{{Limit: network.LimitPromise, WorkingMinutes: 0, ElapsedMinutes: 30}}}}
	if got := elapsed.lateDays(workday); got != 1 {
		t.Errorf("late by closed time only: %d days, want 1", got)
	}
	other := Plan{Result: network.Result{Shortfalls: []network.Shortfall{{Limit: network.LimitFinishBy, WorkingMinutes: 4000}}}}
	if got := other.lateDays(workday); got != 0 {
		t.Errorf("a task's own date is no promise to the client: %d days", got)
	}
	for minutes, want := range map[calendar.Minutes]int{1: 1, 480: 1, 481: 2, 960: 2, 961: 3} {
		p := Plan{Result: network.Result{Shortfalls: []network.Shortfall{{Limit: network.LimitPromise, WorkingMinutes: minutes}}}}
		if got := p.lateDays(workday); got != want {
			t.Errorf("%d working minutes late: %d days, want %d", minutes, got, want)
		}
	}
}

func TestStandardDay(t *testing.T) {
	if got := standardDay(StartingCalendar()); got != workday {
		t.Errorf("got %d minutes", got)
	}
	spec := StartingCalendar()
	spec.Week = nil
	if got := standardDay(spec); got != workday {
		t.Errorf("without a week: %d minutes, want 8 h", got)
	}
}

func TestACircleIsNamed(t *testing.T) {
	a, shop := planner(t, on(3, "08:00"))
	round := two
	round.Links = append([]domain.Link{follows("b", "a")}, two.Links...)
	_, err := a.planOf(shop, domain.Job{}, round, nil, on(3, "08:00"))
	if e := fault.As(err); e == nil || e.Code != "network-cycle" || e.Evidence == nil {
		t.Errorf("got %v, want network-cycle with the links that make it", err)
	}
}
