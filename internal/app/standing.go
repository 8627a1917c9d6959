package app

import (
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
)

// TaskState says whether a task was begun and ended.
type TaskState string

// The states of a task.
const (
	TaskOpen     TaskState = "open"
	TaskInWork   TaskState = "in_work"
	TaskFinished TaskState = "finished"
)

// Standing is hours sold, worked and to go of a task, a phase or a job.
type Standing struct {
	Sold     decimal.Decimal
	Worked   decimal.Decimal
	ToGo     decimal.Decimal
	Waiting  decimal.Decimal
	Percent  int // of the sold hours, earned by hours to go
	State    TaskState
	earned   decimal.Decimal
	finished int
	tasks    int
}

// Forecast is hours at completion: worked and to go.
func (s Standing) Forecast() decimal.Decimal { return s.Worked.Add(s.ToGo) }

// taskStanding earns a task's sold hours in the proportion of worked to
// forecast hours, so that hours to go and not a guessed percentage speak.
func taskStanding(t domain.Task, sold decimal.Decimal, p domain.TaskProgress, finished, started bool) Standing {
	s := Standing{Sold: sold, Worked: hoursOf(p.WorkedMinutes), Waiting: hoursOf(p.WaitingMinutes), ToGo: hoursLeft(t, p), State: TaskOpen, tasks: 1}
	switch {
	case finished:
		s.State, s.ToGo, s.earned, s.finished = TaskFinished, decimal.Zero, sold, 1
	case started:
		s.State = TaskInWork
		if f := s.Forecast(); f.IsPositive() {
			s.earned = sold.Mul(s.Worked).Div(f)
		}
	}
	s.settle()
	return s
}

// plus adds two standings; the state and percentage follow from the sums.
func (s Standing) plus(o Standing) Standing {
	sum := Standing{
		Sold: s.Sold.Add(o.Sold), Worked: s.Worked.Add(o.Worked), ToGo: s.ToGo.Add(o.ToGo), Waiting: s.Waiting.Add(o.Waiting),
		earned: s.earned.Add(o.earned), finished: s.finished + o.finished, tasks: s.tasks + o.tasks,
	}
	sum.State = TaskOpen
	if s.State != TaskOpen && s.tasks > 0 || o.State != TaskOpen && o.tasks > 0 {
		sum.State = TaskInWork
	}
	sum.settle()
	return sum
}

func (s *Standing) settle() {
	switch {
	case s.tasks > 0 && s.finished == s.tasks:
		s.Percent, s.State = 100, TaskFinished
	case s.Sold.IsPositive():
		s.Percent = min(99, int(s.earned.Mul(decimal.NewFromInt(100)).Div(s.Sold).IntPart()))
	case s.tasks > 0:
		s.Percent = 100 * s.finished / s.tasks
	}
}

// span widens a start and finish to hold another.
type span struct{ start, finish *time.Time }

func (s *span) widen(from, to time.Time) {
	if s.start == nil || from.Before(*s.start) {
		s.start = &from
	}
	if s.finish == nil || to.After(*s.finish) {
		s.finish = &to
	}
}
