package store

import (
	"time"

	"bareframe/internal/domain"
)

type optionRecord struct {
	ShopID    string
	ID        string
	JobID     string
	GroupedAs string
	Name      string
	Note      string
	Taken     bool
	Position  int
	Points    structured[[]domain.PointEffect]
	RemovedAt *time.Time
}

// TableName names the table.
func (optionRecord) TableName() string { return "options" }

func (r optionRecord) job() domain.ID { return r.JobID }

func (r *reader) optionToRecord(o domain.Option) optionRecord {
	return optionRecord{ShopID: r.shop, ID: o.ID, JobID: o.JobID, GroupedAs: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken,
		Position: o.Position, Points: asJSON(o.Points)}
}

func (r optionRecord) toDomain() domain.Option {
	return domain.Option{ID: r.ID, JobID: r.JobID, Group: r.GroupedAs, Name: r.Name, Note: r.Note, Taken: r.Taken, Position: r.Position, Points: r.Points.v}
}

// AddOptions stores new options.
func (w *writer) AddOptions(rows []domain.Option) error {
	return add(w, records(rows, w.optionToRecord))
}

// SaveOption stores an option that was changed.
func (w *writer) SaveOption(o domain.Option) error {
	row := w.optionToRecord(o)
	return save(w, "option", &row, fixedInJob, present, o.ID)
}

// RemoveOption takes an option out of the estimate.
func (w *writer) RemoveOption(id domain.ID, at time.Time) error {
	return w.remove("option", "options", id, at)
}

type snapshotRecord struct {
	ShopID  string
	QuoteID string
	Body    structured[domain.Snapshot]
}

// TableName names the table.
func (snapshotRecord) TableName() string { return "quote_snapshots" }

// Snapshot returns what the combinations of a quote's options are computed from.
func (r *reader) Snapshot(quoteID domain.ID) (domain.Snapshot, error) {
	row, err := one[snapshotRecord](r, "snapshot", "quote_id = ?", quoteID)
	return row.Body.v, err
}

// AddSnapshot keeps it, once.
func (w *writer) AddSnapshot(quoteID domain.ID, s domain.Snapshot) error {
	s.From = instant(s.From)
	return add(w, []snapshotRecord{{ShopID: w.shop, QuoteID: quoteID, Body: asJSON(s)}})
}

type agreedDocumentRecord struct {
	ShopID      string
	QuoteID     string
	ContentType string
	Hash        string
	Body        []byte
	Sheet       string
}

// TableName names the table.
func (agreedDocumentRecord) TableName() string { return "agreed_documents" }

// AgreedDocument returns the document of a quote as it was accepted with a
// selection, by the quote's ID.
func (r *reader) AgreedDocument(quoteID domain.ID) (domain.Document, error) {
	row, err := one[agreedDocumentRecord](r, "document", "quote_id = ?", quoteID)
	return domain.Document{ID: row.QuoteID, ContentType: row.ContentType, Hash: row.Hash, Body: row.Body, Sheet: row.Sheet}, err
}

// AddAgreedDocument keeps it, once.
func (w *writer) AddAgreedDocument(quoteID domain.ID, doc domain.Document) error {
	body := doc.Body
	if body == nil {
		body = []byte{}
	}
	return add(w, []agreedDocumentRecord{{ShopID: w.shop, QuoteID: quoteID, ContentType: doc.ContentType, Hash: doc.Hash, Body: body, Sheet: doc.Sheet}})
}
