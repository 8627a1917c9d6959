package store

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// line makes use cases wait for the writer and then lets them go at once, in
// the order given. It returns their errors.
func line(t *testing.T, s *Store, fns ...func(tx app.Tx) error) []error {
	t.Helper()
	b := s.backend.(*sqliteBackend)
	held := <-b.writer
	errs := make([]error, len(fns))
	var all sync.WaitGroup
	for i, fn := range fns {
		all.Go(func() { errs[i] = s.UpdateTogether(t.Context(), "a", fn) })
		for end := time.Now().Add(5 * time.Second); b.inLine.Load() != int32(i+1); time.Sleep(time.Millisecond) {
			if time.Now().After(end) {
				t.Fatalf("use case %d does not wait in line", i)
			}
		}
	}
	b.writer <- held
	all.Wait()
	return errs
}

func logged(f furniture, n int) func(tx app.Tx) error {
	return func(tx app.Tx) error {
		e := f.done
		e.ID, e.Note = fmt.Sprintf("together-%d", n), fmt.Sprintf("together %d", n)
		e.StartedAt, e.FinishedAt = at(1000+2*n), ptr(at(1001+2*n))
		return must(tx.AddEntry(e), tx.AppendTrail(domain.TrailEntry{At: at(n), Subject: e.ID}), tx.KeepAnswer(f.fitter.ID, e.ID, f.answer))
	}
}

func there(t *testing.T, s *Store, n int) bool {
	t.Helper()
	found := false
	view(t, s, "a", func(r app.Reader) {
		_, err := r.Entry(fmt.Sprintf("together-%d", n))
		if err != nil && fault.KindOf(err) != fault.NotFound {
			t.Fatal(err)
		}
		found = err == nil
	})
	return found
}

// A later member sees what an earlier one wrote; nobody outside does before the
// one commit, and the earlier one has not returned by then.
func TestSeveralShareOneCommit(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	saw := 0
	member := func(own, other int) func(tx app.Tx) error {
		return func(tx app.Tx) error {
			if _, err := tx.Entry(fmt.Sprintf("together-%d", other)); err == nil { // this one is the later
				saw++
				if there(t, s, other) {
					t.Error("a reader sees what is not committed: the earlier member did not wait for the later")
				}
			}
			return logged(f, own)(tx)
		}
	}
	errs := line(t, s, member(0, 1), member(1, 0))
	if saw != 1 {
		t.Errorf("%d members saw the other's entry, want the later one", saw)
	}
	if errors.Join(errs...) != nil || !there(t, s, 0) || !there(t, s, 1) {
		t.Errorf("errors %v, entries %v %v", errs, there(t, s, 0), there(t, s, 1))
	}
	checkTrail(t, s, "a", 4)
}

func TestAFailingMemberIsUndoneAlone(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	odd := errors.New("odd")
	errs := line(t, s, logged(f, 0),
		func(tx app.Tx) error { return errors.Join(logged(f, 1)(tx), odd) },
		func(tx app.Tx) error { // a statement that the database refuses
			return must(logged(f, 2)(tx), logged(f, 2)(tx))
		},
		logged(f, 3))
	if errs[0] != nil || errs[3] != nil {
		t.Errorf("members beside the failing ones: %v", errs)
	}
	if !errors.Is(errs[1], odd) {
		t.Errorf("got %v, want the member's own error", errs[1])
	}
	if fault.KindOf(errs[2]) != fault.Conflict {
		t.Errorf("got %v, want a conflict", errs[2])
	}
	for n, want := range []bool{true, false, false, true} {
		if got := there(t, s, n); got != want {
			t.Errorf("entry %d is there: %v, want %v", n, got, want)
		}
	}
	checkTrail(t, s, "a", 4)
}

func TestAPanickingMemberHurtsNobody(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	b := s.backend.(*sqliteBackend)
	held := <-b.writer
	done := make(chan any, 1)
	go func() {
		defer func() { done <- recover() }()
		_ = s.UpdateTogether(context.Background(), "a", func(tx app.Tx) error {
			_ = logged(f, 0)(tx)
			panic("member")
		})
	}()
	for b.inLine.Load() != 1 {
		time.Sleep(time.Millisecond)
	}
	second := make(chan error, 1)
	go func() { second <- s.UpdateTogether(t.Context(), "a", logged(f, 1)) }()
	for b.inLine.Load() != 2 {
		time.Sleep(time.Millisecond)
	}
	b.writer <- held
	if got := <-done; got != "member" {
		t.Errorf("recovered %v, want the member's own panic", got)
	}
	if err := <-second; err != nil || there(t, s, 0) || !there(t, s, 1) {
		t.Errorf("the other member: %v; entries %v %v, want false true", err, there(t, s, 0), there(t, s, 1))
	}
}

// When there is no room, nobody of the group is told that it worked.
func TestAGroupThatCannotBeKept(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	onWriter(t, s, "PRAGMA max_page_count = 1") // as small as the file is now
	errs := line(t, s, logged(f, 0), bigNote(f), logged(f, 1))
	if fault.KindOf(errs[1]) != fault.Unavailable {
		t.Errorf("the member that found no room: %v, want Unavailable", errs[1])
	}
	for i, n := range []int{0, 1} {
		if err := errs[2*i]; (err == nil) != there(t, s, n) || err != nil && fault.KindOf(err) != fault.Unavailable {
			t.Errorf("member %d was told %v, its entry is there: %v", n, err, there(t, s, n))
		}
	}
	onWriter(t, s, "PRAGMA max_page_count = 1000000")
	for _, err := range line(t, s, bigNote(f), logged(f, 2), logged(f, 3)) {
		if err != nil {
			t.Errorf("with room again: %v", err)
		}
	}
}

// Whoever gives up in line leaves no group open behind.
func TestGivingUpInLine(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	ctx, cancel := context.WithCancel(t.Context())
	gaveUp := make(chan error, 1)
	errs := line(t, s, func(tx app.Tx) error {
		go func() { gaveUp <- s.UpdateTogether(ctx, "a", logged(f, 1)) }()
		for s.backend.(*sqliteBackend).inLine.Load() == 0 {
			time.Sleep(time.Millisecond)
		}
		cancel()
		if err := <-gaveUp; !errors.Is(err, context.Canceled) {
			t.Errorf("giving up: %v", err)
		}
		return logged(f, 0)(tx)
	})
	if errs[0] != nil || !there(t, s, 0) || there(t, s, 1) {
		t.Errorf("errors %v, entries %v %v, want true false", errs, there(t, s, 0), there(t, s, 1))
	}
}

// Many at once, with writers in between that share with nobody: all are there,
// the trail is whole.
func TestManyTogether(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		const many = 60
		var all sync.WaitGroup
		for n := range many {
			all.Go(func() {
				if err := s.UpdateTogether(t.Context(), "a", logged(f, n)); err != nil {
					t.Errorf("entry %d: %v", n, err)
				}
			})
			if n%10 == 0 {
				all.Go(func() {
					update(t, s, "a", func(tx app.Tx) error {
						return must(tx.SaveJob(f.job), tx.AppendTrail(domain.TrailEntry{At: at(n)}))
					})
				})
			}
		}
		all.Wait()
		for n := range many {
			if !there(t, s, n) {
				t.Errorf("entry %d is not there", n)
			}
		}
		checkTrail(t, s, "a", 2+many+many/10)
	})
}

// Closing keeps a group that is still open.
func TestClosingKeepsAnOpenGroup(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	b := s.backend.(*sqliteBackend)
	b.inLine.Add(1) // somebody who is never going to come
	result := make(chan error, 1)
	go func() { result <- s.UpdateTogether(context.Background(), "a", logged(f, 0)) }()
	for {
		p := <-b.writer
		open := b.group != nil
		b.writer <- p
		if open {
			break
		}
		time.Sleep(time.Millisecond)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if err := <-result; err != nil {
		t.Errorf("the member: %v", err)
	}
	if again, err := Open(t.Context(), Options{SQLitePath: b.path}); err != nil || !there(t, again, 0) {
		t.Errorf("after closing, the entry is gone (%v)", err)
	} else if err := again.Close(); err != nil {
		t.Error(err)
	}
}
