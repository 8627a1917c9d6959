package network

import (
	"testing"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"

	"pgregory.net/rapid"
)

// obvious is the slow definition of early dates on a calendar: every task
// begins as soon as its dates allow, and while a lag is broken, the task that
// the lag holds begins a minute later. It shares nothing with the engine but
// the words of the input. Nothing has started. false when it does not come to
// rest within limit minutes.
func obvious(cal *calendar.Calendar, in Input, limit int) ([][2]time.Time, bool) {
	at := make([][2]time.Time, len(in.Tasks))
	place := map[string]int{}
	put := func(i int, start time.Time) {
		task := in.Tasks[i]
		end := start.Add(time.Duration(task.Duration) * time.Minute)
		if task.Kind != calendar.Elapsed && task.Duration > 0 {
			start = cal.NextOpen(start)
			end = cal.Add(start, task.Duration)
		}
		at[i] = [2]time.Time{start, end}
	}
	for i, task := range in.Tasks {
		place[task.ID] = i
		start := in.Start
		if task.NotBefore != nil && task.NotBefore.After(start) {
			start = *task.NotBefore
		}
		put(i, start)
	}
	for rest := false; !rest; {
		rest = true
		for _, l := range in.Links {
			from, to := place[l.From], place[l.To]
			a, b := at[from][1], at[to][0]
			if l.Type == SS || l.Type == SF {
				a = at[from][0]
			}
			if l.Type == FF || l.Type == SF {
				b = at[to][1]
			}
			apart := calendar.Minutes(b.Sub(a) / time.Minute)
			if l.LagKind != calendar.Elapsed {
				apart = cal.Between(a, b)
			}
			late := -1
			switch {
			case apart < l.Lag || l.Lag == 0 && b.Before(a):
				late = to
			case l.MaxLag != nil && apart > *l.MaxLag:
				late = from
			}
			if late >= 0 {
				put(late, at[late][0].Add(time.Minute))
				rest = false
				if limit--; limit < 0 {
					return nil, false
				}
			}
		}
	}
	return at, true
}

// On a shop's calendar, with lags of both kinds, least and most, the early
// dates are those of the slow definition.
func TestEarlyDatesByTheSlowDefinition(t *testing.T) {
	var rested, clashed int
	rapid.Check(t, func(t *rapid.T) {
		in := drawNetwork(t, shape{calendar: true, dates: true, maxLags: true, tasks: 6})
		// Six tasks that move to within a week of the start take fewer moves.
		const week, moves = 7 * 24 * 60, 6 * 7 * 24 * 60
		want, ok := obvious(berlin, in, moves)
		res, err := calculateOn(in)
		switch e := fault.As(err); {
		case !ok && err == nil && res.ElapsedMinutes < week:
			t.Fatalf("the slow definition comes to no rest, but the answer is %+v", res)
		case !ok:
			clashed++
			return
		case e != nil:
			t.Fatalf("refused what holds: %v\n%+v", err, in)
		}
		rested++
		for i, r := range res.Tasks {
			if !r.EarlyStart.Equal(want[i][0]) || !r.EarlyFinish.Equal(want[i][1]) {
				t.Fatalf("%s: %v to %v, want %v to %v\n%+v", r.ID, r.EarlyStart, r.EarlyFinish, want[i][0], want[i][1], in)
			}
		}
	})
	if rested == 0 || clashed == 0 {
		t.Errorf("%d networks came to rest and %d did not: both must occur", rested, clashed)
	}
}
