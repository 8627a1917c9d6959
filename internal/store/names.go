package store

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// jobNumber is what a list of entries shows of a job.
type jobNumber struct {
	ID     string
	Number int
}

// TableName names the table.
func (jobNumber) TableName() string { return "jobs" }

// taskName is what a list of entries shows of a task.
type taskName struct {
	ID    string
	JobID string
	Code  string
	Name  string
}

// TableName names the table.
func (taskName) TableName() string { return "tasks" }

// JobOfTask returns the job that a task belongs to, also when the task was
// removed.
func (r *reader) JobOfTask(taskID domain.ID) (domain.ID, error) {
	row, err := one[taskName](r, "task", "id = ?", taskID)
	return row.JobID, err
}

// JobNumbers gives the numbers of jobs; an unknown ID has no row.
func (r *reader) JobNumbers(ids []domain.ID) (map[domain.ID]int, error) {
	out := map[domain.ID]int{}
	if len(ids) == 0 {
		return out, nil
	}
	of, arg := r.among("id", ids)
	rows, err := list[jobNumber](r, "", 0, of, arg)
	for _, row := range rows {
		out[row.ID] = row.Number
	}
	return out, err
}

// TaskNames gives what tasks are called, removed ones included; an unknown ID
// has no row.
func (r *reader) TaskNames(ids []domain.ID) (map[domain.ID]app.TaskName, error) {
	out := map[domain.ID]app.TaskName{}
	if len(ids) == 0 {
		return out, nil
	}
	of, arg := r.among("id", ids)
	rows, err := list[taskName](r, "", 0, of, arg)
	for _, row := range rows {
		out[row.ID] = app.TaskName{Code: row.Code, Name: row.Name}
	}
	return out, err
}
