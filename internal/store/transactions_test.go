package store

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"gorm.io/gorm"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func dbScan(dest any, statement string, args ...any) func(*gorm.DB) error {
	return func(db *gorm.DB) error { return db.Raw(statement, args...).Scan(dest).Error }
}

func title(t *testing.T, s *Store) string {
	t.Helper()
	var got string
	view(t, s, "a", func(r app.Reader) {
		j, err := r.Job("a-job")
		if err != nil {
			t.Fatal(err)
		}
		got = j.Title
	})
	return got
}

func TestWhatFailsLeavesNothing(t *testing.T) {
	boom := errors.New("boom")
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		change := func(tx app.Tx) error {
			j := f.job
			j.Title = "changed"
			_, err := tx.NextJobNumber()
			return must(err, tx.SaveJob(j), tx.AppendTrail(domain.TrailEntry{At: noon, Action: "x"}))
		}
		t.Run("error", func(t *testing.T) {
			err := s.Update(t.Context(), "a", func(tx app.Tx) error { return must(change(tx), boom) })
			if !errors.Is(err, boom) {
				t.Errorf("got %v, want fn's own error", err)
			}
		})
		t.Run("panic", func(t *testing.T) {
			defer func() {
				if recover() != "boom" {
					t.Error("the panic was swallowed")
				}
			}()
			_ = s.Update(t.Context(), "a", func(tx app.Tx) error { _ = change(tx); panic("boom") })
		})
		t.Run("cancelled", func(t *testing.T) {
			ctx, cancel := context.WithCancel(t.Context())
			err := s.Update(ctx, "a", func(tx app.Tx) error { err := change(tx); cancel(); return err })
			if !errors.Is(err, context.Canceled) {
				t.Errorf("got %v, want context.Canceled", err)
			}
		})
		t.Run("swallowed", func(t *testing.T) {
			err := s.Update(t.Context(), "a", func(tx app.Tx) error {
				_ = tx.AddPerson(f.owner) // is there already
				_ = change(tx)
				return nil
			})
			if fault.KindOf(err) != fault.Conflict {
				t.Errorf("got %v, want the swallowed Conflict", err)
			}
		})
		t.Run("half a scope", func(t *testing.T) {
			err := s.Update(t.Context(), "a", func(tx app.Tx) error {
				_ = tx.SetScope(f.job.ID, []domain.ID{"a-t1", "none"}, nil, domain.Outside)
				return nil
			})
			refused(t, "SetScope", err, fault.NotFound, "task-not-found")
		})
		same(t, "title", title(t, s), f.job.Title, nil)
		update(t, s, "a", func(tx app.Tx) error {
			n, err := tx.NextJobNumber()
			same(t, "job number", n, 2, err)
			trail, err := tx.TrailFrom(1, 10)
			same(t, "trail", len(trail), 2, err)
			return nil
		})
	})
}

// What a refusal was is no reason to stop: reads that find nothing commit.
func TestNotFoundDoesNotUndo(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		update(t, s, "a", func(tx app.Tx) error {
			_, err := tx.Person("none")
			refused(t, "Person", err, fault.NotFound, "person-not-found")
			j := f.job
			j.Title = "changed"
			return tx.SaveJob(j)
		})
		same(t, "title", title(t, s), "changed", nil)
	})
}

// Two accept at once: both look whether the quote is open, one wins.
func TestOnlyOneOfTwoWritersWins(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		lost := errors.New("lost")
		const clients = 8
		var won atomic.Int32
		var group sync.WaitGroup
		for i := range clients {
			group.Go(func() {
				err := s.Update(context.Background(), "a", func(tx app.Tx) error {
					q, err := tx.Quote(f.quote.ID)
					if err != nil {
						return err
					}
					if q.State != domain.QuoteOpen {
						return lost
					}
					time.Sleep(5 * time.Millisecond) // wide enough to race through
					q.State, q.Decision = domain.QuoteAccepted, &domain.Decision{Accepted: true, Name: fmt.Sprint(i), DecidedAt: noon, RecordedAt: noon}
					j := f.job
					j.State, j.AcceptedQuoteID = domain.Accepted, q.ID
					return must(tx.SaveQuoteState(q), tx.SaveJob(j))
				})
				if err == nil {
					won.Add(1)
				} else if !errors.Is(err, lost) {
					t.Errorf("client %d: %v", i, err)
				}
			})
		}
		group.Wait()
		if won.Load() != 1 {
			t.Errorf("%d of %d accepted, want 1", won.Load(), clients)
		}
	})
}

func TestManyWritersCountWithoutGaps(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		furnish(t, s, "a")
		const writers, each = 6, 10
		var seen sync.Map
		var group sync.WaitGroup
		for range writers {
			group.Go(func() {
				for range each {
					err := s.Update(context.Background(), "a", func(tx app.Tx) error {
						n, err := tx.NextJobNumber()
						seen.Store(n, true)
						return must(err, tx.AppendTrail(domain.TrailEntry{At: noon, Action: "count"}))
					})
					if err != nil {
						t.Error(err)
					}
				}
			})
		}
		group.Wait()
		for n := 2; n <= writers*each+1; n++ {
			if _, ok := seen.Load(n); !ok {
				t.Errorf("number %d was not given", n)
			}
		}
		checkTrail(t, s, "a", writers*each+2)
	})
}

// A view sees one moment, whatever is committed meanwhile.
func TestViewIsASnapshot(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		view(t, s, "a", func(r app.Reader) {
			if _, err := r.Shop(); err != nil {
				t.Fatal(err)
			}
			j := f.job
			j.Title = "changed"
			update(t, s, "a", func(tx app.Tx) error { return tx.SaveJob(j) })
			got, err := r.Job(j.ID)
			same(t, "inside the view", got.Title, f.job.Title, err)
		})
		same(t, "after it", title(t, s), "changed", nil)
	})
}

// A reader has no way to write, even one that knows how it is made.
func TestViewCannotWrite(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		furnish(t, s, "a")
		err := s.backend.read(t.Context(), func(db *gorm.DB) error { return db.Exec("UPDATE jobs SET title = 'x'").Error })
		refused(t, "write while reading", err, fault.Unavailable, "store-unavailable")
		same(t, "title", title(t, s), "Frame <b>", nil)
	})
}

// Two shops write at once; on PostgreSQL neither waits for the other.
func TestShopsDoNotWaitForEachOther(t *testing.T) {
	s := newPostgres(t)
	furnish(t, s, "a")
	furnish(t, s, "b")
	update(t, s, "a", func(app.Tx) error {
		ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
		defer cancel()
		return s.Update(ctx, "b", func(tx app.Tx) error { return tx.AppendTrail(domain.TrailEntry{At: noon}) })
	})
}

// A transaction that PostgreSQL gives up is run again.
func TestCollisionsAreRunAgain(t *testing.T) {
	s := newPostgres(t)
	furnish(t, s, "a")
	runs := 0
	update(t, s, "a", func(tx app.Tx) error {
		if runs++; runs < 3 {
			// What the server reports for a transaction that it could not serialize.
			return tx.(*writer).ran(tx.(*writer).db.Exec("DO $$ BEGIN RAISE EXCEPTION 'collided' USING ERRCODE = '40001'; END $$"))
		}
		return tx.AppendTrail(domain.TrailEntry{At: noon})
	})
	same(t, "runs", runs, 3, nil)
	checkTrail(t, s, "a", 3)
}

func TestSetUpHappensOnce(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		var done, refusedCount atomic.Int32
		var group sync.WaitGroup
		for i := range 6 {
			group.Go(func() {
				err := s.CreateShop(context.Background(), domain.Shop{ID: fmt.Sprint(i), CreatedAt: noon}, true, func(app.Tx) error {
					time.Sleep(2 * time.Millisecond)
					return nil
				})
				if err == nil {
					done.Add(1)
				} else if e := fault.As(err); e != nil && e.Kind == fault.Conflict && e.Code == "set-up-done" {
					refusedCount.Add(1)
				} else {
					t.Error(err)
				}
			})
		}
		group.Wait()
		if done.Load() != 1 || refusedCount.Load() != 5 {
			t.Errorf("%d set up and %d refused, want 1 and 5", done.Load(), refusedCount.Load())
		}
	})
}
