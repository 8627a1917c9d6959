package app

import (
	"strings"
	"testing"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

func limited(l domain.Link, hours string, kind calendar.Kind) domain.Link {
	l.MaxLagHours, l.LagKind = ptr(dec(hours)), kind
	return l
}

// a ended on Friday the 7th at 15:00. Four elapsed hours later is 19:00; four working
// hours, 1.5 of them on Friday, end on Monday at 10:30. On Monday 08:00, 65 h after,
// b is 61 h too late by the clock, and by working time not yet.
func TestALimitAfterTheFact(t *testing.T) {
	did := map[domain.ID]domain.TaskProgress{"a": done(on(7, "08:00"), on(7, "15:00"))}
	for _, r := range []struct {
		name string
		kind calendar.Kind
		now  time.Time
		by   time.Time
		over calendar.Minutes
		says string
	}{
		{"still open", calendar.Elapsed, on(7, "15:30"), on(7, "19:00"), 0, "Begin by 19:00 on 7 March"},
		{"over on Monday", calendar.Elapsed, on(10, "08:00"), on(7, "19:00"), 61 * 60, "Too late since 19:00 on 7 March"},
		{"open on Monday by working time", calendar.Working, on(10, "08:00"), on(10, "10:30"), 0, "Begin by 10:30 on 10 March"},
	} {
		a, shop := planner(t, r.now)
		e := domain.Estimate{Tasks: two.Tasks, Links: []domain.Link{limited(follows("a", "b"), "4", r.kind)}}
		plan, err := a.planHeld(shop, domain.Job{AcceptedQuoteID: "q"}, e, did, r.now)
		if err != nil || plan.clash != nil {
			t.Errorf("%s: %v, %v", r.name, err, plan.clash)
			continue
		}
		if got := plan.limits["b"].by; !got.Equal(r.by) {
			t.Errorf("%s: by %v, want %v", r.name, got, r.by)
		}
		var over calendar.Minutes
		for _, o := range plan.LagOverruns {
			over += o.Minutes
		}
		if over != r.over {
			t.Errorf("%s: %d minutes over, want %d", r.name, over, r.over)
		}
		if got := (JobPage{Shop: shop, Estimate: e, Plan: plan, AsOf: r.now}).byWords(e.Tasks[1]); !strings.HasPrefix(got, r.says) {
			t.Errorf("%s: says %q, want %q", r.name, got, r.says)
		}
	}
}

// c, 8 h long, stands between a and b, so b cannot begin within 4 h of a.
func TestLimitsThatClash(t *testing.T) {
	a, shop := planner(t, on(3, "08:00"))
	e := domain.Estimate{Tasks: []domain.Task{task("a"), task("b"), task("c")},
		Links: []domain.Link{follows("a", "c"), follows("c", "b"), limited(follows("a", "b"), "4", calendar.Working)}}
	_, err := a.planOf(shop, domain.Job{}, e, nil, on(3, "08:00"))
	f := fault.As(err)
	if f == nil || f.Code != "max-lag-cannot-hold" || len(f.Fields) != 1 || f.Fields[0].Pointer != "/links/2/max_lag_hours" || !strings.Contains(f.Detail, "begins not later than 4 working hours after") || !strings.Contains(f.Detail, "takes 8 working hours") {
		t.Fatalf("got %+v, want the limit between a and b named, and how long c takes", f)
	}
	if clash, ok := f.Evidence.(network.Contradiction); !ok || len(clash.Lags) != 3 || clash.OverMinutes < 240 {
		t.Errorf("evidence %+v, want three lags that ask for at least 4 h too much: 4 working hours, more by the clock where the shop closes between", f.Evidence)
	}
	plan, err := a.planHeld(shop, domain.Job{}, e, nil, on(3, "08:00"))
	if err != nil || plan.clash == nil || !plan.Finish.Equal(on(5, "16:30")) {
		t.Errorf("read: %v, clash %v, finish %v; want it scheduled without the limit, 24 h from Monday to Wednesday 16:30", err, plan.clash, plan.Finish)
	}
	if err := (JobPage{Plan: plan}).withinReach(); fault.As(err) == nil || fault.As(err).Code != "max-lag-cannot-hold" {
		t.Errorf("an edit that ends so: %v, want it refused", err)
	}
}
