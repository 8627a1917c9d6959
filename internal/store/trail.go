package store

import (
	"encoding/json"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

type trailRecord struct {
	ShopID      string
	Seq         int64 `gorm:"autoIncrement:false"`
	At          time.Time
	ActorID     string
	ActorName   string
	FromAddress string
	Action      string
	Subject     string
	JobID       *string
	Before      string // the exact text that the hash covers
	After       string
	PrevHash    string
	Hash        string
}

// TableName names the table.
func (trailRecord) TableName() string { return "trail_entries" }

func (r trailRecord) toDomain() domain.TrailEntry {
	return domain.TrailEntry{Seq: r.Seq, At: r.At.UTC(), ActorID: r.ActorID, ActorName: r.ActorName,
		From: r.FromAddress, Action: r.Action, Subject: r.Subject, JobID: orEmpty(r.JobID),
		Before: rawOrNil(r.Before), After: rawOrNil(r.After), PrevHash: r.PrevHash, Hash: r.Hash}
}

func rawOrNil(text string) json.RawMessage {
	if text == "" {
		return nil
	}
	return json.RawMessage(text)
}

// AppendTrail gives the entry its place and hashes and stores it. The shop has
// one writer, so nobody else takes the place meanwhile.
func (w *writer) AppendTrail(t domain.TrailEntry) error {
	if w.head == nil {
		rows, err := list[trailRecord](&w.reader, "seq DESC", 1, "1 = 1")
		if err != nil {
			return err
		}
		w.head = &trailRecord{}
		if len(rows) > 0 {
			w.head = &rows[0]
		}
	}
	t.Seq, t.PrevHash, t.At = w.head.Seq+1, w.head.Hash, instant(t.At)
	t.Hash = t.Seal()
	row := trailRecord{ShopID: w.shop, Seq: t.Seq, At: t.At, ActorID: t.ActorID, ActorName: t.ActorName,
		FromAddress: t.From, Action: t.Action, Subject: t.Subject, JobID: orNull(t.JobID),
		Before: string(t.Before), After: string(t.After), PrevHash: t.PrevHash, Hash: t.Hash}
	if err := add(w, []trailRecord{row}); err != nil {
		return err
	}
	w.head = &row
	return nil
}

// Trail lists newest first.
func (r *reader) Trail(jobID domain.ID, page app.Page) ([]domain.TrailEntry, string, error) {
	condition, args := "1 = 1", []any{}
	if jobID != "" {
		condition, args = "job_id = ?", []any{jobID}
	}
	if page.After != "" {
		var seq int64
		if err := resume("trail", page.After, &seq); err != nil {
			return nil, "", err
		}
		condition, args = condition+" AND seq < ?", append(args, seq)
	}
	rows, err := list[trailRecord](r, "seq DESC", size(page)+1, condition, args...)
	rows, next := cut(rows, page, func(l trailRecord) string { return position("trail", l.Seq) })
	return domains(rows), next, err
}

// TrailFrom lists in order from a sequence number, at most limit rows.
func (r *reader) TrailFrom(seq int64, limit int) ([]domain.TrailEntry, error) {
	rows, err := list[trailRecord](r, "seq", size(app.Page{Limit: limit}), "seq >= ?", seq)
	return domains(rows), err
}
