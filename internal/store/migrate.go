package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/database"
)

//go:embed migrations
var migrations embed.FS

// migrate applies the numbered files of a dialect's folder that the store has
// not seen yet, each in one transaction.
func migrate(ctx context.Context, db *sql.DB, dialect goose.Dialect, folder string, options ...goose.ProviderOption) error {
	files, err := fs.Sub(migrations, "migrations/"+folder)
	if err != nil {
		return err
	}
	options = append(options, goose.WithDisableGlobalRegistry(true))
	provider, err := goose.NewProvider(dialect, db, files, options...)
	if err != nil {
		return fmt.Errorf("store: reading migrations: %w", err)
	}
	if err := refuseNewer(ctx, db, dialect, provider); err != nil {
		return err
	}
	for {
		before, err := provider.GetDBVersion(ctx)
		if err != nil {
			return fmt.Errorf("store: migrating: %w", err)
		}
		if _, err = provider.Up(ctx); err == nil {
			return nil
		}
		// Another process may have applied the file that failed here; then go on
		// after it.
		if now, again := provider.GetDBVersion(ctx); again != nil || now <= before {
			return fmt.Errorf("store: migrating: %w", err)
		}
	}
}

// refuseNewer keeps an older program away from a store that a newer one has
// migrated.
func refuseNewer(ctx context.Context, db *sql.DB, dialect goose.Dialect, provider *goose.Provider) error {
	sources := provider.ListSources()
	newest := sources[len(sources)-1].Version
	table, err := database.NewStore(dialect, goose.DefaultTablename)
	if err != nil {
		return err
	}
	at, err := table.GetLatestVersion(ctx, db)
	if err != nil {
		if errors.Is(err, database.ErrVersionNotFound) {
			return nil
		}
		// Without the table of versions the store is new; if it is broken instead,
		// migrating says so.
		return nil
	}
	if at > newest {
		return fmt.Errorf("store: it was migrated to version %d by a newer program; this one knows %d", at, newest)
	}
	return nil
}

func (b *sqliteBackend) migrate(ctx context.Context) (err error) {
	db, err := sql.Open("sqlite", sqliteDSN(b.path, false))
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1)
	defer func() { err = errors.Join(err, db.Close()) }()
	conn, err := connect(ctx, db) // which goose then finds in the pool
	if err != nil {
		return translateSQLite(err)
	}
	if err := conn.Close(); err != nil {
		return err
	}
	return translateSQLite(migrate(ctx, db, goose.DialectSQLite3, "sqlite"))
}
