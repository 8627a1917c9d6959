package store

import (
	"time"

	"bareframe/internal/domain"
)

type photoRecord struct {
	ShopID  string
	ID      string
	JobID   string
	Blob    string
	Thumb   string
	Hash    string
	Width   int
	Height  int
	Bytes   int
	ByID    string
	ByName  string
	TakenAt time.Time
}

// TableName names the table.
func (photoRecord) TableName() string { return "photos" }

func (r *reader) photoToRecord(p domain.Photo) photoRecord {
	return photoRecord{ShopID: r.shop, ID: p.ID, JobID: p.JobID, Blob: p.Blob, Thumb: p.Thumb, Hash: p.Hash, Width: p.Width, Height: p.Height,
		Bytes: p.Bytes, ByID: p.By, ByName: p.ByName, TakenAt: instant(p.At)}
}

func (r photoRecord) toDomain() domain.Photo {
	return domain.Photo{ID: r.ID, JobID: r.JobID, Blob: r.Blob, Thumb: r.Thumb, Hash: r.Hash, Width: r.Width, Height: r.Height,
		Bytes: r.Bytes, By: r.ByID, ByName: r.ByName, At: r.TakenAt.UTC()}
}

type findingRecord struct {
	ShopID          string
	ID              string
	JobID           string
	Number          int
	Version         int
	ZoneID          string
	TaskID          *string
	What            string
	Condition       string
	LengthMM        int `gorm:"column:length_mm"`
	WidthMM         int `gorm:"column:width_mm"`
	Count           int
	Note            string
	PhotoIDs        structured[[]domain.ID] `gorm:"column:photo_ids"`
	Repairs         structured[[]string]
	Originality     amount
	ConditionPoints amount
	State           string
	StateReason     string
	DismissedAt     *time.Time
	OrderID         *string
	ByID            string
	ByName          string
	ReportedAt      time.Time
}

// TableName names the table.
func (findingRecord) TableName() string { return "findings" }

func (r *reader) findingToRecord(f domain.Finding) findingRecord {
	return findingRecord{ShopID: r.shop, ID: f.ID, JobID: f.JobID, Number: f.Number, Version: f.Version, ZoneID: f.ZoneID, TaskID: orNull(f.TaskID),
		What: string(f.What), Condition: string(f.Condition), LengthMM: f.LengthMM, WidthMM: f.WidthMM, Count: f.Count, Note: f.Note,
		PhotoIDs: asJSON(f.PhotoIDs), Repairs: asJSON(f.Repairs), Originality: amount{f.Originality}, ConditionPoints: amount{f.ConditionPoints},
		State: string(f.State), StateReason: f.StateReason, DismissedAt: instantOrNil(f.DismissedAt), OrderID: orNull(f.OrderID),
		ByID: f.By, ByName: f.ByName, ReportedAt: instant(f.At)}
}

func (r findingRecord) toDomain() domain.Finding {
	return domain.Finding{ID: r.ID, JobID: r.JobID, Number: r.Number, Version: r.Version, ZoneID: r.ZoneID, TaskID: orEmpty(r.TaskID),
		What: domain.FindingWhat(r.What), Condition: domain.Condition(r.Condition), LengthMM: r.LengthMM, WidthMM: r.WidthMM, Count: r.Count, Note: r.Note,
		PhotoIDs: r.PhotoIDs.v, Repairs: r.Repairs.v, Originality: r.Originality.Decimal, ConditionPoints: r.ConditionPoints.Decimal,
		State: domain.FindingState(r.State), StateReason: r.StateReason, DismissedAt: utcOrNil(r.DismissedAt), OrderID: orEmpty(r.OrderID),
		By: r.ByID, ByName: r.ByName, At: r.ReportedAt.UTC()}
}

// Findings lists a job's findings by number, highest first.
func (r *reader) Findings(jobID domain.ID) ([]domain.Finding, error) {
	rows, err := list[findingRecord](r, "number DESC", 0, "job_id = ?", jobID)
	return domains(rows), err
}

// Finding returns one finding.
func (r *reader) Finding(id domain.ID) (domain.Finding, error) {
	row, err := one[findingRecord](r, "finding", "id = ?", id)
	return row.toDomain(), err
}

// Photo returns one photo's row.
func (r *reader) Photo(id domain.ID) (domain.Photo, error) {
	row, err := one[photoRecord](r, "photo", "id = ?", id)
	return row.toDomain(), err
}

// Photos lists a job's photos, oldest first.
func (r *reader) Photos(jobID domain.ID) ([]domain.Photo, error) {
	rows, err := list[photoRecord](r, "taken_at, id", 0, "job_id = ?", jobID)
	return domains(rows), err
}

// PhotoKept reports whether a photo of the shop has its bytes under a name.
func (r *reader) PhotoKept(blob string) (bool, error) {
	ids, err := column[string](r, "SELECT id FROM photos WHERE shop_id = ? AND (blob = ? OR thumb = ?) LIMIT 1", r.shop, blob, blob)
	return len(ids) > 0, err
}

// AddPhoto stores a photo's row.
func (w *writer) AddPhoto(p domain.Photo) error { return add(w, []photoRecord{w.photoToRecord(p)}) }

// NextFindingNumber counts up within the job. Findings are never deleted, so
// the highest is the last.
func (w *writer) NextFindingNumber(jobID domain.ID) (int, error) {
	last, err := column[int](&w.reader, "SELECT COALESCE(MAX(number), 0) FROM findings WHERE shop_id = ? AND job_id = ?", w.shop, jobID)
	if err != nil {
		return 0, err
	}
	return last[0] + 1, nil
}

// AddFinding stores a new finding.
func (w *writer) AddFinding(f domain.Finding) error {
	return add(w, []findingRecord{w.findingToRecord(f)})
}

// What is fixed about a finding once it was reported.
var fixedInFinding = []string{"job_id", "number", "by_id", "by_name", "reported_at"}

// SaveFinding saves a finding as edited, and the next state.
func (w *writer) SaveFinding(f domain.Finding) error {
	row := w.findingToRecord(f)
	return save(w, "finding", &row, fixedInFinding, "id = ?", f.ID)
}
