package store

import (
	"slices"
	"time"

	"bareframe/internal/domain"
)

// Estimates loads the estimates of several jobs in five queries, each sorted.
func (r *reader) Estimates(jobIDs []domain.ID) (map[domain.ID]domain.Estimate, error) {
	out := map[domain.ID]domain.Estimate{}
	if len(jobIDs) == 0 {
		return out, nil
	}
	of, arg := r.among("job_id", jobIDs)
	of += " AND removed_at IS NULL"
	phases, err := list[phaseRecord](r, "", 0, of, arg)
	if err != nil {
		return nil, err
	}
	tasks, err := list[taskRecord](r, "", 0, of, arg)
	if err != nil {
		return nil, err
	}
	links, err := list[taskLinkRecord](r, "", 0, of, arg)
	if err != nil {
		return nil, err
	}
	lines, err := list[lineRecord](r, "", 0, of, arg)
	if err != nil {
		return nil, err
	}
	options, err := list[optionRecord](r, "", 0, of, arg)
	if err != nil {
		return nil, err
	}
	phasesOf, tasksOf, linksOf, linesOf, optionsOf := byJob(phases), byJob(tasks), byJob(links), byJob(lines), byJob(options)
	for _, id := range jobIDs {
		e := domain.Estimate{Phases: phasesOf.of(id), Tasks: tasksOf.of(id), Links: linksOf.of(id), Lines: linesOf.of(id), Options: optionsOf.of(id)}
		e.Sort()
		out[id] = e
	}
	return out, nil
}

// grouped holds nouns by their job.
type grouped[D any] map[domain.ID][]D

// of returns a job's nouns, never nil.
func (g grouped[D]) of(jobID domain.ID) []D {
	if rows, ok := g[jobID]; ok {
		return rows
	}
	return []D{}
}

// byJob groups rows by their job and keeps their order.
func byJob[R interface {
	toDomain() D
	job() domain.ID
}, D any](rows []R) grouped[D] {
	counts := map[domain.ID]int{}
	for i := range rows {
		counts[rows[i].job()]++
	}
	out := make(grouped[D], len(counts))
	for id, n := range counts {
		out[id] = make([]D, 0, n) // they stay in memory: no room to grow
	}
	for i := range rows {
		id := rows[i].job()
		out[id] = append(out[id], rows[i].toDomain())
	}
	return out
}

// forJobs gives each of the jobs its rows, never nil.
func forJobs[R interface {
	toDomain() D
	job() domain.ID
}, D any](jobIDs []domain.ID, rows []R) map[domain.ID][]D {
	groups := byJob[R, D](rows)
	out := map[domain.ID][]D{}
	for _, id := range jobIDs {
		out[id] = groups.of(id)
	}
	return out
}

// What is fixed about a row of an estimate once it is stored.
var fixedInJob = []string{"job_id", "removed_at"}

const present = "id = ? AND removed_at IS NULL"

// AddPhases stores new phases.
func (w *writer) AddPhases(rows []domain.Phase) error { return add(w, records(rows, w.phaseToRecord)) }

// AddTasks stores new tasks.
func (w *writer) AddTasks(rows []domain.Task) error { return add(w, records(rows, w.taskToRecord)) }

// AddTaskLinks stores new links.
func (w *writer) AddTaskLinks(rows []domain.Link) error {
	return add(w, records(rows, w.taskLinkToRecord))
}

// AddLines stores new lines.
func (w *writer) AddLines(rows []domain.Line) error { return add(w, records(rows, w.lineToRecord)) }

func records[D, R any](rows []D, convert func(D) R) []R {
	out := make([]R, len(rows))
	for i, row := range rows {
		out[i] = convert(row)
	}
	return out
}

// SavePhase stores a phase that was changed.
func (w *writer) SavePhase(p domain.Phase) error {
	row := w.phaseToRecord(p)
	return save(w, "phase", &row, fixedInJob, present, p.ID)
}

// SaveTask stores a task that was changed.
func (w *writer) SaveTask(t domain.Task) error {
	row := w.taskToRecord(t)
	return save(w, "task", &row, fixedInJob, present, t.ID)
}

// SaveTaskLink stores a link that was changed.
func (w *writer) SaveTaskLink(l domain.Link) error {
	row := w.taskLinkToRecord(l)
	return save(w, "link", &row, fixedInJob, present, l.ID)
}

// SaveLine stores a line that was changed.
func (w *writer) SaveLine(l domain.Line) error {
	row := w.lineToRecord(l)
	return save(w, "line", &row, fixedInJob, present, l.ID)
}

// RemovePhase takes a phase out of the estimate.
func (w *writer) RemovePhase(id domain.ID, at time.Time) error {
	return w.remove("phase", "phases", id, at)
}

// RemoveTask takes a task with its links out of the estimate.
func (w *writer) RemoveTask(id domain.ID, at time.Time) error {
	if err := w.remove("task", "tasks", id, at); err != nil {
		return err
	}
	return w.ran(w.db.Exec("UPDATE task_links SET removed_at = ? WHERE shop_id = ? AND removed_at IS NULL AND (from_id = ? OR to_id = ?)"+
		" AND job_id = (SELECT job_id FROM tasks WHERE shop_id = ? AND id = ?)", instant(at), w.shop, id, id, w.shop, id))
}

// RemoveTaskLink takes a link out of the estimate.
func (w *writer) RemoveTaskLink(id domain.ID, at time.Time) error {
	return w.remove("link", "task_links", id, at)
}

// RemoveLine takes a line out of the estimate.
func (w *writer) RemoveLine(id domain.ID, at time.Time) error {
	return w.remove("line", "lines", id, at)
}

func (w *writer) remove(noun, table string, id domain.ID, at time.Time) error {
	return w.exec(noun, "UPDATE "+table+" SET removed_at = ? WHERE shop_id = ? AND id = ? AND removed_at IS NULL", instant(at), w.shop, id)
}

// SetScope sets the scope of tasks and of lines of a job in two statements.
// It fails with NotFound when one of them is not in the job's estimate.
func (w *writer) SetScope(jobID domain.ID, taskIDs, lineIDs []domain.ID, scope domain.Scope) error {
	if err := w.setScope("task", "tasks", jobID, taskIDs, scope); err != nil {
		return err
	}
	return w.setScope("line", "lines", jobID, lineIDs, scope)
}

func (w *writer) setScope(noun, table string, jobID domain.ID, ids []domain.ID, scope domain.Scope) error {
	if len(ids) == 0 {
		return nil
	}
	distinct := slices.Compact(slices.Sorted(slices.Values(ids)))
	of, arg := w.among("id", distinct)
	q := w.db.Exec("UPDATE "+table+" SET scope = ? WHERE shop_id = ? AND job_id = ? AND removed_at IS NULL AND "+of,
		string(scope), w.shop, jobID, arg)
	if err := w.ran(q); err != nil {
		return err
	}
	if int(q.RowsAffected) != len(distinct) {
		w.broken = notFound(noun) // some were set: none may stay
		return w.broken
	}
	return nil
}
