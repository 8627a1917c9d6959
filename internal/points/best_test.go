package points

import (
	"cmp"
	"context"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// enumerated is the best set by trying every one, with no thought for speed: the
// definition in doc.go, word for word.
func enumerated(j *job) (best *Selection) {
	n := len(j.options)
	for bits := range 1 << n {
		var done []int
		for i := range n {
			if bits>>i&1 == 1 {
				done = append(done, i)
			}
		}
		if !allowed(j, done) {
			continue
		}
		s := j.selection(done)
		if j.budget >= 0 && s.Cost.Minor() > j.budget {
			continue
		}
		if best == nil || better(s, best) {
			best = s
		}
	}
	return best
}

func allowed(j *job, done []int) bool {
	for _, i := range done {
		for _, r := range j.options[i].requires {
			if !slices.Contains(done, r) {
				return false
			}
		}
		for _, e := range j.options[i].excludes {
			if slices.Contains(done, e) {
				return false
			}
		}
	}
	for _, g := range j.groups {
		n := 0
		for _, i := range g.members {
			if slices.Contains(done, i) {
				n++
			}
		}
		if n > 1 || n == 0 && g.exact {
			return false
		}
	}
	return true
}

func better(a, b *Selection) bool {
	x, y := slices.Sorted(slices.Values(a.Options)), slices.Sorted(slices.Values(b.Options))
	return cmp.Or(cmp.Compare(b.Bought.Total(), a.Bought.Total()), cmp.Compare(a.Cost.Minor(), b.Cost.Minor()),
		cmp.Compare(len(x), len(y)), slices.Compare(x, y)) < 0
}

// small draws an input of one family that can be enumerated. Few costs and few
// amounts make ties common.
func small(t *rapid.T, most int) Input {
	f := rapid.SampledFrom(families).Draw(t, "family")
	f.items = rapid.IntRange(1, 4).Draw(t, "items")
	f.touched = min(f.touched, f.items)
	n := rapid.IntRange(1, most).Draw(t, "options")
	if rapid.Bool().Draw(t, "round") {
		cost := f.cost
		f.cost = func(rng *rand.Rand, points int) int { return (cost(rng, points) + 49_999) / 50_000 * 50_000 }
	}
	in := f.made(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)), n, rapid.IntRange(0, 110).Draw(t, "budget"))
	if rapid.IntRange(0, 9).Draw(t, "any budget") == 0 {
		in.Budget = ""
	}
	return in
}

func same(a, b *Selection) bool {
	return (a == nil) == (b == nil) && (a == nil || slices.Equal(a.Options, b.Options) && a.Bought == b.Bought && a.Cost.Equal(b.Cost))
}

// alike reports whether two sets buy as much for as little.
func alike(a, b *Selection) bool {
	return a.Bought.Total() == b.Bought.Total() && a.Cost.Equal(b.Cost)
}

// canBeDone holds a set against groups, requirements, exclusions and budget.
func canBeDone(j *job, s *Selection) bool {
	var done []int
	for _, id := range s.Options {
		done = append(done, j.place[id])
	}
	return allowed(j, done) && (j.budget < 0 || s.Cost.Minor() <= j.budget)
}

// The best set, down to the last tie, is the one that trying all finds, and the
// proof says so.
func TestBestIsTheBestOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := small(t, 11)
		j := readFound(t, in)
		want := enumerated(j)
		got := j.best(context.Background())
		if mayHaveFewer(got) {
			t.Fatalf("ties are not settled, of %+v", in)
		}
		if !same(got.Selection, want) {
			t.Fatalf("best %+v, want %+v, of %+v", got.Selection, want, in)
		}
		if got.Selection != nil && !canBeDone(j, got.Selection) {
			t.Fatalf("%+v cannot be done, of %+v", got.Selection, in)
		}
		if want == nil && got.Status != Impossible || want != nil && (got.Status != Optimal || got.Bound != want.Bought.Total()) {
			t.Fatalf("status %s, bound %s, of %+v", got.Status, got.Bound, in)
		}
	})
}

// A search that was stopped early gives a bound that the truth does not pass,
// and a set that can be done.
func TestAStoppedSearchTellsTheTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := small(t, 11)
		in.MaxNodes = rapid.IntRange(1, 60).Draw(t, "nodes")
		j := readFound(t, in)
		want := enumerated(j)
		got := j.best(context.Background())
		if want == nil {
			if got.Selection != nil {
				t.Fatalf("%+v, and nothing can be done, of %+v", got.Selection, in)
			}
			return
		}
		if got.Bound < want.Bought.Total() || got.Status == Impossible || got.Status == Optimal && !alike(got.Selection, want) {
			t.Fatalf("%s, bound %s, set %+v, want %+v, of %+v", got.Status, got.Bound, got.Selection, want, in)
		}
		if s := got.Selection; s != nil && !canBeDone(j, s) {
			t.Fatalf("%+v cannot be done, of %+v", s, in)
		}
	})
}

// Of sets that buy as much for as little the same one comes out whatever the order
// in which options, requirements and exclusions are given.
func TestTheOrderOfTheInputDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := small(t, 24)
		want := readFound(t, in).best(context.Background())
		in.Options = rapid.Permutation(in.Options).Draw(t, "options")
		for i := range in.Options {
			in.Options[i].Requires = rapid.Permutation(in.Options[i].Requires).Draw(t, "requires")
			in.Options[i].Excludes = rapid.Permutation(in.Options[i].Excludes).Draw(t, "excludes")
		}
		got := readFound(t, in).best(context.Background())
		if (got.Selection == nil) != (want.Selection == nil) {
			t.Fatalf("%+v, want %+v, of %+v", got.Selection, want.Selection, in)
		}
		if got.Selection == nil {
			return
		}
		a, b := slices.Sorted(slices.Values(got.Selection.Options)), slices.Sorted(slices.Values(want.Selection.Options))
		if !slices.Equal(a, b) {
			t.Fatalf("%v, want %v, of %+v", a, b, in)
		}
	})
}

// A context that has ended stops the search and keeps the bound true.
func TestAContextEndsTheSearch(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	in := families[1].made(rand.New(rand.NewPCG(1, 60)), 60, 35)
	full, err := Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Compute(ctx, in)
	if err != nil || got.Best.Status != Stopped || got.Best.Bound < full.Best.Bound || !strings.Contains(strings.Join(got.Best.Words, " "), "stopped after") {
		t.Errorf("%+v, %v; the best buys %s", got.Best, err, full.Best.Bound)
	}
}

// The frontier is the best set of every budget that buys more than a smaller one.
func TestTheFrontierIsTheBestOfEveryBudget(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := small(t, 8)
		in.Frontier, in.MaxNodes = true, MaxNodes // hundreds of searches: no limit may end them
		got, err := Calculate(in)
		if err != nil {
			t.Fatal(err)
		}
		j := readFound(t, in)
		want := []Selection{}
		for next := enumerated(j); next != nil; next = enumerated(j) {
			want = append(want, *next)
			if j.budget = next.Cost.Minor() - 1; j.budget < 0 {
				break
			}
		}
		slices.Reverse(want)
		if got.Frontier.Status != got.Best.Status {
			t.Fatalf("frontier %s, best %s, of %+v", got.Frontier.Status, got.Best.Status, in)
		}
		if !slices.EqualFunc(got.Frontier.Sets, want, func(a, b Selection) bool { return same(&a, &b) }) {
			t.Fatalf("frontier %+v, want %+v, of %+v", got.Frontier.Sets, want, in)
		}
	})
}
