package store

import (
	"time"

	"bareframe/internal/domain"
)

type authoriserRecord struct {
	ShopID    string
	ID        string
	JobID     string
	Name      string
	Contact   string
	Note      string
	AddedAt   time.Time
	AddedBy   string
	EndedAt   *time.Time
	EndedBy   string
	EndReason string
}

// TableName names the table.
func (authoriserRecord) TableName() string { return "authorisers" }

func (r authoriserRecord) toDomain() domain.Authoriser {
	return domain.Authoriser{ID: r.ID, JobID: r.JobID, Name: r.Name, Contact: r.Contact, Note: r.Note, AddedAt: r.AddedAt.UTC(),
		AddedBy: r.AddedBy, EndedAt: utcOrNil(r.EndedAt), EndedBy: r.EndedBy, EndReason: r.EndReason}
}

type paymentRecord struct {
	ShopID     string
	ID         string
	JobID      string
	Amount     amount
	PaidOn     string
	How        string
	Note       string
	RecordedBy string
	At         time.Time
	VoidedAt   *time.Time
	VoidedBy   string
	VoidReason string
}

// TableName names the table.
func (paymentRecord) TableName() string { return "payments" }

func (r paymentRecord) toDomain() domain.Payment {
	return domain.Payment{ID: r.ID, JobID: r.JobID, Amount: r.Amount.Decimal, PaidOn: domain.Day(r.PaidOn), How: domain.PaymentHow(r.How),
		Note: r.Note, RecordedBy: r.RecordedBy, At: r.At.UTC(), VoidedAt: utcOrNil(r.VoidedAt), VoidedBy: r.VoidedBy, VoidReason: r.VoidReason}
}

type supplyRecord struct {
	ShopID        string
	ID            string
	JobID         string
	LineID        string
	State         string
	Returnable    bool
	RestockingFee amount
	Note          string
	At            time.Time
	NotedBy       string
	ExpectedOn    string
}

// TableName names the table.
func (supplyRecord) TableName() string { return "supplies" }

func (r supplyRecord) toDomain() domain.Supply {
	return domain.Supply{ID: r.ID, JobID: r.JobID, LineID: r.LineID, State: domain.SupplyState(r.State), Returnable: r.Returnable,
		RestockingFee: r.RestockingFee.Decimal, Note: r.Note, At: r.At.UTC(), By: r.NotedBy, ExpectedOn: domain.Day(r.ExpectedOn)}
}

type overrideRecord struct {
	ShopID string
	ID     string
	JobID  string
	UpTo   amount
	Reason string
	MadeBy string
	At     time.Time
}

// TableName names the table.
func (overrideRecord) TableName() string { return "watch_overrides" }

func (r overrideRecord) toDomain() domain.WatchOverride {
	return domain.WatchOverride{ID: r.ID, JobID: r.JobID, UpTo: r.UpTo.Decimal, Reason: r.Reason, By: r.MadeBy, At: r.At.UTC()}
}

// Authorisers lists a job's, in the order in which they were named.
func (r *reader) Authorisers(jobID domain.ID) ([]domain.Authoriser, error) {
	rows, err := list[authoriserRecord](r, "id", 0, "job_id = ?", jobID)
	return domains(rows), err
}

// Authoriser returns one.
func (r *reader) Authoriser(id domain.ID) (domain.Authoriser, error) {
	row, err := one[authoriserRecord](r, "authoriser", "id = ?", id)
	return row.toDomain(), err
}

// Payments lists a job's by when they were recorded.
func (r *reader) Payments(jobID domain.ID) ([]domain.Payment, error) {
	rows, err := list[paymentRecord](r, "at, id", 0, "job_id = ?", jobID)
	return domains(rows), err
}

// Payment returns one.
func (r *reader) Payment(id domain.ID) (domain.Payment, error) {
	row, err := one[paymentRecord](r, "payment", "id = ?", id)
	return row.toDomain(), err
}

// Supplies lists a job's notes, oldest first.
func (r *reader) Supplies(jobID domain.ID) ([]domain.Supply, error) {
	rows, err := list[supplyRecord](r, "at, id", 0, "job_id = ?", jobID)
	return domains(rows), err
}

func (r supplyRecord) job() domain.ID { return r.JobID }

// Expected tells of several jobs which lines' things are ordered and expected on
// which day, in one query.
func (r *reader) Expected(jobIDs []domain.ID) (map[domain.ID]map[domain.ID]domain.Day, error) {
	out := map[domain.ID]map[domain.ID]domain.Day{}
	if len(jobIDs) == 0 {
		return out, nil
	}
	of, arg := r.among("job_id", jobIDs)
	rows, err := list[supplyRecord](r, "at, id", 0, of, arg)
	for job, notes := range forJobs[supplyRecord, domain.Supply](jobIDs, rows) {
		out[job] = domain.Expected(notes)
	}
	return out, err
}

// WatchOverrides lists a job's, oldest first.
func (r *reader) WatchOverrides(jobID domain.ID) ([]domain.WatchOverride, error) {
	rows, err := list[overrideRecord](r, "at, id", 0, "job_id = ?", jobID)
	return domains(rows), err
}

// AddAuthoriser stores who was named.
func (w *writer) AddAuthoriser(a domain.Authoriser) error {
	return add(w, []authoriserRecord{{ShopID: w.shop, ID: a.ID, JobID: a.JobID, Name: a.Name, Contact: a.Contact, Note: a.Note,
		AddedAt: instant(a.AddedAt), AddedBy: a.AddedBy, EndedAt: instantOrNil(a.EndedAt), EndedBy: a.EndedBy, EndReason: a.EndReason}})
}

// EndAuthoriser stores that somebody can authorise no longer.
func (w *writer) EndAuthoriser(a domain.Authoriser) error {
	return w.exec("authoriser", "UPDATE authorisers SET ended_at = ?, ended_by = ?, end_reason = ? WHERE shop_id = ? AND id = ?",
		instantOrNil(a.EndedAt), a.EndedBy, a.EndReason, w.shop, a.ID)
}

// AddPayment stores a payment.
func (w *writer) AddPayment(p domain.Payment) error {
	return add(w, []paymentRecord{{ShopID: w.shop, ID: p.ID, JobID: p.JobID, Amount: amount{p.Amount}, PaidOn: string(p.PaidOn), How: string(p.How),
		Note: p.Note, RecordedBy: p.RecordedBy, At: instant(p.At), VoidedAt: instantOrNil(p.VoidedAt), VoidedBy: p.VoidedBy, VoidReason: p.VoidReason}})
}

// VoidPayment stores that a payment does not stand.
func (w *writer) VoidPayment(p domain.Payment) error {
	return w.exec("payment", "UPDATE payments SET voided_at = ?, voided_by = ?, void_reason = ? WHERE shop_id = ? AND id = ?",
		instantOrNil(p.VoidedAt), p.VoidedBy, p.VoidReason, w.shop, p.ID)
}

// AddSupply stores a note on what a line buys.
func (w *writer) AddSupply(s domain.Supply) error {
	return add(w, []supplyRecord{{ShopID: w.shop, ID: s.ID, JobID: s.JobID, LineID: s.LineID, State: string(s.State), Returnable: s.Returnable,
		RestockingFee: amount{s.RestockingFee}, Note: s.Note, At: instant(s.At), NotedBy: s.By, ExpectedOn: string(s.ExpectedOn)}})
}

// AddWatchOverride stores that work may go on past the stop.
func (w *writer) AddWatchOverride(o domain.WatchOverride) error {
	return add(w, []overrideRecord{{ShopID: w.shop, ID: o.ID, JobID: o.JobID, UpTo: amount{o.UpTo}, Reason: o.Reason, MadeBy: o.By, At: instant(o.At)}})
}
