package network

import (
	"testing"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"pgregory.net/rapid"
)

// longestPaths gives the earliest start of every task in minutes after the
// start, from an independent library: shortest paths by Bellman and Ford on
// negated weights over the graph with a start and a finish for every task. It
// reports false for a positive cycle. Round the clock, without progress.
func longestPaths(in Input) ([]int64, bool) {
	n := len(in.Tasks)
	g := simple.NewWeightedDirectedGraph(0, 0)
	source := int64(2 * n)
	for i := range int64(2*n + 1) {
		g.AddNode(simple.Node(i))
	}
	atLeast := func(from, to, minutes int64) {
		if e := g.WeightedEdge(from, to); e != nil && -e.Weight() >= float64(minutes) {
			return // a stronger demand is already there
		}
		g.SetWeightedEdge(g.NewWeightedEdge(simple.Node(from), simple.Node(to), -float64(minutes)))
	}
	place := map[string]int64{}
	for i := range in.Tasks {
		start, finish, d := int64(2*i), int64(2*i+1), int64(in.Tasks[i].Duration)
		place[in.Tasks[i].ID] = start
		low := int64(0)
		if nb := in.Tasks[i].NotBefore; nb != nil {
			low = max(0, int64(nb.Sub(in.Start)/time.Minute))
		}
		atLeast(source, start, low)
		atLeast(start, finish, d)
		atLeast(finish, start, -d) // uninterrupted
	}
	for _, l := range in.Links {
		from, to := place[l.From], place[l.To]
		switch l.Type {
		case FS, "":
			from++
		case FF:
			from++
			to++
		case SF:
			to++
		}
		atLeast(from, to, int64(l.Lag))
		if l.MaxLag != nil {
			atLeast(to, from, -int64(*l.MaxLag))
		}
	}
	tree, ok := path.BellmanFordFrom(simple.Node(source), g)
	if !ok {
		return nil, false
	}
	early := make([]int64, n)
	for i := range early {
		early[i] = -int64(tree.WeightTo(int64(2 * i)))
	}
	return early, true
}

// Early dates are longest paths: the definition of the method (Kelley and
// Walker 1959), computed by gonum.
func TestEarlyDatesAreLongestPaths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawNetwork(t, shape{dates: true, tasks: 12})
		want, ok := longestPaths(in)
		if !ok {
			t.Fatal("a network without turning back has no positive cycle")
		}
		compareEarly(t, in, mustCalculate(t, in), want)
	})
}

func compareEarly(t *rapid.T, in Input, res Result, want []int64) {
	finish := int64(0)
	for i, r := range res.Tasks {
		if got := int64(r.EarlyStart.Sub(in.Start) / time.Minute); got != want[i] {
			t.Errorf("%s starts at minute %d, the longest path to it is %d", r.ID, got, want[i])
		}
		if got := r.EarlyFinish.Sub(r.EarlyStart); got != time.Duration(in.Tasks[i].Duration)*time.Minute {
			t.Errorf("%s takes %v, want %d minutes", r.ID, got, in.Tasks[i].Duration)
		}
		finish = max(finish, want[i]+int64(in.Tasks[i].Duration))
	}
	if int64(res.ElapsedMinutes) != finish {
		t.Errorf("the whole takes %d minutes, want %d", res.ElapsedMinutes, finish)
	}
	if t.Failed() {
		t.Logf("input %+v", in)
	}
}

// The same with maximum lags: a network has early dates exactly when gonum
// finds no positive cycle, and they are again the longest paths. What is named
// as a contradiction must be one: its lags and durations round the ring add up
// to more than nothing.
func TestEarlyDatesWithMaximumLagsAreLongestPaths(t *testing.T) {
	var held, broken int
	rapid.Check(t, func(t *rapid.T) {
		in := drawNetwork(t, shape{dates: true, maxLags: true, tasks: 10})
		want, ok := longestPaths(in)
		if ok {
			held++
			compareEarly(t, in, mustCalculate(t, in), want)
			return
		}
		broken++
		_, err := Calculate(in)
		e := fault.As(err)
		if e == nil || e.Code != "max-lag-cannot-hold" {
			t.Fatalf("gonum finds a positive cycle, but the answer is %v", err)
		}
		checkContradiction(t, in, e)
	})
	if held == 0 || broken == 0 {
		t.Errorf("%d networks held and %d did not: both must occur", held, broken)
	}
}

// checkContradiction asks gonum about the named links alone.
func checkContradiction(t *rapid.T, in Input, e *fault.Error) {
	ring := e.Evidence.(Contradiction)
	alone := Input{Start: in.Start}
	for _, task := range in.Tasks {
		task.NotBefore = nil
		alone.Tasks = append(alone.Tasks, task)
	}
	loose := calendar.Minutes(MaxMinutes)
	for _, claim := range ring.Lags {
		l := in.Links[claim.Index]
		if claim.AtMost {
			l.Lag = -loose
		} else {
			l.MaxLag = nil
		}
		alone.Links = append(alone.Links, l)
	}
	if _, ok := longestPaths(alone); ok {
		t.Fatalf("the named lags can hold together: %+v", ring)
	}
	if ring.OverMinutes <= 0 || len(ring.Tasks) != len(ring.Lags) || len(e.Fields) == 0 {
		t.Fatalf("evidence %+v, fields %v", ring, e.Fields)
	}
}
