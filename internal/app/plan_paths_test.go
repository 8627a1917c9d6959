package app

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/shopspring/decimal"
	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"pgregory.net/rapid"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

// drawnEstimate draws tasks of every kind and links of every type that lead forward,
// some with a limit.
func drawnEstimate(t *rapid.T) domain.Estimate {
	hundredth := func(name string, low, high int) decimal.Decimal {
		return decimal.New(int64(rapid.IntRange(low, high).Draw(t, name)), -2)
	}
	var e domain.Estimate
	for i := range rapid.IntRange(1, 9).Draw(t, "tasks") {
		task := domain.Task{ID: fmt.Sprint("t", i), Code: fmt.Sprint("T", i), Crew: 1}
		switch rapid.IntRange(0, 4).Draw(t, "kind") {
		case 0:
			task.Kind, task.ElapsedHours = domain.Cure, hundredth("cure", 0, 9000)
		case 1:
			task.Kind, task.LeadDays = domain.Sublet, rapid.IntRange(0, 6).Draw(t, "days")
		case 2:
			task.Kind = domain.Hold
		default:
			task.Kind, task.Crew = domain.Work, rapid.IntRange(1, 3).Draw(t, "crew")
			low := hundredth("low", 1, 1500)
			likely := low.Add(hundredth("more", 0, 900))
			task.Hours = domain.ThreePoint{Low: low, Likely: likely, High: likely.Add(hundredth("most", 0, 900))}
			if n := rapid.IntRange(0, 2).Draw(t, "helpers"); n > 0 {
				task.Floor.Helpers = []domain.Helper{{Skill: "welder", Count: n}}
			}
		}
		if rapid.IntRange(0, 4).Draw(t, "dated") == 0 {
			task.NotBefore = domain.Day(fmt.Sprintf("2031-03-%02d", rapid.IntRange(3, 12).Draw(t, "from")))
		}
		e.Tasks = append(e.Tasks, task)
	}
	for i := range rapid.IntRange(0, 14).Draw(t, "links") {
		from, to := rapid.IntRange(0, len(e.Tasks)-1).Draw(t, "from"), rapid.IntRange(0, len(e.Tasks)-1).Draw(t, "to")
		if from >= to {
			continue
		}
		l := domain.Link{ID: fmt.Sprint("l", i), FromID: e.Tasks[from].ID, ToID: e.Tasks[to].ID, LagHours: hundredth("lag", -800, 1600),
			Type:    []network.LinkType{network.FS, network.SS, network.FF, network.SF}[rapid.IntRange(0, 3).Draw(t, "type")],
			LagKind: []calendar.Kind{calendar.Working, calendar.Elapsed}[rapid.IntRange(0, 1).Draw(t, "counted in")]}
		if rapid.IntRange(0, 3).Draw(t, "limited") == 0 {
			l.MaxLagHours = ptr(l.LagHours.Add(hundredth("room", 0, 4000)))
		}
		e.Links = append(e.Links, l)
	}
	return e
}

// byHand is how many minutes a task takes, from its definition: the PERT mean to a
// hundredth of an hour, shared by all who work on it and rounded up to the minute; a
// lead time of days of 24 h, as this shop's days are.
func byHand(t domain.Task) int64 {
	hundredths := func(d decimal.Decimal) float64 { return math.Round(d.InexactFloat64() * 100) }
	switch t.Kind {
	case domain.Cure:
		return int64(math.Floor(hundredths(t.ElapsedHours)*60/100 + 0.5))
	case domain.Sublet:
		return int64(t.LeadDays) * 24 * 60
	}
	people := t.Crew
	for _, h := range t.Floor.Helpers {
		people += h.Count
	}
	mean := math.Floor((hundredths(t.Hours.Low)+4*hundredths(t.Hours.Likely)+hundredths(t.Hours.High))/6 + 0.5)
	return (int64(mean)*60 + int64(100*people) - 1) / int64(100*people)
}

// lagByHand is hours in minutes, the nearest whole one, half away from zero.
func lagByHand(hours decimal.Decimal) int64 { return int64(math.Round(hours.InexactFloat64() * 60)) }

// longest gives by gonum the longest path to the start of each task in minutes after
// the job's start; false where lags close a ring of more than nothing.
func longest(e domain.Estimate, start time.Time) ([]int64, bool) {
	g := simple.NewWeightedDirectedGraph(0, 0)
	source := int64(2 * len(e.Tasks))
	for i := range source + 1 {
		g.AddNode(simple.Node(i))
	}
	atLeast := func(from, to, minutes int64) {
		if edge := g.WeightedEdge(from, to); edge == nil || -edge.Weight() < float64(minutes) {
			g.SetWeightedEdge(g.NewWeightedEdge(simple.Node(from), simple.Node(to), -float64(minutes)))
		}
	}
	begin := map[domain.ID]int64{}
	for i, t := range e.Tasks {
		at := int64(2 * i)
		begin[t.ID] = at
		earliest := int64(0)
		if t.NotBefore != "" {
			day, _ := time.Parse(time.DateOnly, string(t.NotBefore))
			earliest = max(0, int64(day.Sub(start)/time.Minute))
		}
		atLeast(source, at, earliest)
		atLeast(at, at+1, byHand(t))
		atLeast(at+1, at, -byHand(t))
	}
	for _, l := range e.Links {
		from, to := begin[l.FromID], begin[l.ToID]
		if l.Type == network.FS || l.Type == network.FF {
			from++
		}
		if l.Type == network.FF || l.Type == network.SF {
			to++
		}
		atLeast(from, to, lagByHand(l.LagHours))
		if l.MaxLagHours != nil {
			atLeast(to, from, -lagByHand(*l.MaxLagHours))
		}
	}
	tree, ok := path.BellmanFordFrom(simple.Node(source), g)
	if !ok {
		return nil, false
	}
	out := make([]int64, len(e.Tasks))
	for i := range out {
		out[i] = -int64(tree.WeightTo(int64(2 * i)))
	}
	return out, true
}

// A job of a shop that never closes, from its stored hours, crews and lags to the dates
// of its plan: the early dates are longest paths (Kelley and Walker 1959), and a limit
// is refused exactly when Bellman and Ford find a ring of more than nothing. Both from
// gonum; minutes from the definitions.
func TestAJobsDatesAreLongestPaths(t *testing.T) {
	start := on(3, "09:17")
	a, shop := planner(t, start)
	day := []calendar.Interval{{From: "00:00", To: "24:00"}}
	for _, name := range []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"} {
		shop.Calendar.Week[name] = day
	}
	var held, refused int
	rapid.Check(t, func(t *rapid.T) {
		e := drawnEstimate(t)
		want, ok := longest(e, start)
		plan, err := a.planOf(shop, domain.Job{}, e, nil, start)
		if !ok {
			refused++
			if f := fault.As(err); f == nil || f.Code != "max-lag-cannot-hold" {
				t.Fatalf("gonum finds a ring of more than nothing in %+v, the plan says %v", e, err)
			}
			return
		}
		held++
		if err != nil {
			t.Fatalf("%v for %+v", err, e)
		}
		for i, task := range e.Tasks {
			times := plan.Of(task.ID)
			began, took := int64(times.EarlyStart.Sub(start)/time.Minute), int64(times.EarlyFinish.Sub(times.EarlyStart)/time.Minute)
			if began != want[i] || took != byHand(task) {
				t.Errorf("%s begins at minute %d and takes %d, want %d and %d: %+v", task.Code, began, took, want[i], byHand(task), e)
			}
		}
	})
	if held == 0 || refused == 0 {
		t.Errorf("%d jobs held and %d were refused: both must occur", held, refused)
	}
}
