package store

import (
	"time"

	"bareframe/internal/domain"
)

type linkRecord struct {
	ShopID     string
	ID         string
	PersonID   string
	Purpose    string
	OnlyJob    *string
	TokenHash  string
	CreatedAt  time.Time `gorm:"autoCreateTime:false"`
	ExpiresAt  time.Time
	RevokedAt  *time.Time
	LastUsedAt *time.Time
}

// TableName names the table.
func (linkRecord) TableName() string { return "private_links" }

func (r *reader) linkToRecord(l domain.PrivateLink) linkRecord {
	return linkRecord{ShopID: r.shop, ID: l.ID, PersonID: l.PersonID, Purpose: string(l.Purpose),
		OnlyJob: orNull(l.OnlyJob), TokenHash: l.TokenHash, CreatedAt: instant(l.CreatedAt),
		ExpiresAt: instant(l.ExpiresAt), RevokedAt: instantOrNil(l.RevokedAt), LastUsedAt: instantOrNil(l.LastUsedAt)}
}

func (r linkRecord) toDomain() domain.PrivateLink {
	return domain.PrivateLink{ID: r.ID, ShopID: r.ShopID, PersonID: r.PersonID, Purpose: domain.LinkPurpose(r.Purpose),
		OnlyJob: orEmpty(r.OnlyJob), TokenHash: r.TokenHash, CreatedAt: r.CreatedAt.UTC(),
		ExpiresAt: r.ExpiresAt.UTC(), RevokedAt: utcOrNil(r.RevokedAt), LastUsedAt: utcOrNil(r.LastUsedAt)}
}

type sessionRecord struct {
	ShopID     string
	ID         string
	PersonID   string
	LinkID     *string
	OnlyJob    *string
	TokenHash  string
	Device     string
	CreatedAt  time.Time `gorm:"autoCreateTime:false"`
	LastSeenAt time.Time
	ExpiresAt  time.Time
}

// TableName names the table.
func (sessionRecord) TableName() string { return "sessions" }

func (r *reader) sessionToRecord(s domain.Session) sessionRecord {
	return sessionRecord{ShopID: r.shop, ID: s.ID, PersonID: s.PersonID, LinkID: orNull(s.LinkID),
		OnlyJob: orNull(s.OnlyJob), TokenHash: s.TokenHash, Device: s.Device, CreatedAt: instant(s.CreatedAt),
		LastSeenAt: instant(s.LastSeenAt), ExpiresAt: instant(s.ExpiresAt)}
}

func (r sessionRecord) toDomain() domain.Session {
	return domain.Session{ID: r.ID, ShopID: r.ShopID, PersonID: r.PersonID, LinkID: orEmpty(r.LinkID),
		OnlyJob: orEmpty(r.OnlyJob), TokenHash: r.TokenHash, Device: r.Device, CreatedAt: r.CreatedAt.UTC(),
		LastSeenAt: r.LastSeenAt.UTC(), ExpiresAt: r.ExpiresAt.UTC()}
}

// Links lists a person's private links, newest first.
func (r *reader) Links(personID domain.ID) ([]domain.PrivateLink, error) {
	rows, err := list[linkRecord](r, "created_at DESC, id DESC", 0, "person_id = ?", personID)
	return domains(rows), err
}

// Link returns one private link.
func (r *reader) Link(id domain.ID) (domain.PrivateLink, error) {
	row, err := one[linkRecord](r, "private link", "id = ?", id)
	return row.toDomain(), err
}

// Sessions lists a person's sessions that have not expired, newest first.
func (r *reader) Sessions(personID domain.ID, now time.Time) ([]domain.Session, error) {
	rows, err := list[sessionRecord](r, "created_at DESC, id DESC", 0, "person_id = ? AND expires_at > ?", personID, instant(now))
	return domains(rows), err
}

// AddLink stores a new private link.
func (w *writer) AddLink(l domain.PrivateLink) error {
	return add(w, []linkRecord{w.linkToRecord(l)})
}

// SaveLink stores what changed about a link: its end, its use.
func (w *writer) SaveLink(l domain.PrivateLink) error {
	row := w.linkToRecord(l)
	return save(w, "private link", &row, []string{"created_at", "person_id", "purpose", "only_job", "token_hash"}, "id = ?", l.ID)
}

// AddSession stores a new session.
func (w *writer) AddSession(s domain.Session) error {
	return add(w, []sessionRecord{w.sessionToRecord(s)})
}

// EndSession forgets a session. It fails with NotFound when it ended already.
func (w *writer) EndSession(id domain.ID) error {
	return w.exec("session", "DELETE FROM sessions WHERE shop_id = ? AND id = ?", w.shop, id)
}

// EndSessions forgets a person's sessions except one; with linkID only those
// that the link opened.
func (w *writer) EndSessions(personID, linkID, except domain.ID) error {
	sql, args := "DELETE FROM sessions WHERE shop_id = ? AND person_id = ? AND id <> ?", []any{w.shop, personID, except}
	if linkID != "" {
		sql, args = sql+" AND link_id = ?", append(args, linkID)
	}
	return w.ran(w.db.Exec(sql, args...))
}
