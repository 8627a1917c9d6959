package points

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/testkit/glpk"
)

// model is a job as a mixed integer program in the CPLEX LP format, which GLPK
// reads. Everything is in hundredths of a point and minor units.
//
//	x_i  binary, option i is done
//	d_a  what is left to deduct on aspect a, 0 <= d_a <= maximum_a
//	z_a  binary, the maximum holds aspect a down
//
// The deduction clamp(sum_a - effects, 0, maximum_a) is made linear so:
//
//	d_a >= sum_a - effects - M_a z_a     what is left, unless the maximum holds it
//	d_a >= maximum_a z_a                 then all of the maximum is lost
//
// with d_a >= 0 from its bounds. As d_a is minimised, z_a = 0 gives max(0, sum -
// effects) and z_a = 1 the maximum, and the solver takes the lower of the two,
// which is the clamp. M_a is the most by which the sum can pass 0: sum_a and all
// harm. z_a is left out where the sum cannot pass the maximum.
//
//	requirements x_i <= x_r, exclusions x_i + x_k <= 1, groups sum = 1 or <= 1
//
// The first stage minimises the sum of d under the budget. The second keeps it at
// most what the first found and minimises cost; the third keeps both and
// minimises the number of options.
func (j *job) model(stage int, left, cost int64) string {
	var objective, rows, bounds, whole strings.Builder
	spend := ""
	sum := &objective
	for a := range 2 * len(j.before) {
		before, maximum := int64(j.before[a/2].of(a)), int64(j.maximum[a/2].of(a))
		effects, harm := "", int64(0)
		for i, o := range j.options {
			for _, e := range o.deltas {
				if e.aspect == a {
					effects += fmt.Sprintf(" %+d x%d", e.amount, i)
					harm += max(0, -e.amount)
				}
			}
		}
		fmt.Fprintf(sum, " + d%d", a)
		fmt.Fprintf(&bounds, " 0 <= d%d <= %d\n", a, maximum)
		if before+harm > maximum && maximum > 0 {
			fmt.Fprintf(&rows, " d%d%s + %d z%d >= %d\n d%d - %d z%d >= 0\n", a, effects, before+harm, a, before, a, maximum, a)
			fmt.Fprintf(&whole, " z%d\n", a)
		} else {
			fmt.Fprintf(&rows, " d%d%s >= %d\n", a, effects, before)
		}
	}
	count := ""
	for i, o := range j.options {
		spend += fmt.Sprintf(" + %d x%d", o.cost, i)
		count += fmt.Sprintf(" + x%d", i)
		fmt.Fprintf(&whole, " x%d\n", i)
		for _, r := range o.requires {
			fmt.Fprintf(&rows, " x%d - x%d <= 0\n", i, r)
		}
		for _, k := range o.excludes {
			fmt.Fprintf(&rows, " x%d + x%d <= 1\n", i, k)
		}
	}
	for _, g := range j.groups {
		for _, i := range g.members {
			fmt.Fprintf(&rows, " + x%d", i)
		}
		fmt.Fprintf(&rows, " %s 1\n", map[bool]string{true: "=", false: "<="}[g.exact])
	}
	goal := objective.String()
	if stage == 1 && j.budget >= 0 {
		fmt.Fprintf(&rows, "%s <= %d\n", spend, j.budget)
	}
	if stage >= 2 {
		fmt.Fprintf(&rows, "%s <= %d\n", goal, left)
		goal = spend
	}
	if stage == 3 {
		fmt.Fprintf(&rows, "%s <= %d\n", spend, cost)
		goal = count
	}
	return fmt.Sprintf("Minimize\n obj:%s\nSubject To\n%sBounds\n%sBinary\n%sEnd\n", goal, rows.String(), bounds.String(), whole.String())
}

// solve asks for the optimum of a model. ok is false when it has no solution.
func solve(t *testing.T, solver glpk.Solver, model string) (value int64, ok bool) {
	t.Helper()
	return solver.Least(t, model, "--tmlim", "120", "--cuts")
}

// Points, cost and number of options of the best set against GLPK (GNU Linear
// Programming Kit 5.0, branch and cut), on inputs too large to enumerate.
func TestBestAgainstAnIntegerProgram(t *testing.T) {
	solver := glpk.Find(t, "best sets")
	for _, f := range families {
		for seed := range uint64(2) {
			for _, n := range []int{20, 40, 60} {
				if f.name == "subset_sum" {
					n /= 2 // a bound by linear programming hardly helps there: GLPK was still at it after two minutes
				}
				in := f.made(rand.New(rand.NewPCG(seed, uint64(n))), n, 20+int(seed)*25)
				t.Run(fmt.Sprintf("%s/%d/%d", f.name, n, seed), func(t *testing.T) { holdAgainst(t, solver, in) })
			}
		}
	}
}

func holdAgainst(t *testing.T, solver glpk.Solver, in Input) {
	j := readFound(t, in)
	got := j.best(context.Background())
	left, ok := solve(t, solver, j.model(1, 0, 0))
	if !ok {
		if got.Status != Impossible {
			t.Fatalf("%v, and there is no such set", got)
		}
		return
	}
	if got.Status != Optimal {
		t.Fatalf("status %s: %v", got.Status, got.Words)
	}
	cost, _ := solve(t, solver, j.model(2, left, 0))
	count, _ := solve(t, solver, j.model(3, left, cost))
	there := int64(0)
	for i, b := range j.before {
		there += min(int64(b.Originality), int64(j.maximum[i].Originality)) + min(int64(b.Condition), int64(j.maximum[i].Condition))
	}
	s := got.Selection
	options := int64(len(s.Options))
	if int64(s.Bought.Total()) != there-left || s.Cost.Minor() != cost || options < count || options > count && !mayHaveFewer(got) {
		t.Errorf("%s points for %s with %d options, want %s for %d with %d", s.Bought.Total(), s.Cost, len(s.Options), Points(there-left), cost, count)
	}
}

// mayHaveFewer reports whether the result leaves open that an equal set has fewer
// options.
func mayHaveFewer(b Best) bool {
	return slices.ContainsFunc(b.Words, func(s string) bool { return strings.Contains(s, "with fewer options") })
}

// readFound is a job with its deductions as found.
func readFound(t interface {
	Helper()
	Fatal(...any)
}, in Input) *job {
	t.Helper()
	j, err := read(in)
	if err != nil {
		t.Fatal(err)
	}
	items, _ := j.found()
	for _, f := range items {
		j.before = append(j.before, f.Before)
	}
	return j
}
