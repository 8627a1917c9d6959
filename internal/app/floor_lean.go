package app

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
)

// lean keeps of estimates what a plan of all cars asks of them, each text and number
// once: a floor of many cars stands in memory for as long as a search takes.
type lean struct {
	texts   map[string]string
	numbers map[leanNumber]decimal.Decimal
}

// leanNumber finds a decimal that may be the same.
type leanNumber struct {
	coefficient int64
	exponent    int32
}

func newLean() *lean {
	return &lean{texts: map[string]string{}, numbers: map[leanNumber]decimal.Decimal{}}
}

// estimate is tasks and links of e with what is read of them on the floor.
func (k *lean) estimate(e domain.Estimate) domain.Estimate {
	out := domain.Estimate{Tasks: make([]domain.Task, len(e.Tasks)), Links: make([]domain.Link, len(e.Links))}
	for i := range e.Tasks {
		out.Tasks[i] = k.task(&e.Tasks[i])
	}
	for i, l := range e.Links {
		l.JobID, l.FromID, l.ToID = k.text(l.JobID), k.text(l.FromID), k.text(l.ToID)
		l.LagHours = k.number(l.LagHours)
		out.Links[i] = l
	}
	return out
}

func (k *lean) task(t *domain.Task) domain.Task {
	return domain.Task{ID: k.text(t.ID), JobID: k.text(t.JobID), Code: k.text(t.Code), Name: k.text(t.Name), Kind: t.Kind,
		Hours:        domain.ThreePoint{Low: k.number(t.Hours.Low), Likely: k.number(t.Hours.Likely), High: k.number(t.Hours.High)},
		ElapsedHours: k.number(t.ElapsedHours), LeadDays: t.LeadDays, Skill: k.text(t.Skill), Crew: t.Crew, Station: k.text(t.Station),
		Follows: t.Follows, NotBefore: t.NotBefore, FinishBy: t.FinishBy, Floor: t.Floor, Arrives: t.Arrives, ReleasedAt: t.ReleasedAt}
}

func (k *lean) text(s string) string {
	if known, ok := k.texts[s]; ok {
		return known
	}
	k.texts[s] = s
	return s
}

func (k *lean) all(list []string) {
	for i := range list {
		list[i] = k.text(list[i])
	}
}

func (k *lean) number(d decimal.Decimal) decimal.Decimal {
	key := leanNumber{d.CoefficientInt64(), d.Exponent()}
	if known, ok := k.numbers[key]; ok && known.Equal(d) {
		return known
	}
	k.numbers[key] = d
	return d
}

// floorTask is what is said of a task, and who can do it; it outlasts the search,
// the work that it was read from need not.
type floorTask struct {
	ID                  domain.ID
	Code, Name, Station string
	Kind                domain.TaskKind
	People              int
	Needs               []domain.Helper
}

// floorTasks finds a task of the floor; one that is not on it is empty.
type floorTasks map[domain.ID]*floorTask

func (f floorTasks) of(id domain.ID) floorTask {
	if t, ok := f[id]; ok {
		return *t
	}
	return floorTask{}
}

// put adds the work of one job.
func (b *floorBase) put(j domain.Job, e domain.Estimate) {
	b.work[j.ID] = e
	named := make([]floorTask, len(e.Tasks))
	for i := range e.Tasks {
		t := &e.Tasks[i]
		named[i] = floorTask{t.ID, t.Code, t.Name, t.Station, t.Kind, t.People(), t.Needs()}
		b.tasks[t.ID], b.jobOf[t.ID] = &named[i], jobName{j.ID, j.Number}
	}
}
