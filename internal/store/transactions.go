package store

import (
	"context"
	"encoding/json"
	"fmt"

	"gorm.io/gorm"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// reader reads within one shop. It lives as long as its transaction and is not
// safe for concurrent use.
type reader struct {
	db        *gorm.DB
	shop      domain.ID
	books     *priceBooks
	pricesSet bool  // this transaction wrote prices
	broken    error // the first statement that failed
}

// writer writes within one shop.
type writer struct {
	reader
	head *trailRecord // the newest trail entry, once looked up
}

var (
	_ app.Reader = (*reader)(nil)
	_ app.Tx     = (*writer)(nil)
)

// Update runs fn in one writing transaction within one shop. A statement that
// failed undoes the transaction even when fn swallows its error.
func (s *Store) Update(ctx context.Context, shopID domain.ID, fn func(tx app.Tx) error) error {
	return s.backend.write(ctx, s.within(shopID, fn))
}

// UpdateTogether is Update for short use cases, of which several may share one
// commit.
func (s *Store) UpdateTogether(ctx context.Context, shopID domain.ID, fn func(tx app.Tx) error) error {
	return s.backend.writeTogether(ctx, s.within(shopID, fn))
}

// within runs fn as the only writer of a shop.
func (s *Store) within(shopID domain.ID, fn func(tx app.Tx) error) func(db *gorm.DB) error {
	return func(db *gorm.DB) error {
		w := &writer{reader: reader{db: db, shop: shopID, books: &s.books}}
		if err := w.lock(s.backend.lockShop()); err != nil {
			return err
		}
		if err := fn(w); err != nil {
			return err
		}
		return w.broken
	}
}

// View runs fn on one consistent snapshot of a shop.
func (s *Store) View(ctx context.Context, shopID domain.ID, fn func(r app.Reader) error) error {
	return s.backend.read(ctx, func(db *gorm.DB) error {
		return fn(&reader{db: db, shop: shopID, books: &s.books})
	})
}

// CreateShop opens a shop and runs fn in the same transaction.
func (s *Store) CreateShop(ctx context.Context, shop domain.Shop, only bool, fn func(tx app.Tx) error) error {
	return s.backend.write(ctx, func(db *gorm.DB) error {
		if err := s.backend.lockSetup(db); err != nil {
			return err
		}
		w := &writer{reader: reader{db: db, shop: shop.ID, books: &s.books}}
		if only {
			if exists, err := anyShop(db); err != nil {
				return err
			} else if exists {
				return fault.New(fault.Conflict, "set-up-done", "This place already has a shop.")
			}
		}
		if err := w.addShop(shop); err != nil {
			return err
		}
		if fn != nil {
			if err := fn(w); err != nil {
				return err
			}
		}
		return w.broken
	})
}

// lock makes this the shop's only writer until the transaction ends.
func (w *writer) lock(suffix string) error {
	ids, err := column[string](&w.reader, "SELECT shop_id FROM shops WHERE shop_id = ?"+suffix, w.shop)
	if err != nil {
		return err
	}
	if len(ids) == 0 {
		return notFound("shop")
	}
	return nil
}

// ran notes a failed statement; what failed is never committed.
func (r *reader) ran(db *gorm.DB) error {
	if db.Error != nil && r.broken == nil {
		r.broken = db.Error
	}
	return db.Error
}

// notFound says that there is no such thing within the shop. The noun is used
// for the code as well: "hours entry" gives "hours-entry-not-found".
func notFound(noun string) *fault.Error {
	return fault.New(fault.NotFound, dashed(noun)+"-not-found", "There is no such %s.", noun)
}

func dashed(noun string) string {
	out := []byte(noun)
	for i, c := range out {
		if c == ' ' {
			out[i] = '-'
		}
	}
	return string(out)
}

// list loads rows of the shop. The condition continues after "shop_id = ? AND".
func list[R any](r *reader, order string, limit int, condition string, args ...any) ([]R, error) {
	rows, err := load[R](r.db, order, limit, "shop_id = ? AND "+condition, append([]any{r.shop}, args...)...)
	if err != nil && r.broken == nil {
		r.broken = err
	}
	return rows, err
}

// column runs a statement that gives one value a row.
func column[T any](r *reader, text string, args ...any) ([]T, error) {
	values, err := values[T](r.db, text, args...)
	if err != nil && r.broken == nil {
		r.broken = err
	}
	return values, err
}

// one loads a row of the shop that must be there.
func one[R any](r *reader, noun, condition string, args ...any) (R, error) {
	rows, err := list[R](r, "", 1, condition, args...)
	if err != nil || len(rows) == 0 {
		var none R
		if err == nil {
			err = notFound(noun)
		}
		return none, err
	}
	return rows[0], nil
}

// add stores rows, many in one statement.
func add[R any](w *writer, rows []R) error {
	const most = 200 // keeps far below the 32,766 parameters of one statement
	for len(rows) > 0 {
		part := rows[:min(most, len(rows))]
		rows = rows[len(part):]
		if err := w.ran(w.db.Create(&part)); err != nil {
			return err
		}
	}
	return nil
}

// save stores all columns of a row of the shop except the fixed ones.
func save[R any](w *writer, noun string, row *R, fixed []string, condition string, args ...any) error {
	q := w.db.Model(row).Where("shop_id = ? AND "+condition, append([]any{w.shop}, args...)...)
	q = q.Select("*").Omit(append([]string{"shop_id", "id"}, fixed...)...).Updates(row)
	return w.changed(q, noun)
}

// exec runs a statement that must change a row.
func (w *writer) exec(noun, sql string, args ...any) error {
	return w.changed(w.db.Exec(sql, args...), noun)
}

func (w *writer) changed(db *gorm.DB, noun string) error {
	if err := w.ran(db); err != nil {
		return err
	}
	if db.RowsAffected == 0 {
		return notFound(noun)
	}
	return nil
}

// among gives the condition that a column is one of some values, with its one
// argument, so that the text of a statement does not vary with their number.
func (r *reader) among(column string, values []string) (string, any) {
	if len(values) == 1 {
		return column + " = ?", values[0]
	}
	text, err := json.Marshal(values)
	if err != nil { // strings always marshal
		panic(fmt.Sprintf("store: %v", err))
	}
	if r.db.Name() == "postgres" {
		return column + " = ANY (ARRAY(SELECT jsonb_array_elements_text(?::jsonb)))", string(text)
	}
	return column + " IN (SELECT value FROM json_each(?))", string(text)
}
