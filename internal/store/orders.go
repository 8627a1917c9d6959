package store

import (
	"time"

	"bareframe/internal/domain"
)

type orderRecord struct {
	ShopID       string
	ID           string
	JobID        string
	Number       int
	Version      int
	Kind         string
	Title        string
	Reason       string
	Note         string
	Items        structured[[]domain.OrderItem]
	State        string
	Revision     int
	CreatedAt    time.Time
	CreatedBy    string
	SentAt       *time.Time
	SentBy       string
	ExpiresAt    *time.Time
	DocumentHash string
	Opening      string
	Effect       structured[domain.OrderEffect]
	Decision     *structured[domain.OrderDecision]
	DecidedAt    *time.Time
	Withdrawn    string
}

// TableName names the table.
func (orderRecord) TableName() string { return "change_orders" }

func (r orderRecord) job() domain.ID { return r.JobID }

func (r *reader) orderToRecord(o domain.ChangeOrder) orderRecord {
	row := orderRecord{ShopID: r.shop, ID: o.ID, JobID: o.JobID, Number: o.Number, Version: o.Version, Kind: string(o.Kind),
		Title: o.Title, Reason: o.Reason, Note: o.Note, Items: asJSON(o.Items), State: string(o.State), Revision: o.Revision,
		CreatedAt: instant(o.CreatedAt), CreatedBy: o.CreatedBy, SentAt: instantOrNil(o.SentAt), SentBy: o.SentBy,
		ExpiresAt: instantOrNil(o.ExpiresAt), DocumentHash: o.DocumentHash, Opening: o.Opening, Effect: asJSON(o.Effect),
		DecidedAt: instantOrNil(o.DecidedAt), Withdrawn: o.Withdrawn}
	if o.Decision != nil {
		d := *o.Decision
		d.DecidedAt, d.RecordedAt = instant(d.DecidedAt), instant(d.RecordedAt)
		row.Decision = &structured[domain.OrderDecision]{d}
	}
	return row
}

func (r orderRecord) toDomain() domain.ChangeOrder {
	o := domain.ChangeOrder{ID: r.ID, JobID: r.JobID, Number: r.Number, Version: r.Version, Kind: domain.OrderKind(r.Kind),
		Title: r.Title, Reason: r.Reason, Note: r.Note, Items: r.Items.v, State: domain.OrderState(r.State), Revision: r.Revision,
		CreatedAt: r.CreatedAt.UTC(), CreatedBy: r.CreatedBy, SentAt: utcOrNil(r.SentAt), SentBy: r.SentBy,
		ExpiresAt: utcOrNil(r.ExpiresAt), DocumentHash: r.DocumentHash, Opening: r.Opening, Effect: r.Effect.v,
		DecidedAt: utcOrNil(r.DecidedAt), Withdrawn: r.Withdrawn}
	if r.Decision != nil {
		o.Decision = &r.Decision.v
	}
	return o
}

type orderMessageRecord struct {
	ShopID  string
	ID      string
	OrderID string
	ByName  string
	Role    string
	At      time.Time
	Text    string
}

// TableName names the table.
func (orderMessageRecord) TableName() string { return "order_messages" }

type orderDocumentRecord struct {
	ShopID      string
	OrderID     string
	Revision    int
	Decided     bool
	ContentType string
	Hash        string
	Body        []byte
	Sheet       string
}

// TableName names the table.
func (orderDocumentRecord) TableName() string { return "order_documents" }

// Orders lists the orders of several jobs by number, highest first.
func (r *reader) Orders(jobIDs []domain.ID) (map[domain.ID][]domain.ChangeOrder, error) {
	if len(jobIDs) == 0 {
		return map[domain.ID][]domain.ChangeOrder{}, nil
	}
	of, arg := r.among("job_id", jobIDs)
	rows, err := list[orderRecord](r, "number DESC", 0, of, arg)
	return forJobs(jobIDs, rows), err
}

// Order returns one order.
func (r *reader) Order(id domain.ID) (domain.ChangeOrder, error) {
	row, err := one[orderRecord](r, "order", "id = ?", id)
	return row.toDomain(), err
}

// orderNumberRecord reads of an order only how it is called.
type orderNumberRecord struct {
	ID     string
	Number int
}

// TableName names the table.
func (orderNumberRecord) TableName() string { return "change_orders" }

// OrderNumbers gives the numbers of a job's orders by their ID.
func (r *reader) OrderNumbers(jobID domain.ID) (map[domain.ID]int, error) {
	rows, err := list[orderNumberRecord](r, "", 0, "job_id = ?", jobID)
	out := make(map[domain.ID]int, len(rows))
	for _, row := range rows {
		out[row.ID] = row.Number
	}
	return out, err
}

// OrderMessages lists what was asked and answered about orders, oldest first.
func (r *reader) OrderMessages(orderIDs []domain.ID) (map[domain.ID][]domain.OrderMessage, error) {
	out := map[domain.ID][]domain.OrderMessage{}
	if len(orderIDs) == 0 {
		return out, nil
	}
	of, arg := r.among("order_id", orderIDs)
	rows, err := list[orderMessageRecord](r, "at, id", 0, of, arg)
	for _, row := range rows {
		out[row.OrderID] = append(out[row.OrderID], domain.OrderMessage{ID: row.ID, OrderID: row.OrderID, By: row.ByName,
			Role: domain.Role(row.Role), At: row.At.UTC(), Text: row.Text})
	}
	return out, err
}

// OrderDocument returns the document of one sending or of the decision on it.
func (r *reader) OrderDocument(orderID domain.ID, revision int, decided bool) (domain.Document, error) {
	row, err := one[orderDocumentRecord](r, "document", "order_id = ? AND revision = ? AND decided = ?", orderID, revision, decided)
	return domain.Document{ID: row.OrderID, ContentType: row.ContentType, Hash: row.Hash, Body: row.Body, Sheet: row.Sheet}, err
}

// NextOrderNumber counts up within the job. There is one writer in a shop at a
// time, so two orders never get one number.
func (w *writer) NextOrderNumber(jobID domain.ID) (int, error) {
	rows, err := list[orderNumberRecord](&w.reader, "number DESC", 1, "job_id = ?", jobID)
	if err != nil || len(rows) == 0 {
		return 1, err
	}
	return rows[0].Number + 1, nil
}

// AddOrder stores a new order.
func (w *writer) AddOrder(o domain.ChangeOrder) error {
	return add(w, []orderRecord{w.orderToRecord(o)})
}

// SaveOrder stores a draft as edited, or the next state of an order. Changing
// what was sent, or what is over, fails with Conflict "append-only".
func (w *writer) SaveOrder(o domain.ChangeOrder) error {
	row := w.orderToRecord(o)
	return save(w, "order", &row, []string{"job_id", "number", "created_at", "created_by"}, "id = ?", o.ID)
}

// AddOrderMessage stores a question or an answer.
func (w *writer) AddOrderMessage(m domain.OrderMessage) error {
	return add(w, []orderMessageRecord{{ShopID: w.shop, ID: m.ID, OrderID: m.OrderID, ByName: m.By, Role: string(m.Role), At: instant(m.At), Text: m.Text}})
}

// AddOrderDocument stores the exact document of a sending or of the decision.
func (w *writer) AddOrderDocument(orderID domain.ID, revision int, decided bool, doc domain.Document) error {
	body := doc.Body
	if body == nil {
		body = []byte{}
	}
	return add(w, []orderDocumentRecord{{ShopID: w.shop, OrderID: orderID, Revision: revision, Decided: decided,
		ContentType: doc.ContentType, Hash: doc.Hash, Body: body, Sheet: doc.Sheet}})
}
