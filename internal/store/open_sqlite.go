package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"sync/atomic"
	"time"

	"gorm.io/driver/sqlite"
	"gorm.io/gorm"
	_ "modernc.org/sqlite" // registers the pure Go driver "sqlite"

	"bareframe/internal/fault"
)

// sqliteBackend has one connection that writes and several that read.
type sqliteBackend struct {
	path    string
	base    *gorm.DB
	pools   []*sql.DB    // the writer's, the readers'
	writer  chan *pinned // holds the one writer when it is free
	readers chan *pinned
	inLine  atomic.Int32 // callers that wait for the writer
	group   *group       // open transaction that was left for the next in line; the writer's holder's
}

// sqliteDialector is gorm's dialect with errors of our own.
type sqliteDialector struct{ *sqlite.Dialector }

// Translate turns driver errors into refusals.
func (sqliteDialector) Translate(err error) error { return translateSQLite(err) }

func openSQLite(ctx context.Context, path string, log *slog.Logger) (backend, error) {
	if err := makeFile(path); err != nil {
		return nil, fault.New(fault.Unavailable, "store-unavailable", "The store's file cannot be opened.").Because(err)
	}
	readers := min(max(4, 2*runtime.NumCPU()), 16)
	writing, err := sql.Open("sqlite", sqliteDSN(path, false))
	if err != nil {
		return nil, err
	}
	reading, err := sql.Open("sqlite", sqliteDSN(path, true))
	if err != nil {
		return nil, errors.Join(err, writing.Close())
	}
	b := &sqliteBackend{path: path, pools: []*sql.DB{writing, reading},
		writer: make(chan *pinned, 1), readers: make(chan *pinned, readers)}
	b.writer <- &pinned{db: writing}
	for range readers {
		b.readers <- &pinned{db: reading}
	}
	// The write-ahead mode is set by the first connection that may write.
	first, err := connect(ctx, writing)
	if err != nil {
		return nil, errors.Join(translateSQLite(err), b.close())
	}
	_ = first.Close() // back to its pool, where the writer finds it
	dialector := sqliteDialector{&sqlite.Dialector{DriverName: "sqlite", Conn: reading}}
	if b.base, err = gorm.Open(dialector, gormConfig(log)); err != nil {
		return nil, errors.Join(translateSQLite(err), b.close())
	}
	return b, nil
}

// makeFile makes folder and file readable by their owner only.
func makeFile(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDONLY|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	return f.Close()
}

// readerKiB and writerKiB bound the pages that each connection keeps for itself.
// They are small, because there are several readers and the operating system
// keeps the file's pages anyway, once for all. What is kept takes twice as much
// memory: the driver's allocator rounds a page of 4 KiB with its header up to 8.
// The writer has more, because an hours entry took a tenth more with less.
const (
	readerKiB = 2000
	writerKiB = 4000
)

// sqliteDSN carries the pragmas, so that every connection has them. See
// https://sqlite.org/pragma.html; with synchronous=FULL a committed transaction
// survives a crash of the machine in write-ahead mode too.
func sqliteDSN(path string, readOnly bool) string {
	q := url.Values{"_time_format": {"sqlite"}, "_timezone": {"UTC"}, "_pragma": {
		"busy_timeout(10000)", // first, because the next ones may have to wait
		"journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(ON)",
		"journal_size_limit(67108864)", "temp_store(MEMORY)", "trusted_schema(OFF)",
	}}
	if readOnly {
		q.Add("_pragma", fmt.Sprintf("cache_size(-%d)", readerKiB))
		q.Add("_pragma", "query_only(ON)")
	} else {
		q.Add("_pragma", fmt.Sprintf("cache_size(-%d)", writerKiB))
		q.Set("_txlock", "immediate")
	}
	return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + q.Encode()
}

func (b *sqliteBackend) write(ctx context.Context, fn func(db *gorm.DB) error) error {
	p, err := b.takeWriter(ctx)
	if err != nil {
		return err
	}
	defer b.handOn(p)
	b.settle(p) // what others left open is theirs
	return b.transaction(ctx, p, "BEGIN IMMEDIATE", fn)
}

func (b *sqliteBackend) read(ctx context.Context, fn func(db *gorm.DB) error) error {
	select {
	case p := <-b.readers:
		defer func() { b.readers <- p }()
		return b.transaction(ctx, p, "BEGIN DEFERRED", fn)
	case <-ctx.Done():
		return ctx.Err()
	}
}

// transaction runs fn on a connection that the caller holds. A transaction that
// does not commit is undone, also when fn panics or ctx ends meanwhile.
func (b *sqliteBackend) transaction(ctx context.Context, p *pinned, begin string, fn func(db *gorm.DB) error) error {
	if err := p.open(ctx); err != nil {
		return translateSQLite(err)
	}
	if err := p.run(ctx, begin); err != nil {
		p.discard()
		return translateSQLite(err)
	}
	open := true
	defer func() {
		if open && p.run(context.WithoutCancel(ctx), "ROLLBACK") != nil {
			p.discard() // SQLite undid it already, or the state is not known
		}
	}()
	db := b.base.Session(&gorm.Session{NewDB: true, Context: ctx})
	db.Statement.ConnPool = p
	if err := fn(db); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := p.run(context.WithoutCancel(ctx), "COMMIT"); err != nil {
		return translateSQLite(err)
	}
	open = false
	return nil
}

// lockShop adds nothing: the one writer is alone.
func (b *sqliteBackend) lockShop() string { return "" }

func (b *sqliteBackend) lockSetup(*gorm.DB) error { return nil }

// closingWait bounds how long close waits for transactions that run.
const closingWait = 10 * time.Second

// close lets transactions finish, then closes the readers before the writer,
// which as the last one moves the write-ahead log into the file.
func (b *sqliteBackend) close() error {
	waiting, stop := context.WithTimeout(context.Background(), closingWait)
	defer stop()
	for _, pool := range []chan *pinned{b.readers, b.writer} {
		for range cap(pool) {
			select {
			case p := <-pool:
				if pool == b.writer {
					b.settle(p)
				}
				p.close()
				defer func() { pool <- p }() // whoever comes later is told that it is closed
			case <-waiting.Done():
			}
		}
	}
	var errs []error
	for i := len(b.pools) - 1; i >= 0; i-- {
		errs = append(errs, b.pools[i].Close())
	}
	return errors.Join(errs...)
}
