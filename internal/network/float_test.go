package network

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"bareframe/internal/calendar"

	compare "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// delayed gives the network with task i held back by so many minutes of its own
// time: a milestone on the date it would then have, and a link from it.
func delayed(in Input, r TaskResult, by calendar.Minutes) Input {
	at := r.EarlyStart
	if r.Resume != nil {
		at = *r.Resume
	}
	task := in.Tasks[slices.IndexFunc(in.Tasks, func(x Task) bool { return x.ID == r.ID })]
	switch {
	case by == 0:
	case task.Kind == calendar.Elapsed || in.Calendar == nil:
		at = at.Add(time.Duration(by) * time.Minute)
	default:
		at = berlin.Add(at, by)
	}
	in.Tasks = append(slices.Clip(in.Tasks), Task{ID: "hold", Kind: calendar.Elapsed, NotBefore: &at})
	in.Links = append(slices.Clip(in.Links), Link{ID: "hold", From: "hold", To: r.ID, Type: FS})
	return in
}

// keeps says whether a result keeps what was asked of it: the promise, or else
// the given finish, and every finish-by date.
func keeps(in Input, res Result, finish time.Time) bool {
	if in.Promise != nil {
		finish = *in.Promise
	}
	for i, r := range res.Tasks {
		if i < len(in.Tasks) && r.State != Finished && in.Tasks[i].FinishBy != nil && r.EarlyFinish.After(*in.Tasks[i].FinishBy) {
			return false
		}
	}
	return !res.Finish.After(finish)
}

// othersMoved says whether any other task's early dates, or the finish, differ.
func othersMoved(before, after Result, id string) bool {
	for i, r := range before.Tasks {
		a := after.Tasks[i]
		if r.ID == id {
			continue
		}
		if !r.EarlyStart.Equal(a.EarlyStart) || !r.EarlyFinish.Equal(a.EarlyFinish) ||
			(r.Resume != nil && !r.Resume.Equal(*a.Resume)) {
			return true
		}
	}
	return !before.Finish.Equal(after.Finish)
}

// Floats by their meaning: held back by its float, a task harms nothing; by one
// minute more, it does. Brute force by recomputation.
func checkFloats(t *rapid.T, in Input) {
	if !possible(in) {
		return
	}
	res := mustCalculate(t, in)
	kept := keeps(in, res, res.Finish)
	if kept != (res.ShortfallCount == 0) {
		t.Fatalf("kept is %v, but there are %d shortfalls", kept, res.ShortfallCount)
	}
	for _, r := range res.Tasks {
		if r.State == Finished {
			continue
		}
		if r.Critical != mustCalculate(t, delayed(in, r, 1)).Finish.After(res.Finish) {
			t.Fatalf("%s: critical is %v, but a minute's delay says otherwise", r.ID, r.Critical)
		}
		if othersMoved(res, mustCalculate(t, delayed(in, r, r.FreeFloat)), r.ID) {
			t.Fatalf("%s: moved others within its free float of %d", r.ID, r.FreeFloat)
		}
		if !othersMoved(res, mustCalculate(t, delayed(in, r, r.FreeFloat+1)), r.ID) {
			t.Fatalf("%s: moved nothing one minute past its free float of %d", r.ID, r.FreeFloat)
		}
		if !kept {
			continue
		}
		if !keeps(in, mustCalculate(t, delayed(in, r, r.TotalFloat)), res.Finish) {
			t.Fatalf("%s: broke a date within its total float of %d", r.ID, r.TotalFloat)
		}
		if keeps(in, mustCalculate(t, delayed(in, r, r.TotalFloat+1)), res.Finish) {
			t.Fatalf("%s: broke no date one minute past its total float of %d", r.ID, r.TotalFloat)
		}
	}
}

func TestFloatsByRecomputation(t *testing.T) {
	for name, sh := range map[string]shape{
		"round the clock": {dates: true, tasks: 7},
		"shop week":       {calendar: true, dates: true, tasks: 7},
		"progress":        {calendar: true, progress: true, dates: true, tasks: 7},
		"demands":         {calendar: true, progress: true, demands: true, tasks: 7},
		"maximum lags":    {maxLags: true, dates: true, demands: true, tasks: 6},
		"all of it":       {calendar: true, progress: true, dates: true, demands: true, maxLags: true, tasks: 6},
	} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) { checkFloats(t, drawNetwork(t, sh)) })
		})
	}
}

// The links named as driving are enough: without all the others, every early
// date is the same. And each is enough by itself for its own successor.
func TestDrivingLinksDrive(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawNetwork(t, shape{calendar: true, progress: true, dates: true, tasks: 8})
		res := mustCalculate(t, in)
		driving := map[string]bool{}
		for _, r := range res.Tasks {
			for _, name := range r.Driving {
				driving[name] = true
			}
		}
		only := in
		only.Links = slices.DeleteFunc(slices.Clone(in.Links), func(l Link) bool { return !driving[l.ID] })
		if othersMoved(res, mustCalculate(t, only), "") {
			t.Fatalf("early dates need more than the driving links\n%+v", in)
		}
		for i, r := range res.Tasks {
			for _, name := range r.Driving {
				alone := in
				alone.Tasks = slices.Clone(in.Tasks)
				alone.Tasks[i].NotBefore = nil
				alone.Links = slices.DeleteFunc(slices.Clone(in.Links), func(l Link) bool { return l.To == r.ID && l.ID != name })
				if got := mustCalculate(t, alone).Tasks[i]; !got.EarlyFinish.Equal(r.EarlyFinish) {
					t.Fatalf("%s by %s alone finishes %v, not %v", r.ID, name, got.EarlyFinish, r.EarlyFinish)
				}
			}
		}
	})
}

// The order in which tasks and links are given changes nothing but the order of
// the answer.
func TestOrderOfInputDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawNetwork(t, shape{calendar: true, progress: true, dates: true, demands: true, tasks: 8})
		other := in
		other.Tasks = rapid.Permutation(in.Tasks).Draw(t, "tasks permuted")
		other.Links = rapid.Permutation(in.Links).Draw(t, "links permuted")
		a, b := mustCalculate(t, in), mustCalculate(t, other)
		sortResult(&a)
		sortResult(&b)
		if d := compare.Diff(a, b); d != "" {
			t.Fatalf("the answers differ:\n%s", d)
		}
	})
}

func sortResult(r *Result) {
	slices.SortFunc(r.Tasks, func(a, b TaskResult) int { return cmp.Compare(a.ID, b.ID) })
	for i := range r.Tasks {
		slices.Sort(r.Tasks[i].Driving)
	}
	slices.Sort(r.OutOfSequence)
}
