package app

import (
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/domain"
)

func TestStandingOfATask(t *testing.T) {
	for _, r := range []struct {
		name              string
		sold              string
		progress          domain.TaskProgress
		finished, started bool
		percent           int
		state             TaskState
		toGo, forecast    string
	}{
		{"untouched", "8", domain.TaskProgress{}, false, false, 0, TaskOpen, "8", "8"},
		{"2 of 8 worked, 6 to go", "8", domain.TaskProgress{WorkedMinutes: 120}, false, true, 25, TaskInWork, "6", "8"},
		{"2 worked and 10 to go earn 2/12 of what was sold", "8", domain.TaskProgress{WorkedMinutes: 120, ToGo: ptr(dec("10"))}, false, true, 16, TaskInWork, "10", "12"},
		{"all worked and not done is 99", "8", domain.TaskProgress{WorkedMinutes: 600, ToGo: ptr(dec("0"))}, false, true, 99, TaskInWork, "0", "10"},
		{"done is 100, cheap or dear", "8", domain.TaskProgress{WorkedMinutes: 60, Finished: ptr(on(3, "09:00"))}, true, true, 100, TaskFinished, "0", "1"},
		{"started with nothing worked", "8", domain.TaskProgress{}, false, true, 0, TaskInWork, "8", "8"},
		{"nothing sold and under way", "0", domain.TaskProgress{WorkedMinutes: 60}, false, true, 0, TaskInWork, "7", "8"},
		{"nothing sold and done", "0", domain.TaskProgress{WorkedMinutes: 60, Finished: ptr(on(3, "09:00"))}, true, true, 100, TaskFinished, "0", "1"},
	} {
		s := taskStanding(task("a"), dec(r.sold), r.progress, r.finished, r.started)
		if s.Percent != r.percent || s.State != r.state || !s.ToGo.Equal(dec(r.toGo)) || !s.Forecast().Equal(dec(r.forecast)) {
			t.Errorf("%s: %d %%, %s, %s to go, forecast %s; want %d %%, %s, %s, %s", r.name, s.Percent, s.State, s.ToGo, s.Forecast(),
				r.percent, r.state, r.toGo, r.forecast)
		}
	}
}

// Hand-worked: 8 h done, 8 h with 2 worked and 10 to go (earned 8/6 = 1.333),
// 4 h untouched: 9.333 of 20 h earned is 46 %.
func TestStandingOfAPhase(t *testing.T) {
	var phase Standing
	for _, s := range []Standing{
		taskStanding(task("a"), dec("8"), domain.TaskProgress{WorkedMinutes: 300, Finished: ptr(on(3, "13:30"))}, true, true),
		taskStanding(task("b"), dec("8"), domain.TaskProgress{WorkedMinutes: 120, WaitingMinutes: 45, ToGo: ptr(dec("10"))}, false, true),
		taskStanding(task("c"), dec("4"), domain.TaskProgress{}, false, false),
	} {
		phase = phase.plus(s)
	}
	if phase.Percent != 46 || phase.State != TaskInWork || !phase.Sold.Equal(dec("20")) || !phase.Worked.Equal(dec("7")) ||
		!phase.ToGo.Equal(dec("18")) || !phase.Waiting.Equal(dec("0.75")) {
		t.Errorf("got %+v", phase)
	}
	cures := taskStanding(cure("d", "24"), decimal.Zero, domain.TaskProgress{}, true, true).plus(taskStanding(cure("e", "24"), decimal.Zero, domain.TaskProgress{}, false, false))
	if cures.Percent != 50 || cures.State != TaskInWork {
		t.Errorf("one of two cures over: %d %%, %s", cures.Percent, cures.State)
	}
	if (Standing{}).plus(Standing{}).Percent != 0 {
		t.Error("nothing is something per cent done")
	}
}

// However tasks are grouped, the whole is the same; 100 % means finished, and
// nothing finished means less.
func TestStandingsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all []Standing
		finished := 0
		for range rapid.IntRange(1, 8).Draw(t, "tasks") {
			p := domain.TaskProgress{WorkedMinutes: rapid.IntRange(0, 1200).Draw(t, "worked")}
			over := rapid.Bool().Draw(t, "over")
			if over {
				finished++
				p.Finished = ptr(on(3, "09:00"))
			}
			all = append(all, taskStanding(task("a"), decimal.New(rapid.Int64Range(0, 3000).Draw(t, "sold"), -2), p, over, over || p.WorkedMinutes > 0))
		}
		var one, left, right Standing
		cut := rapid.IntRange(0, len(all)).Draw(t, "cut")
		for i, s := range all {
			one = one.plus(s)
			if i < cut {
				left = left.plus(s)
			} else {
				right = right.plus(s)
			}
		}
		two := left.plus(right)
		if one.Percent != two.Percent || one.State != two.State || !one.Sold.Equal(two.Sold) || !one.ToGo.Equal(two.ToGo) || !one.Worked.Equal(two.Worked) {
			t.Fatalf("one by one %+v, by two phases %+v", one, two)
		}
		if (one.Percent == 100) != (finished == len(all)) || one.Percent < 0 || one.Percent > 100 || (one.State == TaskFinished) != (one.Percent == 100) {
			t.Fatalf("%d of %d finished: %d %%, %s", finished, len(all), one.Percent, one.State)
		}
	})
}
