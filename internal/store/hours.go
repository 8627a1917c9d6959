package store

import (
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

type entryRecord struct {
	ShopID      string
	ID          string
	JobID       string
	TaskID      *string
	PersonID    string
	Kind        string
	WaitingCode string
	StartedAt   time.Time
	FinishedAt  *time.Time
	HoursToGo   *amount
	Done        bool
	Note        string
	CorrectsID  *string
	CorrectedBy *string
	Void        bool
	Reason      string
	LoggedAt    time.Time
	LoggedBy    string
}

// TableName names the table.
func (entryRecord) TableName() string { return "entries" }

func (r entryRecord) job() domain.ID { return r.JobID }

func (r *reader) entryToRecord(e domain.Entry) entryRecord {
	return entryRecord{ShopID: r.shop, ID: e.ID, JobID: e.JobID, TaskID: orNull(e.TaskID), PersonID: e.PersonID,
		Kind: string(e.Kind), WaitingCode: string(e.WaitingCode), StartedAt: instant(e.StartedAt),
		FinishedAt: instantOrNil(e.FinishedAt), HoursToGo: amountOrNil(e.HoursToGo), Done: e.Done, Note: e.Note,
		CorrectsID: orNull(e.CorrectsID), CorrectedBy: orNull(e.CorrectedBy), Void: e.Void, Reason: e.Reason,
		LoggedAt: instant(e.LoggedAt), LoggedBy: e.LoggedBy}
}

func (r entryRecord) toDomain() domain.Entry {
	return domain.Entry{ID: r.ID, JobID: r.JobID, TaskID: orEmpty(r.TaskID), PersonID: r.PersonID,
		Kind: domain.EntryKind(r.Kind), WaitingCode: domain.WaitingCode(r.WaitingCode), StartedAt: r.StartedAt.UTC(),
		FinishedAt: utcOrNil(r.FinishedAt), HoursToGo: decimalOrNil(r.HoursToGo), Done: r.Done, Note: r.Note,
		CorrectsID: orEmpty(r.CorrectsID), CorrectedBy: orEmpty(r.CorrectedBy), Void: r.Void, Reason: r.Reason,
		LoggedAt: r.LoggedAt.UTC(), LoggedBy: r.LoggedBy}
}

const (
	oldestFirst = "started_at, id"
	newestFirst = "logged_at DESC, id DESC"
	standing    = "corrected_by IS NULL AND NOT void"
)

// Entries loads all entries of several jobs, oldest first, corrected ones too.
func (r *reader) Entries(jobIDs []domain.ID) (map[domain.ID][]domain.Entry, error) {
	if len(jobIDs) == 0 {
		return map[domain.ID][]domain.Entry{}, nil
	}
	of, arg := r.among("job_id", jobIDs)
	rows, err := list[entryRecord](r, oldestFirst, 0, of, arg)
	return forJobs(jobIDs, rows), err
}

// TaskEntries loads all entries of one task, oldest first.
func (r *reader) TaskEntries(taskID domain.ID) ([]domain.Entry, error) {
	rows, err := list[entryRecord](r, oldestFirst, 0, "task_id = ?", taskID)
	return domains(rows), err
}

// JobEntriesPage lists newest logged first.
func (r *reader) JobEntriesPage(jobID domain.ID, page app.Page) ([]domain.Entry, string, error) {
	return r.entriesPage("job_id = ?", jobID, page)
}

// PersonEntriesPage lists newest logged first.
func (r *reader) PersonEntriesPage(personID domain.ID, page app.Page) ([]domain.Entry, string, error) {
	return r.entriesPage("person_id = ?", personID, page)
}

func (r *reader) entriesPage(condition string, id domain.ID, page app.Page) ([]domain.Entry, string, error) {
	args := []any{id}
	if page.After != "" {
		var at time.Time
		var last string
		if err := resume("entries", page.After, &at, &last); err != nil {
			return nil, "", err
		}
		condition, args = condition+" AND (logged_at, id) < (?, ?)", append(args, at, last)
	}
	rows, err := list[entryRecord](r, newestFirst, size(page)+1, condition, args...)
	rows, next := cut(rows, page, func(l entryRecord) string { return position("entries", l.LoggedAt.UTC(), l.ID) })
	return domains(rows), next, err
}

// Entry returns one entry.
func (r *reader) Entry(id domain.ID) (domain.Entry, error) {
	row, err := one[entryRecord](r, "entry", "id = ?", id)
	return row.toDomain(), err
}

// RunningEntry returns the person's running entry.
func (r *reader) RunningEntry(personID domain.ID) (domain.Entry, bool, error) {
	rows, err := list[entryRecord](r, "", 1, "person_id = ? AND finished_at IS NULL AND "+standing, personID)
	if err != nil || len(rows) == 0 {
		return domain.Entry{}, false, err
	}
	return rows[0].toDomain(), true, nil
}

// EntriesAround lists the standing entries of a person that share time with
// the span, running ones included, oldest first. Entries that merely touch the
// span do not share time with it.
func (r *reader) EntriesAround(personID domain.ID, from, to time.Time) ([]domain.Entry, error) {
	// Two statements, because each finds its rows by the index on the finish.
	const of = "person_id = ? AND started_at < ? AND " + standing
	rows, err := list[entryRecord](r, oldestFirst, 0, of+" AND finished_at > ?", personID, instant(to), instant(from))
	if err != nil {
		return nil, err
	}
	running, err := list[entryRecord](r, oldestFirst, 0, of+" AND finished_at IS NULL", personID, instant(to))
	return domains(append(rows, running...)), err
}

// AddEntry stores a new entry. It fails with Conflict "clock-running" when it
// runs and another of the person does.
func (w *writer) AddEntry(e domain.Entry) error { return add(w, []entryRecord{w.entryToRecord(e)}) }

// FinishEntry fills in what was open of a running entry. It fails with Conflict
// "entry-finished" when its clock has stopped.
func (w *writer) FinishEntry(e domain.Entry) error {
	row := w.entryToRecord(e)
	q := w.db.Exec("UPDATE entries SET finished_at = ?, hours_to_go = ?, done = ?, note = ?"+
		" WHERE shop_id = ? AND id = ? AND finished_at IS NULL",
		row.FinishedAt, row.HoursToGo, row.Done, row.Note, w.shop, e.ID)
	if err := w.ran(q); err != nil || q.RowsAffected > 0 {
		return err
	}
	if _, err := w.Entry(e.ID); err != nil {
		return err
	}
	return fault.New(fault.Conflict, "entry-finished", "The clock of this entry has stopped; correct it by a further entry.")
}

// MarkCorrected notes which entry took another's place. That entry may be added
// after it, in the same transaction.
func (w *writer) MarkCorrected(id, by domain.ID) error {
	q := w.db.Exec("UPDATE entries SET corrected_by = ? WHERE shop_id = ? AND id = ? AND corrected_by IS NULL", by, w.shop, id)
	if err := w.ran(q); err != nil || q.RowsAffected > 0 {
		return err
	}
	if _, err := w.Entry(id); err != nil {
		return err
	}
	return fault.New(fault.Conflict, "entry-corrected", "This entry was already corrected.")
}
