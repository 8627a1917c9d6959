package levelling

import (
	"fmt"
	"slices"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/network"

	"pgregory.net/rapid"
)

// monday is a Monday before a change to summer time in the zone of the random
// shops.
var monday = time.Date(2031, 3, 24, 7, 0, 0, 0, time.UTC)

func span(from, to string) calendar.Interval { return calendar.Interval{From: from, To: to} }

// week opens the days that are drawn, in one or two shifts.
func week(t *rapid.T, name string) *calendar.Spec {
	spec := &calendar.Spec{TimeZone: "Europe/Vienna", Week: map[string][]calendar.Interval{}}
	shifts := [][]calendar.Interval{{span("08:00", "12:00"), span("12:30", "16:30")}, {span("06:00", "14:00")}, {span("13:00", "21:00")}, {span("00:00", "24:00")}}
	days := []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}
	first := rapid.IntRange(0, 4).Draw(t, name+" first day")
	for _, d := range days[first:rapid.IntRange(first+1, 7).Draw(t, name+" last day")] {
		spec.Week[d] = rapid.SampledFrom(shifts).Draw(t, name+" shift")
	}
	if rapid.Bool().Draw(t, name+" closes") {
		spec.Closures = []calendar.Closure{{From: "2031-04-01", To: "2031-04-03", Reason: "away"}}
	}
	return spec
}

func maybe[T any](t *rapid.T, name string, in int, g func() T) *T {
	if rapid.IntRange(1, in).Draw(t, name+"?") != 1 {
		return nil
	}
	v := g()
	return &v
}

// drawShop draws a small shop with everything that an Input can say.
func drawShop(t *rapid.T, mostTasks int) Input {
	in := Input{Now: monday}
	if rapid.IntRange(0, 3).Draw(t, "calendar?") > 0 {
		in.Calendar = week(t, "shop")
	}
	skills := []string{"weld", "blast", "paint"}
	for i := range rapid.IntRange(1, 4).Draw(t, "people") {
		p := Person{ID: fmt.Sprintf("p%d", i), Skills: rapid.SliceOfNDistinct(rapid.SampledFrom(skills), 1, 3, rapid.ID).Draw(t, "skills")}
		if rapid.IntRange(0, 3).Draw(t, "own hours?") == 0 {
			p.Calendar = week(t, "person")
		}
		in.People = append(in.People, p)
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "stations") {
		s := Station{ID: fmt.Sprintf("s%d", i), Capacity: rapid.IntRange(1, 2).Draw(t, "capacity")}
		if rapid.IntRange(0, 3).Draw(t, "own hours?") == 0 {
			s.Calendar = week(t, "station")
		}
		in.Stations = append(in.Stations, s)
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "jobs") {
		in.Jobs = append(in.Jobs, Job{ID: fmt.Sprintf("j%d", i), Weight: rapid.IntRange(0, 3).Draw(t, "weight"),
			Promise: maybe(t, "promise", 2, func() time.Time {
				return monday.Add(time.Duration(rapid.IntRange(-500, 20_000).Draw(t, "promise")) * time.Minute)
			})})
	}
	for i := range rapid.IntRange(1, mostTasks).Draw(t, "tasks") {
		in.Tasks = append(in.Tasks, drawTask(t, &in, i))
	}
	for i := range rapid.IntRange(0, 2*len(in.Tasks)).Draw(t, "links") {
		if len(in.Tasks) > 1 {
			in.Links = append(in.Links, drawLink(t, &in, i))
		}
	}
	return in
}

// drawn are the skills that tasks ask for; the last one nobody has.
var drawn = append(slices.Repeat([]string{"weld", "blast", "paint"}, 12), "trim")

func drawTask(t *rapid.T, in *Input, i int) Task {
	x := Task{ID: fmt.Sprintf("t%02d", i), Job: in.Jobs[rapid.IntRange(0, len(in.Jobs)-1).Draw(t, "job")].ID,
		Duration: calendar.Minutes(rapid.SampledFrom([]int{0, 1, 30, 60, 90, 240, 480, 900}).Draw(t, "minutes")), Kind: calendar.Working}
	if rapid.IntRange(0, 4).Draw(t, "elapsed?") == 0 {
		x.Kind = calendar.Elapsed
	} else {
		for range rapid.IntRange(0, 2).Draw(t, "crew") {
			x.Crew = append(x.Crew, Crew{rapid.SampledFrom(drawn).Draw(t, "skill"), rapid.SampledFrom([]int{1, 1, 1, 1, 1, 1, 2}).Draw(t, "count")})
		}
	}
	for _, s := range in.Stations {
		if rapid.IntRange(0, 2).Draw(t, "here?") == 0 {
			x.Places = append(x.Places, Place{s.ID, rapid.SampledFrom([]int{0, 0, 0, 0, 0, 1, 1, 1, 1, 2}).Draw(t, "units")})
		}
	}
	x.LongestBreak = maybe(t, "longest break", 4, func() calendar.Minutes {
		return calendar.Minutes(rapid.SampledFrom([]int{0, 30, 1000}).Draw(t, "break"))
	})
	x.Interruptible = rapid.IntRange(0, 4).Draw(t, "interruptible?") == 0
	date := func() time.Time {
		return monday.Add(time.Duration(rapid.IntRange(-100, 10_000).Draw(t, "date")) * time.Minute)
	}
	x.NotBefore = maybe(t, "not before", 5, date)
	x.FinishBy = maybe(t, "finish by", 6, date)
	x.Pin = maybe(t, "pin", 14, func() time.Time {
		return monday.Add(time.Duration(rapid.IntRange(0, 96).Draw(t, "pin")) * time.Hour)
	})
	if rapid.IntRange(0, 19).Draw(t, "named?") == 0 {
		x.PinPeople = []string{in.People[0].ID}
	}
	drawProgress(t, in, &x)
	return x
}

func drawProgress(t *rapid.T, in *Input, x *Task) {
	switch rapid.IntRange(0, 9).Draw(t, "progress") {
	case 0:
		start := monday.Add(-time.Duration(rapid.IntRange(60, 3000).Draw(t, "began")) * time.Minute)
		end := start.Add(50 * time.Minute)
		x.ActualStart, x.ActualFinish = &start, &end
	case 1:
		start := monday.Add(-time.Duration(rapid.IntRange(0, 3000).Draw(t, "began")) * time.Minute)
		x.ActualStart = &start
		x.Remaining = maybe(t, "remaining", 2, func() calendar.Minutes { return calendar.Minutes(rapid.IntRange(0, 500).Draw(t, "to go")) })
		if x.Kind == calendar.Working && rapid.Bool().Draw(t, "on?") {
			x.On = []string{in.People[rapid.IntRange(0, len(in.People)-1).Draw(t, "who")].ID}
		}
	}
}

func drawLink(t *rapid.T, in *Input, i int) network.Link {
	a := rapid.IntRange(0, len(in.Tasks)-2).Draw(t, "from")
	b := rapid.IntRange(a+1, len(in.Tasks)-1).Draw(t, "to")
	if rapid.IntRange(0, 200).Draw(t, "turned?") == 0 {
		a, b = b, a
	}
	l := network.Link{ID: fmt.Sprintf("l%d", i), From: in.Tasks[a].ID, To: in.Tasks[b].ID,
		Type:    rapid.SampledFrom([]network.LinkType{network.FS, network.FS, network.FS, "", network.SS, network.FF, network.SF}).Draw(t, "type"),
		Lag:     calendar.Minutes(rapid.SampledFrom([]int{0, 0, 0, 60, 600, -60}).Draw(t, "lag")),
		LagKind: rapid.SampledFrom([]calendar.Kind{calendar.Working, calendar.Elapsed}).Draw(t, "lag kind")}
	l.MaxLag = maybe(t, "maximum lag", 4, func() calendar.Minutes {
		return l.Lag + calendar.Minutes(rapid.SampledFrom([]int{0, 30, 240, 1500, 6000}).Draw(t, "window"))
	})
	return l
}
