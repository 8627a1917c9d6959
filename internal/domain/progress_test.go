package domain

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

var byValue = cmp.Comparer(func(a, b decimal.Decimal) bool { return a.Equal(b) })

func says(e Entry, toGo string, done bool) Entry {
	if toGo != "" {
		e.HoursToGo = hours(toGo)
	}
	e.Done = done
	return e
}

func by(e Entry, person ID) Entry { e.PersonID = person; return e }

func TestProgressOfATask(t *testing.T) {
	corrected := says(worked("old", 0, 480), "0", true)
	corrected.CorrectedBy = "new"
	replacement := says(worked("new", 0, 240), "2", false)
	replacement.CorrectsID = "old"
	void := worked("v", 500, 560)
	void.Void = true
	waits := worked("w", 300, 330)
	waits.Kind = Waiting
	for _, r := range []struct {
		name    string
		entries []Entry
		want    TaskProgress
	}{
		{"hours to go at the stop", []Entry{says(worked("a", 0, 60), "3.5", false)},
			TaskProgress{WorkedMinutes: 60, Started: until(0), ToGo: hours("3.5")}},
		{"the later figure counts", []Entry{says(worked("b", 100, 160), "1", false), says(worked("a", 0, 60), "5", false)},
			TaskProgress{WorkedMinutes: 120, Started: until(0), ToGo: hours("1")}},
		{"a later stop without a figure makes the older one stale", []Entry{says(worked("a", 0, 60), "5", false), worked("b", 100, 160)},
			TaskProgress{WorkedMinutes: 120, Started: until(0)}},
		{"a clock that runs leaves the figure", []Entry{says(worked("a", 0, 60), "5", false), running("b", 100)},
			TaskProgress{WorkedMinutes: 60, Started: until(0), ToGo: hours("5")}},
		{"done", []Entry{worked("a", 0, 60), says(worked("b", 100, 160), "0", true)},
			TaskProgress{WorkedMinutes: 120, Started: until(0), Finished: until(160)}},
		{"done, then taken up again", []Entry{says(worked("a", 0, 60), "", true), running("b", 100)},
			TaskProgress{WorkedMinutes: 60, Started: until(0)}},
		{"done, then more was worked and something is left", []Entry{says(worked("a", 0, 60), "", true), says(worked("b", 100, 160), "2", false)},
			TaskProgress{WorkedMinutes: 120, Started: until(0), ToGo: hours("2")}},
		{"done, taken up, done again", []Entry{says(worked("a", 0, 60), "", true), says(worked("b", 100, 160), "2", false), says(worked("c", 200, 210), "", true)},
			TaskProgress{WorkedMinutes: 130, Started: until(0), Finished: until(210)}},
		{"two people: the last word counts, not the last start", []Entry{says(worked("a", 0, 240), "", true), by(says(worked("b", 30, 60), "5", false), "q")},
			TaskProgress{WorkedMinutes: 270, Started: until(0), Finished: until(240)}},
		{"two people: done by one while the other's clock runs", []Entry{says(worked("a", 0, 240), "", true), by(running("b", 30), "q")},
			TaskProgress{WorkedMinutes: 240, Started: until(0)}},
		{"a correction takes the place of what it corrects", []Entry{corrected, replacement},
			TaskProgress{WorkedMinutes: 240, Started: until(0), ToGo: hours("2")}},
		{"a void entry counts for nothing", []Entry{worked("a", 600, 660), void},
			TaskProgress{WorkedMinutes: 60, Started: until(600)}},
		{"waiting is no work", []Entry{says(worked("a", 0, 60), "3", false), waits},
			TaskProgress{WorkedMinutes: 60, WaitingMinutes: 30, Started: until(0), ToGo: hours("3")}},
		{"only waiting starts nothing", []Entry{waits}, TaskProgress{WaitingMinutes: 30}},
	} {
		if d := cmp.Diff(r.want, ProgressOf(r.entries)["t"], byValue); d != "" {
			t.Errorf("%s (-want +got)\n%s", r.name, d)
		}
	}
	if got := ProgressOf(nil); len(got) != 0 {
		t.Errorf("of nothing: %v", got)
	}
}

func TestProgressKeepsTasksApart(t *testing.T) {
	other := worked("b", 60, 90)
	other.TaskID = "u"
	waits := worked("c", 90, 100)
	waits.TaskID, waits.Kind = "", Waiting
	got := ProgressOf([]Entry{worked("a", 0, 60), other, waits})
	if got["t"].WorkedMinutes != 60 || got["u"].WorkedMinutes != 30 || got[""].WaitingMinutes != 10 || len(got) != 3 {
		t.Errorf("got %+v", got)
	}
}

// Whatever order the entries come in, they say the same; and the minutes are
// those of a plain sum.
func TestProgressDoesNotDependOnOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var entries []Entry
		sum := 0
		for i := range rapid.IntRange(0, 12).Draw(t, "entries") {
			from := rapid.IntRange(0, 30).Draw(t, "from")
			e := worked(ID(rune('a'+i)), from, from+rapid.IntRange(1, 10).Draw(t, "length"))
			e.LoggedAt = at(rapid.IntRange(40, 42).Draw(t, "logged"))
			e.TaskID = rapid.SampledFrom([]ID{"t", "u", ""}).Draw(t, "task")
			switch rapid.IntRange(0, 7).Draw(t, "sort") {
			case 0:
				e.FinishedAt = nil
			case 1:
				e.CorrectedBy = "x"
			case 2:
				e.Void = true
			case 3:
				e.Kind = Waiting
			case 4:
				e.Done = true
			case 5:
				e.HoursToGo = hours(rapid.SampledFrom([]string{"0", "1.5", "7"}).Draw(t, "to go"))
			}
			entries = append(entries, e)
			if e.CorrectedBy == "" && !e.Void && e.FinishedAt != nil {
				sum += int(e.FinishedAt.Sub(e.StartedAt).Minutes())
			}
		}
		want := ProgressOf(entries)
		if d := cmp.Diff(want, ProgressOf(rapid.Permutation(entries).Draw(t, "order")), byValue); d != "" {
			t.Fatalf("in another order (-want +got)\n%s", d)
		}
		total := 0
		for id, p := range want {
			total += p.WorkedMinutes + p.WaitingMinutes
			if p.Finished != nil && (p.ToGo != nil || p.Started == nil || p.Finished.Before(*p.Started)) {
				t.Fatalf("task %q is finished and says %+v", id, p)
			}
		}
		if total != sum {
			t.Fatalf("%d minutes in all, want %d", total, sum)
		}
	})
}
