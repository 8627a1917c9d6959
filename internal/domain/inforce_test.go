package domain

import (
	"fmt"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/calendar"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

// What a link over a left-out task says, worked out by hand: the task is a point
// in time x that keeps its links, so the two inequalities add up. For example
// a FF x +2 and x SF b −1: x ≥ finish(a) + 2 and finish(b) ≥ x − 1, hence
// finish(b) ≥ finish(a) + 1, which is a FF b +1.
func TestWhatBridgesALeftOutTask(t *testing.T) {
	type l = Link
	link := func(from, to, kind, lag string, time calendar.Kind) l {
		return l{ID: from + to + kind, FromID: from, ToID: to, Type: network.LinkType(kind), LagHours: dec(lag), LagKind: time}
	}
	most := func(of l, hours string) l { of.MaxLagHours = ref(hours); return of }
	w, el := calendar.Working, calendar.Elapsed
	for _, r := range []struct {
		name  string
		links []l
		want  []string
	}{
		{"FS and FS", []l{link("a", "x", "FS", "2", w), link("x", "b", "FS", "3", w)}, []string{"a FS b 5 working"}},
		{"SS and FS", []l{link("a", "x", "SS", "2", w), link("x", "b", "FS", "0", w)}, []string{"a SS b 2 working"}},
		{"FF and SF", []l{link("a", "x", "FF", "2", w), link("x", "b", "SF", "-1", w)}, []string{"a FF b 1 working"}},
		{"SF and FF", []l{link("a", "x", "SF", "1", w), link("x", "b", "FF", "1", w)}, []string{"a SF b 2 working"}},
		{"SS and SS", []l{link("a", "x", "SS", "1", w), link("x", "b", "SS", "1", w)}, []string{"a SS b 2 working"}},
		{"FS and FF", []l{link("a", "x", "FS", "1", w), link("x", "b", "FF", "0", w)}, []string{"a FF b 1 working"}},
		{"a cure and no lag", []l{link("a", "x", "FS", "24", el), link("x", "b", "FS", "0", w)}, []string{"a FS b 24 elapsed"}},
		{"no lag and a cure", []l{link("a", "x", "FS", "0", w), link("x", "b", "FS", "24", el)}, []string{"a FS b 24 elapsed"}},
		{"lags of two kinds", []l{link("a", "x", "FS", "24", el), link("x", "b", "FS", "4", w)}, []string{"a FS b 24 elapsed", "a FS b 4 working"}},
		{"two ways, the longer stays", []l{link("a", "x", "FS", "1", w), link("a", "x", "FF", "3", w), link("x", "b", "FS", "0", w)}, []string{"a FS b 3 working"}},
		{"linked as strongly already", []l{link("a", "x", "FS", "1", w), link("x", "b", "FS", "0", w), link("a", "b", "FS", "2", w)}, []string{"a FS b 2 working"}},
		{"linked less strongly", []l{link("a", "x", "FS", "3", w), link("x", "b", "FS", "0", w), link("a", "b", "FS", "2", w)}, []string{"a FS b 2 working", "a FS b 3 working"}},
		{"a chain of kept links says it", []l{link("a", "x", "FS", "0", w), link("x", "b", "FS", "0", w), link("a", "c", "FS", "0", w), link("c", "b", "FS", "1", w)}, []string{"a FS c 0 working", "c FS b 1 working"}},
		// x−a ≤ 4 and b−x ≤ 3, hence b−a ≤ 7; with either open, or in two kinds of time, there is no such sum.
		{"two limits of one kind", []l{most(link("a", "x", "FS", "1", el), "4"), most(link("x", "b", "FS", "2", el), "3")}, []string{"a FS b 3 elapsed at most 7"}},
		{"a limit and none", []l{most(link("a", "x", "FS", "1", el), "4"), link("x", "b", "FS", "2", el)}, []string{"a FS b 3 elapsed"}},
		{"limits of two kinds", []l{most(link("a", "x", "FS", "1", el), "4"), most(link("x", "b", "FS", "2", w), "3")}, []string{"a FS b 1 elapsed", "a FS b 2 working"}},
		{"two ways, the stricter limit stays", []l{most(link("a", "x", "FS", "0", w), "9"), most(link("a", "x", "FF", "0", w), "4"), most(link("x", "b", "FS", "0", w), "1")}, []string{"a FS b 0 working at most 5"}},
		{"a kept link without the limit says less", []l{most(link("a", "x", "FS", "0", w), "4"), most(link("x", "b", "FS", "0", w), "1"), link("a", "b", "FS", "2", w)}, []string{"a FS b 0 working at most 5", "a FS b 2 working"}},
		{"a kept link with a stricter limit says it", []l{most(link("a", "x", "FS", "0", w), "4"), most(link("x", "b", "FS", "0", w), "1"), most(link("a", "b", "FS", "2", w), "5")}, []string{"a FS b 2 working at most 5"}},
		{"round a single task", []l{link("a", "x", "SS", "0", w), link("x", "a", "FF", "0", w)}, nil},
		{"nothing after", []l{link("a", "x", "FS", "0", w)}, nil},
	} {
		e := Estimate{Tasks: []Task{{ID: "a"}, {ID: "x", OptionID: "o"}, {ID: "b"}, {ID: "c"}}, Links: r.links, Options: []Option{{ID: "o"}}}
		got := e.InForce()
		var said []string
		for _, l := range got.Links {
			text := fmt.Sprintf("%s %s %s %s %s", l.FromID, l.Type, l.ToID, l.LagHours, l.LagKind)
			if l.MaxLagHours != nil {
				text += " at most " + l.MaxLagHours.String()
			}
			said = append(said, text)
		}
		slices.Sort(said)
		if !slices.Equal(said, r.want) {
			t.Errorf("%s: %v, want %v", r.name, said, r.want)
		}
		if len(got.Tasks) != 3 || len(e.Tasks) != 4 || len(e.Links) != len(r.links) {
			t.Errorf("%s: the estimate itself was changed: %+v", r.name, e)
		}
	}
}

// drawn is a random acyclic estimate in which some tasks belong to options.
func drawn(t *rapid.T, mixed bool) Estimate {
	var e Estimate
	for i := range rapid.IntRange(1, 4).Draw(t, "options") {
		e.Options = append(e.Options, Option{ID: fmt.Sprintf("o%d", i), Taken: rapid.Bool().Draw(t, "taken")})
	}
	n := rapid.IntRange(2, 14).Draw(t, "tasks")
	for i := range n {
		task := Task{ID: fmt.Sprintf("t%02d", i), Hours: ThreePoint{Likely: decimal.NewFromInt(int64(rapid.IntRange(0, 9).Draw(t, "hours")))}}
		if k := rapid.IntRange(-3, len(e.Options)-1).Draw(t, "option"); k >= 0 {
			task.OptionID = e.Options[k].ID
		}
		e.Tasks = append(e.Tasks, task)
	}
	kinds := []network.LinkType{network.FS, network.FS, network.SS, network.FF, network.SF}
	for i := range n {
		for j := i + 1; j < n; j++ {
			if rapid.IntRange(0, 3).Draw(t, "linked") > 0 {
				continue
			}
			l := Link{ID: fmt.Sprintf("l%d-%d", i, j), FromID: e.Tasks[i].ID, ToID: e.Tasks[j].ID, Type: rapid.SampledFrom(kinds).Draw(t, "type"),
				LagHours: decimal.NewFromInt(int64(rapid.IntRange(-4, 6).Draw(t, "lag"))), LagKind: calendar.Working}
			if mixed && rapid.Bool().Draw(t, "elapsed") {
				l.LagKind = calendar.Elapsed
			}
			e.Links = append(e.Links, l)
		}
	}
	return e
}

// reachable are the pairs of tasks that links join, directly or not.
func reachable(e Estimate) map[[2]ID]bool {
	next := map[ID][]ID{}
	for _, l := range e.Links {
		next[l.FromID] = append(next[l.FromID], l.ToID)
	}
	out := map[[2]ID]bool{}
	for _, a := range e.Tasks {
		for _, b := range e.Tasks {
			if a.ID != b.ID && reaches(next, a.ID, b.ID) {
				out[[2]ID{a.ID, b.ID}] = true
			}
		}
	}
	return out
}

// No precedence between two kept tasks is lost, and none appears.
func TestInForceKeepsEveryPrecedence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := drawn(t, true)
		kept := e.InForce()
		left, _ := e.LeftOut()
		was, is := reachable(e), reachable(kept)
		for pair := range was {
			if !left[pair[0]] && !left[pair[1]] && !is[pair] {
				t.Fatalf("%v before %v was lost\n%+v\n%+v", pair[0], pair[1], e, kept.Links)
			}
		}
		for pair := range is {
			if !was[pair] {
				t.Fatalf("%v before %v appeared\n%+v\n%+v", pair[0], pair[1], e, kept.Links)
			}
		}
	})
}

// earliest is when tasks can start at the soonest, by Bellman and Ford's
// relaxation over the inequalities of the links, written here anew: the tasks that
// are left out count as points in time, which only their links hold.
func earliest(e Estimate, left map[ID]bool) map[ID]int64 {
	const planStart, never = 0, -1_000_000
	length, start := map[ID]int64{}, map[ID]int64{}
	for _, t := range e.Tasks {
		if left[t.ID] {
			start[t.ID] = never
			continue
		}
		length[t.ID], start[t.ID] = t.Hours.Likely.IntPart(), planStart
	}
	for range len(e.Tasks) {
		for _, l := range e.Links {
			at := start[l.FromID] + l.LagHours.IntPart()
			if l.Type == network.FS || l.Type == network.FF {
				at += length[l.FromID]
			}
			if l.Type == network.FF || l.Type == network.SF {
				at -= length[l.ToID]
			}
			start[l.ToID] = max(start[l.ToID], at)
		}
	}
	return start
}

// With lags of one kind the kept tasks can start exactly when they could with the
// left-out tasks as points in time.
func TestInForceKeepsEveryDate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := drawn(t, false)
		kept := e.InForce()
		left, _ := e.LeftOut()
		want, got := earliest(e, left), earliest(kept, nil)
		for _, task := range kept.Tasks {
			if got[task.ID] != want[task.ID] {
				t.Fatalf("%s can start at %d, want %d\n%+v\n%+v", task.ID, got[task.ID], want[task.ID], e.Links, kept.Links)
			}
		}
	})
}

func TestWhatIsInForce(t *testing.T) {
	e := Estimate{
		Options: []Option{{ID: "a", Group: "g", Taken: true}, {ID: "b", Group: "g"}, {ID: "x"}},
		Tasks:   []Task{{ID: "1"}, {ID: "2", OptionID: "a"}, {ID: "3", OptionID: "b"}},
		Lines:   []Line{{ID: "l1"}, {ID: "l2", OptionID: "b"}, {ID: "l3", TaskID: "3"}, {ID: "l4", TaskID: "2", OptionID: "x"}, {ID: "l5", TaskID: "2"}},
	}
	got := e.InForce()
	if len(got.Tasks) != 2 || got.Tasks[1].ID != "2" {
		t.Errorf("tasks %+v, want 1 and 2", got.Tasks)
	}
	if len(got.Lines) != 2 || got.Lines[0].ID != "l1" || got.Lines[1].ID != "l5" {
		t.Errorf("lines %+v, want l1 and l5", got.Lines)
	}
	if len(got.Options) != 3 {
		t.Errorf("the estimate in force does not say what could be chosen: %+v", got.Options)
	}
}

func TestChoosing(t *testing.T) {
	e := Estimate{Options: []Option{{ID: "a", Group: "Rear", Name: "Repair", Taken: true}, {ID: "b", Group: "Rear", Name: "Replace"}, {ID: "x", Name: "Zinc"}, {ID: "y", Name: "Stainless", Taken: true}}}
	for _, r := range []struct {
		name  string
		ids   []ID
		field string
	}{
		{"as advised", []ID{"a", "y"}, ""},
		{"the other", []ID{"b"}, ""},
		{"all that go together", []ID{"x", "y", "b"}, ""},
		{"two of one group", []ID{"a", "b"}, "/option_ids/1"},
		{"twice", []ID{"a", "x", "x"}, "/option_ids/2"},
		{"unknown", []ID{"a", "z"}, "/option_ids/1"},
		{"none of a group", []ID{"x"}, "/option_ids"},
	} {
		got, err := e.Choose(r.ids)
		if r.field == "" {
			if err != nil || !slices.Equal(slices.Sorted(slices.Values(got.Taken())), slices.Sorted(slices.Values(r.ids))) {
				t.Errorf("%s: %v %v, want %v", r.name, got.Taken(), err, r.ids)
			}
			continue
		}
		if !fieldAtFault(err, r.field) {
			t.Errorf("%s: %v, want it refused at %s", r.name, err, r.field)
		}
	}
	if !e.Options[0].Taken || e.Options[1].Taken {
		t.Error("choosing changed the estimate itself")
	}
	for id, want := range map[ID][]ID{"a": {"a", "y"}, "b": {"b", "y"}, "x": {"a", "x", "y"}, "y": {"a"}} {
		if got := e.Toggled(id); !slices.Equal(got, want) {
			t.Errorf("toggling %s: %v, want %v", id, got, want)
		}
	}
}

func TestOneOfAGroupIsAlwaysTaken(t *testing.T) {
	e := Estimate{Options: []Option{{ID: "a", Group: "Rear", Name: "Repair", Taken: true}, {ID: "b", Group: "Rear", Name: "Replace"}, {ID: "x", Name: "Zinc"}}}
	for _, r := range []struct {
		name  string
		place Option
		want  string // what changes, or the field at fault
	}{
		{"first of a group", Option{ID: "n", Group: "Front"}, "n+"},
		{"another of a group", Option{ID: "n", Group: "Rear"}, "n-"},
		{"another that is advised", Option{ID: "n", Group: "Rear", Taken: true}, "n+ a-"},
		{"advise the other", Option{ID: "b", Group: "Rear", Taken: true}, "b+ a-"},
		{"leave the advised one", Option{ID: "a", Group: "Rear"}, "/taken"},
		{"take the advised one out of its group", Option{ID: "a", Group: "Front", Taken: true}, "/group"},
		{"an extra", Option{ID: "x", Taken: true}, "x+"},
		{"an extra into the group", Option{ID: "x", Group: "Rear"}, "x-"},
	} {
		changed, err := e.Place(r.place)
		got := ""
		for _, o := range changed {
			sign := "-"
			if o.Taken {
				sign = "+"
			}
			got += " " + o.ID + sign
		}
		if err == nil && got != " "+r.want || err != nil && !fieldAtFault(err, r.want) {
			t.Errorf("%s:%s %v, want %s", r.name, got, err, r.want)
		}
	}
	if err := e.MayRemove(e.Options[0]); err == nil {
		t.Error("the advised one of a group with others may be removed")
	}
	if err := e.MayRemove(e.Options[1]); err != nil {
		t.Errorf("the other of a group may not be removed: %v", err)
	}
}

func fieldAtFault(err error, pointer string) bool {
	e := fault.As(err)
	return e != nil && slices.ContainsFunc(e.Fields, func(f fault.Field) bool { return f.Pointer == pointer })
}
