package store

import (
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

type takeoffMoveRecord struct {
	ShopID  string
	ID      string
	JobID   string
	MovedAt time.Time
	ByID    string
	ByName  string
	Cause   string
	Moved   structured[domain.Moved]
}

// TableName names the table.
func (takeoffMoveRecord) TableName() string { return "takeoff_moves" }

func (r takeoffMoveRecord) toDomain() domain.TakeoffMove {
	return domain.TakeoffMove{ID: r.ID, JobID: r.JobID, At: r.MovedAt.UTC(), By: r.ByID, ByName: r.ByName, Cause: r.Cause, Moved: r.Moved.v}
}

type stockMoveRecord struct {
	ShopID     string
	ID         string
	Material   string
	Unit       string
	Quantity   amount
	FromJobID  string
	ToJobID    string
	ByID       string
	ByName     string
	MovedAt    time.Time
	VoidedAt   *time.Time
	VoidedBy   string
	VoidReason string
}

// TableName names the table.
func (stockMoveRecord) TableName() string { return "stock_moves" }

func (r stockMoveRecord) toDomain() domain.StockMove {
	return domain.StockMove{ID: r.ID, Material: r.Material, Unit: r.Unit, Quantity: r.Quantity.Decimal, FromJobID: r.FromJobID, ToJobID: r.ToJobID,
		By: r.ByID, ByName: r.ByName, At: r.MovedAt.UTC(), VoidedAt: utcOrNil(r.VoidedAt), VoidedBy: r.VoidedBy, VoidReason: r.VoidReason}
}

// TakeoffMoves lists a job's, newest first.
func (r *reader) TakeoffMoves(jobID domain.ID, page app.Page) ([]domain.TakeoffMove, string, error) {
	condition, args := "job_id = ?", []any{jobID}
	if page.After != "" {
		var after string
		if err := resume("takeoff moves", page.After, &after); err != nil {
			return nil, "", err
		}
		condition, args = condition+" AND id < ?", append(args, after)
	}
	rows, err := list[takeoffMoveRecord](r, "id DESC", size(page)+1, condition, args...)
	rows, next := cut(rows, page, func(l takeoffMoveRecord) string { return position("takeoff moves", l.ID) })
	return domains(rows), next, err
}

// StockMoves lists what jobs took of each other, oldest first, voided ones too.
func (r *reader) StockMoves() ([]domain.StockMove, error) {
	rows, err := list[stockMoveRecord](r, "moved_at, id", 0, "1 = 1")
	return domains(rows), err
}

// StockMove returns one.
func (r *reader) StockMove(id domain.ID) (domain.StockMove, error) {
	row, err := one[stockMoveRecord](r, "remainder", "id = ?", id)
	return row.toDomain(), err
}

// AddTakeoffMove stores what moved.
func (w *writer) AddTakeoffMove(m domain.TakeoffMove) error {
	return add(w, []takeoffMoveRecord{{ShopID: w.shop, ID: m.ID, JobID: m.JobID, MovedAt: instant(m.At), ByID: m.By, ByName: m.ByName,
		Cause: m.Cause, Moved: asJSON(m.Moved)}})
}

// AddStockMove stores what a job takes.
func (w *writer) AddStockMove(m domain.StockMove) error {
	return add(w, []stockMoveRecord{{ShopID: w.shop, ID: m.ID, Material: m.Material, Unit: m.Unit, Quantity: amount{m.Quantity}, FromJobID: m.FromJobID,
		ToJobID: m.ToJobID, ByID: m.By, ByName: m.ByName, MovedAt: instant(m.At), VoidedAt: instantOrNil(m.VoidedAt), VoidedBy: m.VoidedBy, VoidReason: m.VoidReason}})
}

// VoidStockMove stores that what was taken does not stand.
func (w *writer) VoidStockMove(m domain.StockMove) error {
	return w.exec("remainder", "UPDATE stock_moves SET voided_at = ?, voided_by = ?, void_reason = ? WHERE shop_id = ? AND id = ?",
		instantOrNil(m.VoidedAt), m.VoidedBy, m.VoidReason, w.shop, m.ID)
}

func finishOrShow(f domain.Finish) string {
	if f == "" {
		return string(domain.ShowFinish)
	}
	return string(f)
}

func waysOrNone(w domain.Ways) domain.Ways {
	if w == nil {
		return domain.Ways{}
	}
	return w
}

// waysOrNil reads back that nothing is chosen as it was before it was stored.
func waysOrNil(w domain.Ways) domain.Ways {
	if len(w) == 0 {
		return nil
	}
	return w
}
