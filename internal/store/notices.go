package store

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"
)

// noticeChannel is where the instances of this program tell each other things.
const noticeChannel = "bareframe_notices"

// MostNotice bounds the bytes of one notice, below PostgreSQL's own limit of
// 8000 (section NOTIFY of its manual).
const MostNotice = 7900

// Shared reports whether other instances may use the same store. A SQLite file
// has one.
func (s *Store) Shared() bool { return s.postgresURL != "" }

// Broadcast tells every instance that listens, this one too. A notice is a
// hint: it is lost for who does not listen at the time.
func (s *Store) Broadcast(ctx context.Context, notice string) error {
	b, ok := s.backend.(*postgresBackend)
	if !ok {
		return nil
	}
	_, err := b.pool.ExecContext(ctx, "SELECT pg_notify($1, $2)", noticeChannel, notice)
	return translatePostgres(err)
}

// Listen hands over what any instance broadcasts until ctx ends, on a
// connection of its own that is made again when it breaks. missed is called
// after each break: notices may have been lost. It returns at once on SQLite.
func (s *Store) Listen(ctx context.Context, heard func(notice string), missed func()) {
	if !s.Shared() {
		return
	}
	const pause = time.Second
	for first := true; ctx.Err() == nil; first = false {
		if !first {
			select {
			case <-time.After(pause):
			case <-ctx.Done():
				return
			}
		}
		if err := s.listenOnce(ctx, heard, func() {
			if !first {
				missed()
			}
		}); err != nil && ctx.Err() == nil {
			s.log.WarnContext(ctx, "listening for other instances broke off", "error", err)
		}
	}
}

func (s *Store) listenOnce(ctx context.Context, heard func(string), ready func()) error {
	conn, err := pgx.Connect(ctx, s.postgresURL)
	if err != nil {
		return translatePostgres(err)
	}
	defer func() { _ = conn.Close(context.WithoutCancel(ctx)) }()
	if _, err := conn.Exec(ctx, "LISTEN "+noticeChannel); err != nil {
		return translatePostgres(err)
	}
	ready()
	for {
		n, err := conn.WaitForNotification(ctx)
		if err != nil {
			return err
		}
		heard(n.Payload)
	}
}
