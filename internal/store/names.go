package store

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// named is what a list shows of a job or task.
type named struct {
	ID     string
	Number int
	Code   string
	Name   string
	JobID  string
}

// JobOfTask returns the job that a task belongs to, also when the task was
// removed.
func (r *reader) JobOfTask(taskID domain.ID) (domain.ID, error) {
	var rows []named
	err := r.ran(r.db.Raw("SELECT job_id FROM tasks WHERE shop_id = ? AND id = ?", r.shop, taskID).Scan(&rows))
	if err != nil {
		return "", err
	}
	if len(rows) == 0 {
		return "", notFound("task")
	}
	return rows[0].JobID, nil
}

// JobNumbers gives the numbers of jobs; an unknown ID has no row.
func (r *reader) JobNumbers(ids []domain.ID) (map[domain.ID]int, error) {
	rows, err := r.names("SELECT id, number FROM jobs", ids)
	out := map[domain.ID]int{}
	for _, row := range rows {
		out[row.ID] = row.Number
	}
	return out, err
}

// TaskNames gives what tasks are called, removed ones included; an unknown ID
// has no row.
func (r *reader) TaskNames(ids []domain.ID) (map[domain.ID]app.TaskName, error) {
	rows, err := r.names("SELECT id, code, name FROM tasks", ids)
	out := map[domain.ID]app.TaskName{}
	for _, row := range rows {
		out[row.ID] = app.TaskName{Code: row.Code, Name: row.Name}
	}
	return out, err
}

func (r *reader) names(from string, ids []domain.ID) ([]named, error) {
	var rows []named
	if len(ids) == 0 {
		return rows, nil
	}
	of, arg := r.among("id", ids)
	err := r.ran(r.db.Raw(from+" WHERE shop_id = ? AND "+of, r.shop, arg).Scan(&rows))
	return rows, err
}
