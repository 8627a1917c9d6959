package store

import (
	"context"
	"errors"
	"log/slog"

	"gorm.io/gorm"

	"bareframe/internal/app"
)

// Options say where the rows are kept. Exactly one of SQLitePath and
// PostgresURL is set.
type Options struct {
	SQLitePath  string       // a file; it and its folder are made when missing
	PostgresURL string       // postgres://user@host/database?...
	Log         *slog.Logger // nil: slog.Default
}

// Store implements app.Store. It is safe for concurrent use.
type Store struct {
	backend     backend
	postgresURL string // empty on SQLite
	log         *slog.Logger
	books       priceBooks
}

var _ app.Store = (*Store)(nil)

// backend is what differs between the two databases.
type backend interface {
	// write runs fn in one writing transaction and commits when fn returns nil.
	// It may run fn again.
	write(ctx context.Context, fn func(db *gorm.DB) error) error
	// writeTogether is write for short use cases, which may share a commit.
	writeTogether(ctx context.Context, fn func(db *gorm.DB) error) error
	// read runs fn on one snapshot.
	read(ctx context.Context, fn func(db *gorm.DB) error) error
	migrate(ctx context.Context) error
	// lockShop is appended to a select of the shop's row.
	lockShop() string
	// lockSetup makes opening of shops wait for each other.
	lockSetup(db *gorm.DB) error
	close() error
}

// Open opens the store without changing it; call Migrate before use. It fails
// with fault.Unavailable when the store cannot be reached.
func Open(ctx context.Context, o Options) (*Store, error) {
	if o.Log == nil {
		o.Log = slog.Default()
	}
	var b backend
	var err error
	switch {
	case o.SQLitePath != "" && o.PostgresURL != "":
		return nil, errors.New("store: both a SQLite path and a PostgreSQL URL are given")
	case o.SQLitePath != "":
		b, err = openSQLite(ctx, o.SQLitePath, o.Log)
	case o.PostgresURL != "":
		b, err = openPostgres(ctx, o.PostgresURL, o.Log)
	default:
		return nil, errors.New("store: neither a SQLite path nor a PostgreSQL URL is given")
	}
	if err != nil {
		return nil, err
	}
	return &Store{backend: b, postgresURL: o.PostgresURL, log: o.Log}, nil
}

// Migrate brings the schema up to the newest version. Two processes may call
// it at once. It fails when a newer program has migrated the store already.
func (s *Store) Migrate(ctx context.Context) error { return s.backend.migrate(ctx) }

// Close lets transactions that run finish, for some seconds; later ones fail.
func (s *Store) Close() error { return s.backend.close() }

// Ping reports whether the store answers and has its schema.
func (s *Store) Ping(ctx context.Context) error {
	_, err := s.AnyShop(ctx)
	return err
}
