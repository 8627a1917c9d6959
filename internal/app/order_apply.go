package app

import (
	"fmt"
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/network"
)

// applied is an estimate on which options were carried out, and what that took.
type applied struct {
	e            domain.Estimate
	tasks        []domain.Task // added
	links        []domain.Link // added, bridges over removed tasks too
	lines        []domain.Line // added
	changed      []domain.Task // with their new hours
	removedTasks []domain.ID
	removedLines []domain.ID
	optionTasks  []domain.ID // of those added, the work of options of the job
}

// apply carries parts out on a copy of the estimate: what is added first, then
// hours, then removals, so that a new task may follow one that goes. Two parts
// that change one thing contradict each other.
func (b *orderBase) apply(numbers []int, parts []part, next func() domain.ID) (applied, *domain.Contradiction) {
	a := applied{e: domain.Estimate{Phases: b.e.Phases, Tasks: slices.Clone(b.e.Tasks), Links: slices.Clone(b.e.Links), Lines: slices.Clone(b.e.Lines)}}
	codes := maps.Clone(b.codes)
	touched, gone := map[domain.ID]bool{}, map[domain.ID]bool{}
	for i, p := range parts {
		if p.why != nil {
			return a, p.why
		}
		if why := b.clash(p, touched, gone); why != nil {
			return a, why
		}
		a.add(p, numbers[i], codes)
	}
	if len(a.e.Tasks) > mostTasks {
		return a, &domain.Contradiction{Detail: fmt.Sprintf("A job has at most %d tasks.", mostTasks), Tasks: []string{}}
	}
	for _, p := range parts {
		for _, h := range p.hours {
			t, _ := a.e.Task(h.TaskID)
			t.Hours = h.Hours
			a.changed = append(a.changed, *t)
		}
		a.removedLines = append(a.removedLines, p.removeLines...)
		a.removedTasks = append(a.removedTasks, p.removeTasks...)
	}
	a.e.Lines = slices.DeleteFunc(a.e.Lines, func(l domain.Line) bool { return slices.Contains(a.removedLines, l.ID) })
	for _, id := range a.removedTasks {
		a.e = without(a.e, id, next)
	}
	old := make(map[domain.ID]bool, len(b.e.Links))
	for _, l := range b.e.Links {
		old[l.ID] = true
	}
	for _, l := range a.e.Links {
		if !old[l.ID] {
			a.links = append(a.links, l)
		}
	}
	return a, nil
}

// clash notes what a part changes and reports what another has changed already.
func (b *orderBase) clash(p part, touched, gone map[domain.ID]bool) *domain.Contradiction {
	twice := func(id domain.ID) *domain.Contradiction {
		t, _ := b.e.Task(id)
		return &domain.Contradiction{Detail: "Two of the changes chosen alter " + t.Describe() + ".", Tasks: []string{t.Describe()}}
	}
	if o := p.takes; o.ID != "" {
		choice := "group " + o.Group
		if touched[o.ID] || o.Group != "" && touched[choice] {
			return &domain.Contradiction{Detail: fmt.Sprintf("Two of the changes chosen bring in %s, or another of its choice.", o.Label()), Tasks: []string{}}
		}
		touched[o.ID], touched[choice] = true, true
	}
	for _, h := range p.hours {
		if touched[h.TaskID] {
			return twice(h.TaskID)
		}
		touched[h.TaskID] = true
	}
	for _, id := range p.removeTasks {
		if touched[id] {
			return twice(id)
		}
		touched[id] = true
	}
	for _, id := range p.removeLines {
		if gone[id] {
			return &domain.Contradiction{Detail: "Two of the changes chosen leave out the same line.", Tasks: []string{}}
		}
		gone[id] = true
	}
	return nil
}

// add puts a part's tasks, links and lines behind what there is. Tasks are
// called after their order: C3.1 is the first of order 3.
func (a *applied) add(p part, number int, codes map[string]bool) {
	for _, t := range p.tasks {
		for k := 1; t.Code == "" || codes[t.Code]; k++ {
			t.Code = fmt.Sprintf("C%d.%d", number, k)
		}
		codes[t.Code] = true
		if p.takes.ID != "" {
			a.optionTasks = append(a.optionTasks, t.ID)
		}
		t.Position = domain.NextPosition(a.e.Tasks, func(x domain.Task) int { return x.Position })
		a.e.Tasks, a.tasks = append(a.e.Tasks, t), append(a.tasks, t)
	}
	a.e.Links = append(a.e.Links, p.links...)
	for _, l := range p.lines {
		l.Position = domain.NextPosition(a.e.Lines, func(x domain.Line) int { return x.Position })
		a.e.Lines, a.lines = append(a.e.Lines, l), append(a.lines, l)
	}
}

func codesOf(e domain.Estimate) map[string]bool {
	codes := make(map[string]bool, len(e.Tasks))
	for _, t := range e.Tasks {
		codes[t.Code] = true
	}
	return codes
}

// finishStart is a link without a lag.
func finishStart(id, jobID, from, to domain.ID) domain.Link {
	return domain.Link{ID: id, JobID: jobID, FromID: from, ToID: to, Type: network.FS, LagHours: decimal.Zero, LagKind: calendar.Working}
}

// without takes a task out and links what it followed to what followed it,
// finish-start, where they are not linked already.
func without(e domain.Estimate, id domain.ID, next func() domain.ID) domain.Estimate {
	var into, outOf []domain.Link
	links := make([]domain.Link, 0, len(e.Links))
	linked := map[[2]domain.ID]bool{}
	var jobID domain.ID
	for _, l := range e.Links {
		switch {
		case l.ToID == id:
			into = append(into, l)
		case l.FromID == id:
			outOf = append(outOf, l)
		default:
			links = append(links, l)
			if l.Type == network.FS {
				linked[[2]domain.ID{l.FromID, l.ToID}] = true
			}
		}
		jobID = l.JobID
	}
	for _, in := range into {
		for _, out := range outOf {
			pair := [2]domain.ID{in.FromID, out.ToID}
			if in.FromID == out.ToID || linked[pair] {
				continue
			}
			linked[pair] = true
			links = append(links, finishStart(next(), jobID, in.FromID, out.ToID))
		}
	}
	tasks := slices.DeleteFunc(slices.Clone(e.Tasks), func(t domain.Task) bool { return t.ID == id })
	return domain.Estimate{Phases: e.Phases, Tasks: tasks, Links: links, Lines: e.Lines}
}

// agreedWork leaves out the tasks that nobody agreed to, as if they were not there:
// the effect of an order is against what was agreed.
func agreedWork(e domain.Estimate, next func() domain.ID) domain.Estimate {
	for _, t := range e.Tasks {
		if t.Scope == domain.Outside {
			e = without(e, t.ID, next)
		}
	}
	return e
}
