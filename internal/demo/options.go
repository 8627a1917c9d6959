package demo

import (
	"context"
	"fmt"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// optionSeed is an option of a job with what belongs to it: tasks of the template
// that it takes over, tasks and lines that come with it.
type optionSeed struct {
	domain.TemplateOption
	Owns  []string `json:"owns"`
	Tasks []struct {
		domain.TemplateTask
		After  []string `json:"after"`
		Before []string `json:"before"`
	} `json:"tasks"`
	Lines []domain.TemplateLine `json:"lines"`
}

// offer adds a job's options with their work.
func (s *story) offer(ctx context.Context, t *told, page app.JobPage) (err error) {
	for _, o := range t.Options {
		if page, err = s.app.AddOption(ctx, s.owner, t.id, made(page), domain.Option{Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken, Points: o.Points}); err != nil {
			return err
		}
		id := page.All.Options[len(page.All.Options)-1].ID
		for _, code := range o.Owns {
			task, ok := page.All.Task(t.tasks[code])
			if !ok {
				return fmt.Errorf("there is no task %s for option %s", code, o.Key)
			}
			task.OptionID = id
			if page, err = s.app.ChangeTask(ctx, s.owner, t.id, task.ID, made(page), *task, nil); err != nil {
				return err
			}
		}
		if page, err = s.offerWork(ctx, t, page, o, id); err != nil {
			return err
		}
	}
	return nil
}

func (s *story) offerWork(ctx context.Context, t *told, page app.JobPage, o optionSeed, id domain.ID) (app.JobPage, error) {
	phases := map[string]domain.ID{}
	for _, p := range page.All.Phases {
		phases[p.Key] = p.ID
	}
	ids := func(codes []string) []domain.ID {
		out := make([]domain.ID, len(codes))
		for i, code := range codes {
			out[i] = t.tasks[code]
		}
		return out
	}
	var err error
	for _, x := range o.Tasks {
		task := domain.Task{PhaseID: phases[x.Phase], Code: x.Key, Name: x.Name, Note: x.Note, Kind: x.Kind, Hours: x.Hours, LeadDays: x.LeadDays,
			Skill: x.Skill, Crew: x.Crew, Station: x.Station, Cautions: x.Cautions, TaxClass: pricing.RepairLabour, OptionID: id}
		if page, err = s.app.AddTask(ctx, s.owner, t.id, made(page), task, ids(x.After), ids(x.Before)); err != nil {
			return page, err
		}
		t.tasks[x.Key] = page.All.Tasks[index(page, x.Key)].ID
	}
	for _, l := range o.Lines {
		line := domain.Line{PhaseID: phases[l.Phase], TaskID: t.tasks[l.Task], Kind: l.Kind, Description: l.Description, Quantity: l.Quantity, Unit: l.Unit,
			UnitCost: l.UnitCost, MarkupPercent: l.MarkupPercent, WastePercent: l.WastePercent, TaxClass: l.TaxClass, OptionID: id}
		if page, err = s.app.AddLine(ctx, s.owner, t.id, made(page), line); err != nil {
			return page, err
		}
	}
	return page, nil
}

// index is where a task that was just added stands.
func index(page app.JobPage, code string) int {
	for i, t := range page.All.Tasks {
		if t.Code == code {
			return i
		}
	}
	return 0
}
