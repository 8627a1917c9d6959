package store

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
	"gorm.io/driver/postgres"
	"gorm.io/gorm"

	"bareframe/internal/fault"
)

// Advisory locks of this program within a database, see section 13.3.5 of the
// PostgreSQL manual. The numbers are arbitrary and must not change.
const (
	migrateLock = 7_283_014_501
	setupLock   = 7_283_014_502
)

// How often a transaction is run before a conflict counts as an outage, and
// the first pause; each further pause is twice as long.
const (
	mostRuns   = 6
	firstPause = 5 * time.Millisecond
)

type postgresBackend struct {
	base *gorm.DB
	pool *sql.DB // pgx keeps statements prepared on each connection
}

// postgresDialector is gorm's dialect with errors of our own.
type postgresDialector struct{ gorm.Dialector }

// Translate turns driver errors into refusals.
func (postgresDialector) Translate(err error) error { return translatePostgres(err) }

func openPostgres(ctx context.Context, url string, log *slog.Logger) (backend, error) {
	config, err := pgx.ParseConfig(url)
	if err != nil {
		return nil, errors.New("store: the PostgreSQL URL is not readable") // the cause may show a password
	}
	pool := stdlib.OpenDB(*config, stdlib.OptionAfterConnect(durable))
	pool.SetMaxOpenConns(20)
	pool.SetMaxIdleConns(20)
	pool.SetConnMaxIdleTime(5 * time.Minute)
	if err := pool.PingContext(ctx); err != nil {
		return nil, errors.Join(translatePostgres(err), pool.Close())
	}
	b := &postgresBackend{pool: pool}
	dialector := postgresDialector{postgres.New(postgres.Config{Conn: pool})}
	if b.base, err = gorm.Open(dialector, gormConfig(log)); err != nil {
		return nil, errors.Join(translatePostgres(err), pool.Close())
	}
	return b, nil
}

// durable makes a commit wait for the disk where the server's default does not.
// Stronger settings stay.
func durable(ctx context.Context, conn *pgx.Conn) error {
	_, err := conn.Exec(ctx, `SELECT set_config('synchronous_commit', 'on', false)
		WHERE current_setting('synchronous_commit') = 'off'`)
	return err
}

// writeTogether is write: PostgreSQL groups the commits of its connections by
// itself.
func (b *postgresBackend) writeTogether(ctx context.Context, fn func(db *gorm.DB) error) error {
	return b.write(ctx, fn)
}

// write runs fn until it neither fails to serialize nor deadlocks.
func (b *postgresBackend) write(ctx context.Context, fn func(db *gorm.DB) error) error {
	pause := firstPause
	for run := 1; ; run++ {
		err := b.transaction(ctx, &sql.TxOptions{Isolation: sql.LevelReadCommitted}, fn)
		if run == mostRuns || !collided(err) {
			return err
		}
		select {
		case <-time.After(pause):
			pause *= 2
		case <-ctx.Done():
			return ctx.Err()
		}
	}
}

// collided reports a serialization failure or a deadlock.
func collided(err error) bool {
	var e *pgconn.PgError
	return errors.As(err, &e) && (e.Code == "40001" || e.Code == "40P01")
}

func (b *postgresBackend) read(ctx context.Context, fn func(db *gorm.DB) error) error {
	return b.transaction(ctx, &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}, fn)
}

// transaction runs fn and commits. A transaction that does not commit is
// undone, also when fn panics.
func (b *postgresBackend) transaction(ctx context.Context, options *sql.TxOptions, fn func(db *gorm.DB) error) error {
	tx, err := b.pool.BeginTx(ctx, options)
	if err != nil {
		return translatePostgres(err)
	}
	defer func() { _ = tx.Rollback() }() // does nothing after a commit
	db := b.base.Session(&gorm.Session{NewDB: true, Context: ctx})
	db.Statement.ConnPool = tx
	if err := fn(db); err != nil {
		return err
	}
	if err := tx.Commit(); err != nil {
		if errors.Is(err, sql.ErrTxDone) && ctx.Err() != nil {
			return ctx.Err()
		}
		return translatePostgres(err)
	}
	return nil
}

func (b *postgresBackend) lockShop() string { return " FOR UPDATE" }

func (b *postgresBackend) lockSetup(db *gorm.DB) error {
	return db.Exec("SELECT pg_advisory_xact_lock(?)", setupLock).Error
}

func (b *postgresBackend) migrate(ctx context.Context) (err error) {
	conn, err := b.pool.Conn(ctx)
	if err != nil {
		return translatePostgres(err)
	}
	defer func() { err = errors.Join(err, conn.Close()) }()
	if _, err := conn.ExecContext(ctx, "SELECT pg_advisory_lock($1)", migrateLock); err != nil {
		return translatePostgres(err)
	}
	defer func() {
		_, unlocking := conn.ExecContext(context.WithoutCancel(ctx), "SELECT pg_advisory_unlock($1)", migrateLock)
		err = errors.Join(err, unlocking)
	}()
	err = migrate(ctx, b.pool, goose.DialectPostgres, "postgres")
	if unavailable := translatePostgres(err); fault.KindOf(unavailable) == fault.Unavailable {
		return unavailable
	}
	return err
}

func (b *postgresBackend) close() error { return b.pool.Close() }
