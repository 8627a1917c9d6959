package store

import (
	"context"
	"errors"
	"log/slog"
)

func openPostgres(context.Context, string, *slog.Logger) (backend, error) {
	return nil, errors.New("store: PostgreSQL comes next")
}
