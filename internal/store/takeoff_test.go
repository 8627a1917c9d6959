package store

import (
	"fmt"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func readTakeoff(t *testing.T, r app.Reader, f furniture) {
	t.Helper()
	moves, next, err := r.TakeoffMoves(f.job.ID, app.Page{})
	same(t, "TakeoffMoves", moves, []domain.TakeoffMove{f.moved}, err)
	same(t, "the page after", next, "", nil)
	took, err := r.StockMoves()
	same(t, "StockMoves", took, []domain.StockMove{f.took}, err)
	one, err := r.StockMove(f.took.ID)
	same(t, "StockMove", one, f.took, err)
}

func readsNoTakeoff(t *testing.T, r app.Reader, a furniture) {
	t.Helper()
	moves, _, err := r.TakeoffMoves(a.job.ID, app.Page{})
	same(t, "TakeoffMoves", moves, []domain.TakeoffMove{}, err)
	took, err := r.StockMoves()
	for _, m := range took {
		if m.FromJobID == a.job.ID || m.ToJobID == a.job.ID {
			t.Errorf("another shop's stock move is read: %+v (%v)", m, err)
		}
	}
}

// Moves come newest first, page by page; what was taken is voided once, and
// neither is ever changed or gone.
func TestTakeoffMovesAreKept(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		update(t, s, "a", func(tx app.Tx) error {
			for i := range 4 {
				m := f.moved
				m.ID, m.Cause = fmt.Sprintf("a-moved-%d", i), fmt.Sprint("cause ", i)
				if err := tx.AddTakeoffMove(m); err != nil {
					return err
				}
			}
			return nil
		})
		var read []string
		page := app.Page{Limit: 2}
		for more := true; more; more = page.After != "" {
			err := s.View(t.Context(), "a", func(r app.Reader) error {
				moves, next, err := r.TakeoffMoves(f.job.ID, page)
				for _, m := range moves {
					read = append(read, m.ID)
				}
				page.After = next
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
		}
		same(t, "newest first", read, []string{"a-moved-3", "a-moved-2", "a-moved-1", "a-moved-0", "a-moved"}, nil)

		void := f.took
		void.VoidedAt, void.VoidedBy, void.VoidReason = ptr(at(50)), "Ida Kranz", "not needed"
		update(t, s, "a", func(tx app.Tx) error { return tx.VoidStockMove(void) })
		err := s.View(t.Context(), "a", func(r app.Reader) error {
			got, err := r.StockMove(f.took.ID)
			same(t, "voided", got, void, err)
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		refused(t, "voided again", s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.VoidStockMove(void) }), fault.Conflict, "append-only")
		for _, statement := range []string{
			"UPDATE takeoff_moves SET cause = 'x' WHERE id = 'a-moved'", "DELETE FROM takeoff_moves WHERE id = 'a-moved'",
			"UPDATE stock_moves SET quantity = '9' WHERE id = 'a-took'", "DELETE FROM stock_moves WHERE id = 'a-took'",
		} {
			refused(t, statement, raw(t, s, statement), fault.Conflict, "append-only")
		}
	})
}
