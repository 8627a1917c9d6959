package store

import (
	"context"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gorm.io/gorm"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func fileMode(t *testing.T, name string) fs.FileMode {
	t.Helper()
	info, err := os.Stat(name)
	if err != nil {
		t.Fatal(err)
	}
	return info.Mode()
}

// onWriter runs a pragma on the connection that writes.
func onWriter(t *testing.T, s *Store, pragma string) {
	t.Helper()
	b := s.backend.(*sqliteBackend)
	p := <-b.writer
	defer func() { b.writer <- p }()
	if err := p.open(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := p.conn.ExecContext(t.Context(), pragma); err != nil {
		t.Fatal(err)
	}
}

func bigNote(f furniture) func(tx app.Tx) error {
	return func(tx app.Tx) error {
		j := f.job
		j.Title = strings.Repeat("x", 1<<20)
		return must(tx.SaveJob(j), tx.AppendTrail(domain.TrailEntry{At: noon}))
	}
}

// A full disk: nothing is half written, and service resumes when there is room.
// The file's own limit stands in for the disk's; SQLite reports both as
// SQLITE_FULL.
func TestFullDisk(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	onWriter(t, s, "PRAGMA max_page_count = 1") // as small as the file is now
	refused(t, "writing", s.Update(t.Context(), "a", bigNote(f)), fault.Unavailable, "store-unavailable")
	same(t, "title", title(t, s), f.job.Title, nil)
	checkTrail(t, s, "a", 2)
	onWriter(t, s, "PRAGMA max_page_count = 1000000")
	update(t, s, "a", bigNote(f))
	checkTrail(t, s, "a", 3)
}

func TestReadOnlyDisk(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	onWriter(t, s, "PRAGMA query_only = ON") // SQLITE_READONLY, as from a read-only disk
	refused(t, "writing", s.Update(t.Context(), "a", bigNote(f)), fault.Unavailable, "store-unavailable")
	same(t, "title", title(t, s), f.job.Title, nil)
	onWriter(t, s, "PRAGMA query_only = OFF")
	update(t, s, "a", bigNote(f))
}

func TestWhereNoStoreCanBe(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, []byte("not a database, only text that is long enough"), 0o600); err != nil {
		t.Fatal(err)
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	port := listener.Addr().String()
	_ = listener.Close() // nobody listens there now
	for name, o := range map[string]Options{
		"folder is a file": {SQLitePath: filepath.Join(file, "shop.db")},
		"not a database":   {SQLitePath: file},
		"a folder":         {SQLitePath: t.TempDir()},
		"nobody listens":   {PostgresURL: "postgres://u:secret@" + port + "/x?sslmode=disable"},
	} {
		s, err := Open(t.Context(), o)
		if err == nil {
			err = s.Migrate(t.Context())
			_ = s.Close()
		}
		if fault.KindOf(err) != fault.Unavailable || strings.Contains(err.Error(), "secret") {
			t.Errorf("%s: got %v, want Unavailable without the password", name, err)
		}
	}
	for name, o := range map[string]Options{"nothing": {}, "both": {SQLitePath: file, PostgresURL: "x"}, "no URL": {PostgresURL: "postgres://u:secret@h:port/x"}} {
		if _, err := Open(t.Context(), o); err == nil || strings.Contains(err.Error(), "secret") {
			t.Errorf("%s: got %v", name, err)
		}
	}
}

// Another process holds the file's write lock for a while.
func TestLockedFile(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	other, err := Open(t.Context(), Options{SQLitePath: s.backend.(*sqliteBackend).path})
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	update(t, other, "a", func(app.Tx) error {
		ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
		defer cancel()
		if err := s.Update(ctx, "a", bigNote(f)); err == nil {
			t.Error("two processes wrote at once")
		}
		onWriter(t, s, "PRAGMA busy_timeout = 20")
		refused(t, "waiting too long", s.Update(t.Context(), "a", bigNote(f)), fault.Unavailable, "store-unavailable")
		return nil
	})
	same(t, "title", title(t, s), f.job.Title, nil)
	update(t, s, "a", bigNote(f))
}

// The server drops every connection; the next attempt that gets one works.
func TestDatabaseGoneForAWhile(t *testing.T) {
	s := newPostgres(t)
	f := furnish(t, s, "a")
	err := s.Update(t.Context(), "a", func(tx app.Tx) error {
		if err := tx.AppendTrail(domain.TrailEntry{At: noon}); err != nil {
			return err
		}
		var pid int
		if err := tx.(*writer).db.Raw("SELECT pg_backend_pid()").Scan(&pid).Error; err != nil {
			return err
		}
		var gone bool
		if err := s.backend.read(t.Context(), func(db *gorm.DB) error {
			return db.Raw("SELECT pg_terminate_backend(?)", pid).Scan(&gone).Error
		}); err != nil || !gone {
			t.Errorf("the connection was not ended: %v", err)
		}
		return tx.SaveJob(f.job)
	})
	refused(t, "on a connection that ended", err, fault.Unavailable, "store-unavailable")
	checkTrail(t, s, "a", 2)
	update(t, s, "a", bigNote(f))
}

func TestCancelledBeforeItStarts(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		furnish(t, s, "a")
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		if err := s.Update(ctx, "a", func(app.Tx) error { t.Error("it ran"); return nil }); err == nil {
			t.Error("no error")
		}
		if err := s.View(ctx, "a", func(app.Reader) error { t.Error("it ran"); return nil }); err == nil {
			t.Error("no error")
		}
	})
}

// After closing, everything is in the one file and nobody hangs.
func TestClosing(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		started, done := make(chan struct{}), make(chan error, 1)
		go func() {
			done <- s.Update(context.Background(), "a", func(tx app.Tx) error {
				close(started)
				time.Sleep(20 * time.Millisecond)
				return bigNote(f)(tx)
			})
		}()
		<-started
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		if isSQLite(s) {
			if err := <-done; err != nil {
				t.Errorf("a transaction that ran: %v", err)
			}
			path := s.backend.(*sqliteBackend).path
			for _, left := range []string{path + "-wal", path + "-shm"} {
				if _, err := os.Stat(left); !os.IsNotExist(err) {
					t.Errorf("%s is left (%v)", left, err)
				}
			}
		}
		refused(t, "Ping", s.Ping(t.Context()), fault.Unavailable, "store-unavailable")
		refused(t, "Update", s.Update(t.Context(), "a", func(app.Tx) error { return nil }), fault.Unavailable, "store-unavailable")
	})
}
