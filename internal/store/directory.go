package store

import (
	"context"
	"time"

	"gorm.io/gorm"

	"bareframe/internal/domain"
)

// These look-ups come before a shop is known, so they do not name one.

// AnyShop reports whether a shop exists.
func (s *Store) AnyShop(ctx context.Context) (exists bool, err error) {
	err = s.backend.read(ctx, func(db *gorm.DB) error {
		exists, err = anyShop(db)
		return err
	})
	return exists, err
}

func anyShop(db *gorm.DB) (bool, error) {
	ids, err := values[string](db, "SELECT shop_id FROM shops LIMIT 1")
	return len(ids) > 0, err
}

// Shops lists all shops by creation, without their price books.
func (s *Store) Shops(ctx context.Context) ([]domain.Shop, error) {
	var rows []shopRecord
	err := s.backend.read(ctx, func(db *gorm.DB) (err error) {
		rows, err = load[shopRecord](db, "created_at, shop_id", 0, "1 = 1")
		return err
	})
	return domains(rows), err
}

// PersonByEmail finds who signs in with an address, in any case.
func (s *Store) PersonByEmail(ctx context.Context, email string) (domain.Person, domain.ID, error) {
	var row personRecord
	err := s.backend.read(ctx, func(db *gorm.DB) (err error) {
		row, err = anywhere[personRecord](db, "person", "sign_in_email = ?", signInAddress(email))
		return err
	})
	return row.toDomain(), row.ShopID, err
}

// LinkByHash finds a private link by the hash of its token.
func (s *Store) LinkByHash(ctx context.Context, hash string) (domain.PrivateLink, error) {
	var row linkRecord
	err := s.backend.read(ctx, func(db *gorm.DB) (err error) {
		row, err = anywhere[linkRecord](db, "private link", "token_hash = ?", hash)
		return err
	})
	return row.toDomain(), err
}

// SessionByHash finds a session that has not expired, with its person.
func (s *Store) SessionByHash(ctx context.Context, hash string, now time.Time) (session domain.Session, person domain.Person, err error) {
	err = s.backend.read(ctx, func(db *gorm.DB) error {
		row, err := anywhere[sessionRecord](db, "session", "token_hash = ? AND expires_at > ?", hash, instant(now))
		if err != nil {
			return err
		}
		session = row.toDomain()
		person, err = (&reader{db: db, shop: row.ShopID}).Person(row.PersonID)
		return err
	})
	return session, person, err
}

// TouchSession notes that a session was seen. It fails with NotFound when the
// session has ended.
func (s *Store) TouchSession(ctx context.Context, id domain.ID, at, expires time.Time) error {
	return s.backend.write(ctx, func(db *gorm.DB) error {
		q := db.Exec("UPDATE sessions SET last_seen_at = ?, expires_at = ? WHERE id = ?", instant(at), instant(expires), id)
		if q.Error == nil && q.RowsAffected == 0 {
			return notFound("session")
		}
		return q.Error
	})
}

// Prune forgets expired sessions and answers kept before an instant.
func (s *Store) Prune(ctx context.Context, now, answersBefore time.Time) error {
	return s.backend.write(ctx, func(db *gorm.DB) error {
		if err := db.Exec("DELETE FROM sessions WHERE expires_at <= ?", instant(now)).Error; err != nil {
			return err
		}
		return db.Exec("DELETE FROM answers WHERE answered_at < ?", instant(answersBefore)).Error
	})
}

// anywhere loads one row of whatever shop.
func anywhere[R any](db *gorm.DB, noun, condition string, args ...any) (R, error) {
	rows, err := load[R](db, "", 1, condition, args...)
	if err != nil || len(rows) == 0 {
		var none R
		if err == nil {
			err = notFound(noun)
		}
		return none, err
	}
	return rows[0], nil
}
