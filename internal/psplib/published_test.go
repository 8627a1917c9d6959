package psplib

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"bareframe/internal/levelling/project"
	"bareframe/internal/levelling/search"
)

// folder is where the published instances lie, if anywhere: BAREFRAME_PSPLIB, or
// shared/psplib beside the checkout. They are not ours to pass on.
func published(t *testing.T, name string) string {
	at := os.Getenv("BAREFRAME_PSPLIB")
	if at == "" {
		at = filepath.Join("..", "..", "..", "shared", "psplib")
	}
	at = filepath.Join(at, name)
	if _, err := os.Stat(at); err != nil {
		t.Skipf("SKIPPED: %s is not there. Put the instances of PSPLIB (j30, j120) and of ProGen/max into a folder and name it in BAREFRAME_PSPLIB.", name)
	}
	return at
}

func list(t *testing.T, name string) Best {
	f, err := os.Open(published(t, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	best, err := ReadBest(f)
	if err != nil {
		t.Fatal(err)
	}
	return best
}

// Optima: PSPLIB file j30opt.sm (E. Demeulemeester and W. Herroelen); bounds and
// best known: PSPLIB lists of j120. Each is a schedule's makespan or a proof by
// somebody else, so no schedule of ours may be below a bound, none may break a
// rule, and no bound of ours may pass what somebody reached.
func TestPublishedProjects(t *testing.T) {
	for set, every := range map[string]int{"j30": 8, "j120": 40} {
		best := list(t, set+".best.csv")
		count := 0
		err := All(published(t, set+".sm.tar.gz"), "", func(i Instance) error {
			if count++; count%every != 0 {
				return nil
			}
			got, err := project.Solve(context.Background(), i.Project, search.Effort{Schedules: 500, Seed: 1})
			if err != nil {
				return err
			}
			known, ok := best.Of(i)
			if !ok {
				t.Errorf("%s is not on the list", i.Name)
			}
			for _, wrong := range i.Project.Check(got.Starts) {
				t.Errorf("%s: %s", i.Name, wrong)
			}
			if got.Makespan < known.Bound || got.Bound > known.Makespan {
				t.Errorf("%s: makespan %d under the published bound %d, or bound %d over the published makespan %d", i.Name, got.Makespan, known.Bound, got.Bound, known.Makespan)
			}
			if over := float64(got.Makespan-known.Makespan) / float64(known.Makespan); over > 0.2 {
				t.Errorf("%s: %d is %.0f %% over the best known %d", i.Name, got.Makespan, 100*over, known.Makespan)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// j301_1: longest path 38, optimum 43 (PSPLIB, j30opt.sm).
func TestTheFirstPublishedProject(t *testing.T) {
	err := All(published(t, "j30.sm.tar.gz"), "j301_1", func(i Instance) error {
		if i.Name != "j301_1" {
			return nil
		}
		got, err := project.Solve(context.Background(), i.Project, search.Effort{Schedules: 1000, Seed: 1})
		if err == nil && (got.Path != 38 || got.Makespan != 43) {
			t.Errorf("longest path %d and makespan %d, want 38 and 43", got.Path, got.Makespan)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// Optima and infeasible instances of ProGen/max as collected in public; those of
// the smallest sets were checked by a further solver when they were collected.
func TestPublishedProjectsWithMaximumLags(t *testing.T) {
	best := list(t, "rcpspmax.best.csv")
	count := map[string]int{}
	err := All(published(t, "rcpspmax.sch.tar.gz"), "", func(i Instance) error {
		every, ok := map[string]int{"j10": 3, "ubo10": 1, "ubo20": 2, "j20": 9, "ubo50": 9}[i.Set]
		if count[i.Set]++; !ok || count[i.Set]%every != 0 {
			return nil
		}
		known, listed := best.Of(i)
		got, err := project.SolveLags(context.Background(), i.Project, search.Effort{Schedules: 1000, Seed: 1})
		switch {
		case err != nil:
			return err
		case !listed:
			t.Errorf("%s/%s is not on the list", i.Set, i.Name)
		case known.Status == "infeasible" && got.Starts != nil, known.Status != "infeasible" && got.Status == project.Infeasible:
			t.Errorf("%s/%s: %s here, %s on the list", i.Set, i.Name, got.Status, known.Status)
		case known.Status == "optimal" && got.Starts != nil && got.Makespan < known.Makespan:
			t.Errorf("%s/%s: %d, below the optimum %d", i.Set, i.Name, got.Makespan, known.Makespan)
		case known.Makespan >= 0 && got.Bound > known.Makespan:
			t.Errorf("%s/%s: bound %d passes the published makespan %d", i.Set, i.Name, got.Bound, known.Makespan)
		case (i.Set == "j10" || i.Set == "ubo10") && known.Status == "optimal" && got.Makespan != known.Makespan:
			t.Errorf("%s/%s: %d, the optimum is %d", i.Set, i.Name, got.Makespan, known.Makespan)
		}
		if got.Starts != nil {
			for _, wrong := range i.Project.Check(got.Starts) {
				t.Errorf("%s/%s: %s", i.Set, i.Name, wrong)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
