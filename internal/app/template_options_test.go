package app

import (
	"slices"
	"testing"

	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// A template's options come with their work where the vehicle has them; where the
// advised one of a group is not for this vehicle, the first that is stands for it.
func TestATemplateBringsItsOptions(t *testing.T) {
	one := func(key, option string) domain.TemplateTask {
		return domain.TemplateTask{Key: key, Phase: "p", Name: key, Kind: domain.Work, Option: option}
	}
	plan := domain.TemplatePlan{Phases: []domain.TemplatePhase{{Key: "p", Name: "P"}},
		Options: []domain.TemplateOption{{Key: "a", Group: "Rail", Name: "A", Taken: true, When: domain.When{"body": {"closed"}}},
			{Key: "b", Group: "Rail", Name: "B"}, {Key: "c", Group: "Rail", Name: "C"}, {Key: "x", Name: "X", Taken: true}},
		Tasks: []domain.TemplateTask{one("T1", ""), one("T2", "a"), one("T3", "b")},
		Lines: []domain.TemplateLine{{Key: "L1", Phase: "p", Kind: pricing.Fee, Option: "x"}, {Key: "L2", Phase: "p", Kind: pricing.Fee, Option: "a"}, {Key: "L3", Task: "T2", Kind: pricing.Fee}}}
	for _, r := range []struct {
		body  string
		taken []string
		tasks []string
		lines int
	}{
		{"closed", []string{"A", "X"}, []string{"T1", "T2", "T3"}, 3},
		{"open", []string{"B", "X"}, []string{"T1", "T3"}, 1},
	} {
		e, err := instantiate(plan, map[string]string{"body": r.body}, domain.PriceBook{}, "job", numbered())
		if err != nil {
			t.Fatal(err)
		}
		var taken, tasks []string
		for _, o := range e.Options {
			if o.Taken {
				taken = append(taken, o.Name)
			}
		}
		for _, x := range e.Tasks {
			tasks = append(tasks, x.Code)
			if o, _ := e.Option(x.OptionID); x.Code == "T3" && o.Name != "B" {
				t.Errorf("%s: T3 belongs to %q, want B", r.body, o.Name)
			}
		}
		if !slices.Equal(taken, r.taken) || !slices.Equal(tasks, r.tasks) || len(e.Lines) != r.lines {
			t.Errorf("%s: taken %v, tasks %v, %d lines; want %v, %v, %d", r.body, taken, tasks, len(e.Lines), r.taken, r.tasks, r.lines)
		}
	}
}
