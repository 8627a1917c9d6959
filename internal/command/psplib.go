package command

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"bareframe/internal/fault"
	"bareframe/internal/levelling/project"
	"bareframe/internal/levelling/search"
	"bareframe/internal/psplib"
)

type instances struct {
	Path      string  `arg:"" help:"A folder, or a .tar.gz, of .sm or .sch instances."`
	Schedules float64 `help:"Schedules to generate for each instance." default:"5000"`
	Seed      uint64  `help:"Seed of all chance." default:"1"`
	Workers   int     `help:"Processors to use for each instance; the answer stays the same." default:"1"`
	Best      string  `help:"A list of best known results (CSV) to compare with." type:"existingfile"`
	Filter    string  `help:"Only instances whose name contains this."`
}

// Run solves each instance and prints a line for it: its makespan, the length of
// its longest path and the seconds it took. Every schedule is checked.
func (c instances) Run(ctx context.Context, streams Streams) error {
	if c.Schedules < 1 || c.Schedules > 1e9 {
		return fault.New(fault.Invalid, "schedules-out-of-bounds", "Give between 1 and 1,000,000,000 schedules.")
	}
	best, err := c.published()
	if err != nil {
		return err
	}
	tally := &tally{best: best}
	fmt.Fprintln(streams.Out, "instance,makespan,cpm_length,seconds")
	err = psplib.All(c.Path, c.Filter, func(i psplib.Instance) error {
		from := time.Now()
		r, err := c.solve(ctx, i)
		if err != nil {
			return fmt.Errorf("%s: %w", i.Name, err)
		}
		took := time.Since(from)
		if wrong := i.Project.Check(r.Starts); r.Starts != nil && len(wrong) > 0 {
			return fmt.Errorf("the schedule of %s breaks its rules: %s", i.Name, strings.Join(wrong, "; "))
		}
		tally.count(i, r, took)
		makespan := fmt.Sprint(r.Makespan)
		if r.Starts == nil {
			makespan = string(r.Status)
		}
		fmt.Fprintf(streams.Out, "%s,%s,%d,%.4f\n", i.Name, makespan, r.Path, took.Seconds())
		return ctx.Err()
	})
	if err != nil {
		return err
	}
	tally.write(streams.Out)
	return nil
}

func (c instances) solve(ctx context.Context, i psplib.Instance) (project.Result, error) {
	effort := search.Effort{Schedules: c.Schedules, Seed: c.Seed, Workers: c.Workers}
	if i.Lags {
		return project.SolveLags(ctx, i.Project, effort)
	}
	return project.Solve(ctx, i.Project, effort)
}

func (c instances) published() (psplib.Best, error) {
	if c.Best == "" {
		return nil, nil
	}
	f, err := os.Open(c.Best)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return psplib.ReadBest(f)
}

// tally sums up what is published as means.
type tally struct {
	best psplib.Best

	instances, feasible, infeasible, optimal, reached, compared int
	overPath, overBest, schedules                               float64
	took                                                        time.Duration
	below                                                       []string
}

func (t *tally) count(i psplib.Instance, r project.Result, took time.Duration) {
	t.instances++
	t.took += took
	t.schedules += r.Schedules
	if r.Status == project.Infeasible {
		t.infeasible++
	}
	if r.Starts == nil {
		return
	}
	t.feasible++
	if r.Optimal() {
		t.optimal++
	}
	t.overPath += share(r.Makespan, r.Path)
	if known, ok := t.best.Of(i); ok && known.Makespan > 0 {
		t.compared++
		t.overBest += share(r.Makespan, known.Makespan)
		if r.Makespan == known.Makespan {
			t.reached++
		}
		if r.Makespan < known.Makespan || known.Status == "infeasible" {
			t.below = append(t.below, i.Name)
		}
	}
}

func share(makespan, of int32) float64 {
	if of == 0 {
		return 0
	}
	return float64(makespan-of) / float64(of)
}

// write sums up on lines that begin with a hash.
func (t *tally) write(out io.Writer) {
	if t.instances == 0 {
		fmt.Fprintln(out, "# no instance")
		return
	}
	n := float64(max(1, t.feasible))
	fmt.Fprintf(out, "# %d instances, %d with a schedule, %d shown to have none, %d shown optimal here\n", t.instances, t.feasible, t.infeasible, t.optimal)
	fmt.Fprintf(out, "# mean deviation from the longest path %.3f %%\n", 100*t.overPath/n)
	if t.compared > 0 {
		fmt.Fprintf(out, "# mean deviation from the best known %.3f %% (%d compared, %d reached)\n", 100*t.overBest/float64(t.compared), t.compared, t.reached)
	}
	if len(t.below) > 0 {
		fmt.Fprintf(out, "# below the best known, or a schedule where none should be: %s\n", strings.Join(t.below, " "))
	}
	fmt.Fprintf(out, "# %.0f schedules on average, %.1f s in all, %.0f schedules a second\n", t.schedules/float64(t.instances), t.took.Seconds(), t.schedules/t.took.Seconds())
}
