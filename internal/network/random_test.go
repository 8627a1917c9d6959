package network

import (
	"fmt"
	"testing"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"

	"pgregory.net/rapid"
)

// shape says what a random network may contain.
type shape struct {
	calendar bool // working time on a shop week, dates around a clock change
	progress bool
	dates    bool // not-before dates
	demands  bool // promise and finish-by dates
	maxLags  bool
	tasks    int
}

var monday = time.Date(2031, 3, 24, 8, 0, 0, 0, time.UTC) // the clocks in Europe change on the 30th

var (
	berlinSpec = shopWeek("Europe/Berlin")
	berlin     = func() *calendar.Calendar {
		cal, err := calendar.New(berlinSpec)
		if err != nil {
			panic(err)
		}
		return cal
	}()
)

func drawNetwork(t *rapid.T, sh shape) Input {
	in := Input{Start: monday}
	unit := 1
	if sh.calendar {
		in.Calendar = &berlinSpec
		unit = 30
	}
	minutes := func(lo, hi int, label string) calendar.Minutes {
		m := rapid.IntRange(lo, hi).Draw(t, label) * unit
		if sh.calendar && rapid.IntRange(0, 3).Draw(t, label+" odd") == 0 {
			m += rapid.IntRange(0, 59).Draw(t, label+" extra")
		}
		return calendar.Minutes(m)
	}
	instant := func(lo, hi int, label string) *time.Time {
		at := monday.Add(time.Duration(rapid.IntRange(lo, hi).Draw(t, label)*unit*5) * time.Minute)
		return &at
	}
	if sh.progress {
		in.DataDate = instant(0, 30, "data date")
	}
	n := rapid.IntRange(0, sh.tasks).Draw(t, "tasks")
	for i := range n {
		task := Task{ID: fmt.Sprintf("T%02d", i), Duration: minutes(0, 20, "minutes"), Kind: drawKind(t)}
		if sh.dates && rapid.IntRange(0, 4).Draw(t, "dated") == 0 {
			task.NotBefore = instant(0, 20, "not before")
		}
		if sh.demands && rapid.IntRange(0, 4).Draw(t, "wanted") == 0 {
			task.FinishBy = instant(0, 60, "finish by")
		}
		if sh.progress {
			drawProgress(t, &task, *in.DataDate, minutes)
		}
		in.Tasks = append(in.Tasks, task)
	}
	if sh.demands && rapid.Bool().Draw(t, "promised") {
		in.Promise = instant(0, 80, "promise")
	}
	if n > 1 {
		drawLinks(t, &in, sh, minutes)
	}
	return in
}

func drawKind(t *rapid.T) calendar.Kind {
	return rapid.SampledFrom([]calendar.Kind{calendar.Working, calendar.Working, calendar.Elapsed, ""}).Draw(t, "kind")
}

func drawProgress(t *rapid.T, task *Task, data time.Time, minutes func(lo, hi int, label string) calendar.Minutes) {
	state := rapid.IntRange(0, 5).Draw(t, "state")
	if state > 2 {
		return
	}
	start := data.Add(-time.Duration(minutes(0, 200, "started ago")) * time.Minute)
	task.ActualStart = &start
	switch state {
	case 0:
		finish := data
		task.ActualFinish = &finish
	case 1:
		left := minutes(0, 20, "left")
		task.Remaining = &left
	}
}

func drawLinks(t *rapid.T, in *Input, sh shape, minutes func(lo, hi int, label string) calendar.Minutes) {
	n := len(in.Tasks)
	for k := range rapid.IntRange(0, 3*n).Draw(t, "links") {
		from := rapid.IntRange(0, n-2).Draw(t, "from")
		to := rapid.IntRange(from+1, n-1).Draw(t, "to")
		l := Link{ID: fmt.Sprintf("L%02d", k), From: in.Tasks[from].ID, To: in.Tasks[to].ID,
			Type:    rapid.SampledFrom([]LinkType{FS, SS, FF, SF, ""}).Draw(t, "type"),
			LagKind: drawKind(t)}
		if rapid.Bool().Draw(t, "lagged") {
			l.Lag = minutes(-8, 12, "lag")
		}
		if sh.maxLags && rapid.IntRange(0, 2).Draw(t, "bounded") == 0 {
			most := l.Lag + minutes(0, 25, "room")
			l.MaxLag = &most
		}
		in.Links = append(in.Links, l)
	}
}

// possible says whether the maximum lags of a random network hold together.
func possible(in Input) bool {
	_, err := calculateOn(in)
	return fault.As(err) == nil || fault.As(err).Code != "max-lag-cannot-hold"
}

func calculateOn(in Input) (Result, error) {
	if in.Calendar == nil {
		return CalculateOn(nil, in)
	}
	return CalculateOn(berlin, in) // laid out once for all
}

func mustCalculate(t *rapid.T, in Input) Result {
	t.Helper()
	res, err := calculateOn(in)
	if err != nil {
		t.Fatalf("%v\ninput %+v", err, in)
	}
	return res
}

// TestRandomNetworksAreWorthTesting keeps the generator honest: it must make
// networks with several links, each state and each kind.
func TestRandomNetworksAreWorthTesting(t *testing.T) {
	seen := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		in := drawNetwork(t, shape{calendar: true, progress: true, dates: true, tasks: 8})
		if len(in.Links) > 3 {
			seen["links"]++
		}
		for _, r := range mustCalculate(t, in).Tasks {
			seen[string(r.State)]++
			seen[string(r.Reason)]++
			if r.TotalFloat > 0 {
				seen["float"]++
			}
		}
	})
	for _, what := range []string{"links", "float", "not_started", "in_progress", "finished", "link", "start", "not_before", "data_date", "actual"} {
		if seen[what] == 0 && what != "start" {
			t.Errorf("no random network had %q: %v", what, seen)
		}
	}
}
