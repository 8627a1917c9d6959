package store

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/logger"

	"bareframe/internal/fault"
)

// slowStatement is when a statement is worth a line in the log.
const slowStatement = 250 * time.Millisecond

// gormConfig is how gorm is used here: no transactions, associations or
// migrations of its own, errors translated, no values in the log.
func gormConfig(log *slog.Logger) *gorm.Config {
	return &gorm.Config{
		SkipDefaultTransaction: true,
		DisableAutomaticPing:   true,
		TranslateError:         true,
		Logger:                 statements{log},
		NowFunc:                func() time.Time { return time.Time{} }, // this package reads no clock for rows
	}
}

// statements logs slow statements and outages, and at debug level every
// statement, so that the statements of a request can be counted. Values of parameters stay out
// of the log: they are people's data.
type statements struct{ log *slog.Logger }

var _ logger.Interface = statements{}

// LogMode changes nothing; the level is the slog handler's.
func (s statements) LogMode(logger.LogLevel) logger.Interface { return s }

// Info, Warn and Error pass on what gorm says about itself.
func (s statements) Info(ctx context.Context, text string, _ ...any) { s.log.DebugContext(ctx, text) }

// Warn passes on a warning.
func (s statements) Warn(ctx context.Context, text string, _ ...any) { s.log.WarnContext(ctx, text) }

// Error passes on an error.
func (s statements) Error(ctx context.Context, text string, _ ...any) { s.log.ErrorContext(ctx, text) }

// ParamsFilter keeps values out of statements that are logged.
func (s statements) ParamsFilter(_ context.Context, sql string, _ ...any) (string, []any) {
	return sql, nil
}

// Trace sees each statement. Refusals are not outages and stay silent.
func (s statements) Trace(ctx context.Context, begin time.Time, text func() (string, int64), err error) {
	took := time.Since(begin)
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
	case err != nil && (fault.As(err) == nil || fault.KindOf(err) == fault.Unavailable):
		sql, _ := text()
		s.log.ErrorContext(ctx, "statement failed", "sql", sql, "took", took, "error", err)
	case took > slowStatement:
		sql, rows := text()
		s.log.WarnContext(ctx, "statement was slow", "sql", sql, "rows", rows, "took", took)
	case s.log.Enabled(ctx, slog.LevelDebug):
		sql, _ := text()
		s.log.DebugContext(ctx, "statement", "sql", sql, "took", took)
	}
}
