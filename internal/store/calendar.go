package store

import (
	"context"
	"time"

	"gorm.io/gorm"

	"bareframe/internal/domain"
)

type calendarLinkRecord struct {
	ShopID     string
	ID         string
	Kind       string
	PersonID   *string
	Station    *string
	JobID      *string
	TokenHash  string
	CreatedAt  time.Time `gorm:"autoCreateTime:false"`
	CreatedBy  string
	RevokedAt  *time.Time
	LastReadAt *time.Time
}

// TableName names the table.
func (calendarLinkRecord) TableName() string { return "calendar_links" }

func (r calendarLinkRecord) toDomain() domain.CalendarLink {
	return domain.CalendarLink{ID: r.ID, ShopID: r.ShopID, Kind: domain.CalendarKind(r.Kind), PersonID: orEmpty(r.PersonID), Station: orEmpty(r.Station),
		JobID: orEmpty(r.JobID), TokenHash: r.TokenHash, CreatedAt: r.CreatedAt.UTC(), CreatedBy: r.CreatedBy,
		RevokedAt: utcOrNil(r.RevokedAt), LastReadAt: utcOrNil(r.LastReadAt)}
}

// calendarColumn is where each kind keeps whom or what a link is for.
var calendarColumn = map[domain.CalendarKind]string{domain.CalendarOfPerson: "person_id", domain.CalendarOfStation: "station", domain.CalendarOfJob: "job_id"}

// CalendarLinks lists those that work, newest first.
func (r *reader) CalendarLinks() ([]domain.CalendarLink, error) {
	rows, err := list[calendarLinkRecord](r, "created_at DESC, id DESC", 0, "revoked_at IS NULL")
	return domains(rows), err
}

// CalendarLinkOf returns the one that works for a person, station or job; ok is
// false when there is none.
func (r *reader) CalendarLinkOf(kind domain.CalendarKind, of string) (domain.CalendarLink, bool, error) {
	column, known := calendarColumn[kind]
	if !known {
		return domain.CalendarLink{}, false, nil
	}
	rows, err := list[calendarLinkRecord](r, "", 1, column+" = ? AND revoked_at IS NULL", of)
	if err != nil || len(rows) == 0 {
		return domain.CalendarLink{}, false, err
	}
	return rows[0].toDomain(), true, nil
}

// CalendarLink returns one, stopped or not.
func (r *reader) CalendarLink(id domain.ID) (domain.CalendarLink, error) {
	row, err := one[calendarLinkRecord](r, "calendar link", "id = ?", id)
	return row.toDomain(), err
}

// AddCalendarLink stores a new link. It fails with Conflict while another works
// for the same.
func (w *writer) AddCalendarLink(l domain.CalendarLink) error {
	return add(w, []calendarLinkRecord{{ShopID: w.shop, ID: l.ID, Kind: string(l.Kind), PersonID: orNull(l.PersonID), Station: orNull(l.Station), JobID: orNull(l.JobID),
		TokenHash: l.TokenHash, CreatedAt: instant(l.CreatedAt), CreatedBy: l.CreatedBy, RevokedAt: instantOrNil(l.RevokedAt), LastReadAt: instantOrNil(l.LastReadAt)}})
}

// StopCalendarLink makes a link worthless, once.
func (w *writer) StopCalendarLink(id domain.ID, at time.Time) error {
	return w.exec("calendar link", "UPDATE calendar_links SET revoked_at = ? WHERE shop_id = ? AND id = ? AND revoked_at IS NULL", instant(at), w.shop, id)
}

// CalendarLinkByHash finds a link by the hash of its token, stopped or not.
func (s *Store) CalendarLinkByHash(ctx context.Context, hash string) (domain.CalendarLink, error) {
	var row calendarLinkRecord
	err := s.backend.read(ctx, func(db *gorm.DB) (err error) {
		row, err = anywhere[calendarLinkRecord](db, "calendar link", "token_hash = ?", hash)
		return err
	})
	return row.toDomain(), err
}

// TouchCalendarLink notes that a link was read.
func (s *Store) TouchCalendarLink(ctx context.Context, shopID, id domain.ID, at time.Time) error {
	return s.backend.write(ctx, func(db *gorm.DB) error {
		return db.Exec("UPDATE calendar_links SET last_read_at = ? WHERE shop_id = ? AND id = ?", instant(at), shopID, id).Error
	})
}
