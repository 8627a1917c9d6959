package app

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

func planned(t *testing.T, a *App, p *JobPage, progress map[domain.ID]domain.TaskProgress) {
	t.Helper()
	var err error
	if p.Plan, err = a.planHeld(p.Shop, p.Job, p.Estimate, progress, p.AsOf); err != nil {
		t.Fatal(err)
	}
	p.Tasks = map[domain.ID]Standing{}
	for _, task := range p.Estimate.Tasks {
		p.Tasks[task.ID] = p.taskStanding(task, progress[task.ID])
	}
}

// The plan of two tasks of 8 h and a third after them, begun on Monday the 3rd at 08:00
// on the starting calendar of 8 h a day to 16:30: they end on Monday, Tuesday and
// Wednesday at 16:30. Days counted by hand; the weekend of the 1st and 2nd is closed.
func TestMovedAgainstWhatWasAgreed(t *testing.T) {
	now := on(3, "08:00")
	a, shop := planner(t, now)
	e := domain.Estimate{Tasks: []domain.Task{task("a"), task("b"), task("c")}, Links: []domain.Link{follows("a", "b"), follows("b", "c")}}
	row := func(finish time.Time) domain.Baseline { return domain.Baseline{Start: finish, Finish: finish} }
	friday := time.Date(2031, 2, 28, 16, 30, 0, 0, time.UTC)
	for _, r := range []struct {
		name     string
		baseline map[domain.ID]domain.Baseline
		want     string
	}{
		{"as agreed", map[domain.ID]domain.Baseline{"a": row(on(3, "16:30")), "b": row(on(4, "16:30")), "c": row(on(5, "16:30"))}, "[] 3 [] 0"},
		{"over a weekend", map[domain.ID]domain.Baseline{"a": row(friday), "b": row(on(4, "16:30")), "c": row(on(5, "16:30"))}, "[a 1] 2 [] 0"},
		{"furthest first, earlier is as far as later", map[domain.ID]domain.Baseline{"a": row(friday), "b": row(on(7, "16:30")), "c": row(on(5, "12:00"))}, "[b -3 a 1 c 0.5] 0 [] 0"},
		{"the opening is the closing before", map[domain.ID]domain.Baseline{"a": row(on(4, "08:00")), "b": row(on(5, "08:00")), "c": row(on(6, "08:00"))}, "[] 3 [] 0"},
		{"one new, one gone", map[domain.ID]domain.Baseline{"a": row(on(3, "16:30")), "x": row(friday), "c": row(on(5, "16:30"))}, "[] 2 [b] 1"},
	} {
		p := JobPage{Shop: shop, Estimate: e, Baseline: r.baseline, AsOf: now, Job: domain.Job{AcceptedQuoteID: "q"}, Quotes: []domain.Quote{{ID: "q", State: domain.QuoteAccepted}}}
		planned(t, a, &p, nil)
		cal, err := a.calendarOf(shop)
		if err != nil {
			t.Fatal(err)
		}
		m := p.moved(cal, standardDay(shop.Calendar))
		var moved []string
		for _, task := range m.Tasks {
			moved = append(moved, fmt.Sprint(task.ID, " ", task.Days))
		}
		if got := fmt.Sprint(moved, " ", m.Same, " ", m.Added, " ", m.Gone); got != r.want {
			t.Errorf("%s: %s, want %s", r.name, got, r.want)
		}
	}
}

// A sold job in work, looked over at different instants. Each row's findings were worked
// out by hand from the checks' own words.
func TestAJobLookedOver(t *testing.T) {
	sold := domain.Job{AcceptedQuoteID: "q"}
	e := domain.Estimate{Tasks: []domain.Task{task("a"), task("b")}, Links: []domain.Link{limited(follows("a", "b"), "4", calendar.Elapsed)}}
	entry := func(from, to time.Time, finished bool) domain.Entry {
		return domain.Entry{ID: "e", TaskID: "a", StartedAt: from, FinishedAt: &to, Done: finished}
	}
	began := on(3, "08:00")
	for _, r := range []struct {
		name    string
		job     domain.Job
		entries []domain.Entry
		now     time.Time
		want    []string
	}{
		{"not sold", domain.Job{}, nil, began, []string{"no_baseline []"}},
		{"sold", sold, nil, began, nil},
		{"five working days without a word", sold, []domain.Entry{entry(began, on(3, "10:00"), false)}, on(10, "10:00"), nil},
		{"a minute more", sold, []domain.Entry{entry(began, on(3, "10:00"), false)}, on(10, "10:01"), []string{"stale [a]"}},
		{"four hours after, by the clock", sold, []domain.Entry{entry(began, on(3, "12:00"), true)}, on(3, "16:01"), []string{"lag_overrun [b]"}},
		{"ended after now: its clock went wrong", sold, []domain.Entry{entry(began, on(3, "12:00"), true)}, on(3, "10:00"), []string{"future_actual [a]"}},
	} {
		a, shop := planner(t, r.now)
		p := JobPage{Shop: shop, Job: r.job, Estimate: e, AsOf: r.now}
		if r.job.Sold() {
			p.Quotes = []domain.Quote{{ID: "q", State: domain.QuoteAccepted}}
		}
		planned(t, a, &p, domain.ProgressOf(r.entries))
		got, err := a.lookedOver(p, r.entries, nil)
		if err != nil {
			t.Fatal(err)
		}
		var said []string
		for _, f := range got.Findings {
			said = append(said, fmt.Sprint(f.Code, " ", f.Tasks))
		}
		if !slices.Equal(said, r.want) {
			t.Errorf("%s: %q, want %q", r.name, said, r.want)
		}
	}
}

// The clash of limits_test.go: a page for which it became one shows it, link by link.
func TestAClashIsShownWithItsLinks(t *testing.T) {
	now := on(3, "08:00")
	a, shop := planner(t, now)
	p := JobPage{Shop: shop, AsOf: now, Estimate: domain.Estimate{Tasks: []domain.Task{task("a"), task("b"), task("c")},
		Links: []domain.Link{follows("a", "c"), follows("c", "b"), limited(follows("a", "b"), "4", calendar.Working)}}}
	planned(t, a, &p, nil)
	h, err := a.lookedOver(p, nil, nil)
	if err != nil || h.Clash == nil {
		t.Fatalf("got %v, %v; want a clash", h.Clash, err)
	}
	var links []string
	for _, l := range h.Clash.Lags {
		links = append(links, fmt.Sprint(l.Link, " ", l.AtMost, " ", l.Minutes))
	}
	slices.Sort(links)
	if want := []string{"a-b true 240", "a-c false 0", "c-b false 0"}; !slices.Equal(links, want) {
		t.Errorf("links %q, want %q", links, want)
	}
}
