package store

import (
	"time"

	"bareframe/internal/domain"
)

type quoteRecord struct {
	ShopID       string
	ID           string
	JobID        string
	Number       string
	Revision     int
	State        string
	IssuedAt     time.Time
	IssuedBy     string
	ExpiresAt    time.Time
	Currency     string
	Net          amount
	Tax          amount
	Total        amount
	Cost         amount
	Note         string
	Terms        string
	Offer        lasting[domain.Offer]
	Plan         lasting[[]domain.Sold]
	Basis        lasting[domain.PriceBasis]
	DocumentHash string
	Decision     *structured[domain.Decision]
	Agreed       *structured[domain.Agreed]
}

// TableName names the table.
func (quoteRecord) TableName() string { return "quotes" }

func (r quoteRecord) job() domain.ID { return r.JobID }

func (r *reader) quoteToRecord(q domain.Quote) quoteRecord {
	row := quoteRecord{ShopID: r.shop, ID: q.ID, JobID: q.JobID, Number: q.Number, Revision: q.Revision,
		State: string(q.State), IssuedAt: instant(q.IssuedAt), IssuedBy: q.IssuedBy, ExpiresAt: instant(q.ExpiresAt),
		Currency: q.Currency, Net: amount{q.Net}, Tax: amount{q.Tax}, Total: amount{q.Total}, Cost: amount{q.Cost},
		Note: q.Note, Terms: q.Terms, Offer: asLasting(q.Offer), Plan: asLasting(planned(q.Plan)), Basis: asLasting(q.Basis), DocumentHash: q.DocumentHash}
	if q.Decision != nil {
		d := *q.Decision
		d.DecidedAt, d.RecordedAt = instant(d.DecidedAt), instant(d.RecordedAt)
		row.Decision = &structured[domain.Decision]{d}
	}
	if q.Agreed != nil {
		agreed := *q.Agreed
		agreed.Plan = planned(agreed.Plan)
		row.Agreed = &structured[domain.Agreed]{agreed}
	}
	return row
}

// planned is a plan with its instants as they are stored.
func planned(rows []domain.Sold) []domain.Sold {
	out := make([]domain.Sold, len(rows))
	for i, s := range rows {
		s.Start, s.Finish = instant(s.Start), instant(s.Finish)
		out[i] = s
	}
	return out
}

func (r quoteRecord) toDomain() domain.Quote {
	q := domain.Quote{ID: r.ID, JobID: r.JobID, Number: r.Number, Revision: r.Revision, State: domain.QuoteState(r.State),
		IssuedAt: r.IssuedAt.UTC(), IssuedBy: r.IssuedBy, ExpiresAt: r.ExpiresAt.UTC(), Currency: r.Currency,
		Net: r.Net.Decimal, Tax: r.Tax.Decimal, Total: r.Total.Decimal, Cost: r.Cost.Decimal, Note: r.Note,
		Terms: r.Terms, Offer: r.Offer.v, Plan: r.Plan.v, Basis: r.Basis.v, DocumentHash: r.DocumentHash}
	if r.Decision != nil {
		q.Decision = &r.Decision.v
	}
	if r.Agreed != nil {
		q.Agreed = &r.Agreed.v
	}
	return q
}

type documentRecord struct {
	ShopID      string
	QuoteID     string
	ContentType string
	Hash        string
	Body        []byte
	Sheet       string
}

// TableName names the table.
func (documentRecord) TableName() string { return "documents" }

type baselineRecord struct {
	ShopID   string
	JobID    string
	TaskID   string
	Hours    amount
	StartAt  time.Time
	FinishAt time.Time
}

// TableName names the table.
func (baselineRecord) TableName() string { return "baselines" }

func (r baselineRecord) job() domain.ID { return r.JobID }

func (r baselineRecord) toDomain() domain.Baseline {
	return domain.Baseline{JobID: r.JobID, TaskID: r.TaskID, Hours: r.Hours.Decimal, Start: r.StartAt.UTC(), Finish: r.FinishAt.UTC()}
}

// Quotes lists the revisions of several jobs, newest first, without documents.
func (r *reader) Quotes(jobIDs []domain.ID) (map[domain.ID][]domain.Quote, error) {
	if len(jobIDs) == 0 {
		return map[domain.ID][]domain.Quote{}, nil
	}
	of, arg := r.among("job_id", jobIDs)
	rows, err := list[quoteRecord](r, "revision DESC", 0, of, arg)
	return forJobs(jobIDs, rows), err
}

// Quote returns one quote.
func (r *reader) Quote(id domain.ID) (domain.Quote, error) {
	row, err := one[quoteRecord](r, "quote", "id = ?", id)
	return row.toDomain(), err
}

// Document returns the document of a quote by the quote's ID, which is the
// document's own.
func (r *reader) Document(id domain.ID) (domain.Document, error) {
	row, err := one[documentRecord](r, "document", "quote_id = ?", id)
	return domain.Document{ID: row.QuoteID, ContentType: row.ContentType, Hash: row.Hash, Body: row.Body, Sheet: row.Sheet}, err
}

// Baselines lists the sold tasks of several jobs by planned start, then task.
func (r *reader) Baselines(jobIDs []domain.ID) (map[domain.ID][]domain.Baseline, error) {
	if len(jobIDs) == 0 {
		return map[domain.ID][]domain.Baseline{}, nil
	}
	of, arg := r.among("job_id", jobIDs)
	rows, err := list[baselineRecord](r, "start_at, task_id", 0, of, arg)
	return forJobs(jobIDs, rows), err
}

// AddQuote stores an issued quote with its document, whose ID is the quote's.
func (w *writer) AddQuote(q domain.Quote, doc domain.Document) error {
	if err := add(w, []quoteRecord{w.quoteToRecord(q)}); err != nil {
		return err
	}
	body := doc.Body
	if body == nil {
		body = []byte{}
	}
	return add(w, []documentRecord{{ShopID: w.shop, QuoteID: q.ID, ContentType: doc.ContentType, Hash: doc.Hash, Body: body, Sheet: doc.Sheet}})
}

// SaveQuoteState saves state, decision and what was agreed. A decision that was
// saved stays as it is: Conflict "append-only".
func (w *writer) SaveQuoteState(q domain.Quote) error {
	row := w.quoteToRecord(q)
	return w.exec("quote", "UPDATE quotes SET state = ?, decision = ?, agreed = ? WHERE shop_id = ? AND id = ?",
		row.State, row.Decision, row.Agreed, w.shop, q.ID)
}

// ReplaceBaseline gives a job a new plan to be held against.
func (w *writer) ReplaceBaseline(jobID domain.ID, rows []domain.Baseline) error {
	if err := w.ran(w.db.Exec("DELETE FROM baselines WHERE shop_id = ? AND job_id = ?", w.shop, jobID)); err != nil {
		return err
	}
	return add(w, records(rows, func(b domain.Baseline) baselineRecord {
		return baselineRecord{ShopID: w.shop, JobID: jobID, TaskID: b.TaskID, Hours: amount{b.Hours},
			StartAt: instant(b.Start), FinishAt: instant(b.Finish)}
	}))
}
