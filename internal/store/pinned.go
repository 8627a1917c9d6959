package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"strings"
	"time"
	"unicode/utf8"

	"gorm.io/gorm"
)

// pinned is one SQLite connection with its prepared statements. database/sql
// prepares a statement anew in each transaction; on a connection of our own a
// statement is prepared once. It serves one transaction at a time.
type pinned struct {
	db         *sql.DB
	conn       *sql.Conn
	statements map[string]*sql.Stmt
	closed     bool
}

var _ gorm.ConnPool = (*pinned)(nil)

// Bounds on what is kept prepared. Statements that add many rows at once are
// long and seldom the same.
const (
	mostStatements = 300
	longStatement  = 4000 // bytes
)

// open takes the connection when there is none yet.
func (p *pinned) open(ctx context.Context) error {
	if p.closed {
		return unavailable(errors.New("the store is closed"))
	}
	if p.conn != nil {
		return nil
	}
	conn, err := connect(ctx, p.db)
	if err != nil {
		return err
	}
	p.conn, p.statements = conn, map[string]*sql.Stmt{}
	return nil
}

// Bounds of connect.
const (
	connectWait  = 10 * time.Second
	connectPause = 5 * time.Millisecond
)

// connect opens a connection. While another process turns on the write-ahead
// mode or closes the file, SQLite reports it as locked without waiting for the
// busy timeout, so the waiting is done here.
func connect(ctx context.Context, db *sql.DB) (*sql.Conn, error) {
	for until := time.Now().Add(connectWait); ; {
		conn, err := db.Conn(ctx)
		if err == nil || !locked(err) || time.Now().After(until) {
			return conn, err
		}
		select {
		case <-time.After(connectPause):
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// discard closes the connection itself, so that a transaction whose state is
// not known cannot live on.
func (p *pinned) discard() {
	if p.conn == nil {
		return
	}
	p.forget()
	_ = p.conn.Raw(func(any) error { return driver.ErrBadConn })
	_ = p.conn.Close()
	p.conn = nil
}

// close gives the connection back and takes no other.
func (p *pinned) close() {
	p.closed = true
	if p.conn != nil {
		p.forget()
		_ = p.conn.Close()
		p.conn = nil
	}
}

func (p *pinned) forget() {
	for _, s := range p.statements {
		_ = s.Close()
	}
	p.statements = map[string]*sql.Stmt{}
}

// run executes a statement of transaction control.
func (p *pinned) run(ctx context.Context, text string) error {
	_, err := p.ExecContext(ctx, text)
	return err
}

func (p *pinned) statement(ctx context.Context, text string) (*sql.Stmt, error) {
	if s, ok := p.statements[text]; ok {
		return s, nil
	}
	s, err := p.conn.PrepareContext(ctx, text)
	if err != nil {
		return nil, err
	}
	if len(p.statements) >= mostStatements {
		p.forget()
	}
	p.statements[text] = s
	return s, nil
}

// storable refuses text that PostgreSQL has no place for, so that a shop can
// move from one database to the other.
func storable(args []any) error {
	for _, arg := range args {
		text, ok := arg.(string)
		if pointer, isPointer := arg.(*string); isPointer && pointer != nil {
			text, ok = *pointer, true
		}
		if ok && (strings.IndexByte(text, 0) >= 0 || !utf8.ValidString(text)) {
			return textNotStorable(nil)
		}
	}
	return nil
}

// PrepareContext is part of gorm.ConnPool.
func (p *pinned) PrepareContext(ctx context.Context, text string) (*sql.Stmt, error) {
	return p.conn.PrepareContext(ctx, text)
}

// ExecContext is part of gorm.ConnPool.
func (p *pinned) ExecContext(ctx context.Context, text string, args ...any) (sql.Result, error) {
	if err := storable(args); err != nil {
		return nil, err
	}
	if len(text) > longStatement {
		return p.conn.ExecContext(ctx, text, args...)
	}
	s, err := p.statement(ctx, text)
	if err != nil {
		return nil, err
	}
	return s.ExecContext(ctx, args...)
}

// QueryContext is part of gorm.ConnPool.
func (p *pinned) QueryContext(ctx context.Context, text string, args ...any) (*sql.Rows, error) {
	if err := storable(args); err != nil {
		return nil, err
	}
	if len(text) > longStatement {
		return p.conn.QueryContext(ctx, text, args...)
	}
	s, err := p.statement(ctx, text)
	if err != nil {
		return nil, err
	}
	return s.QueryContext(ctx, args...)
}

// QueryRowContext is part of gorm.ConnPool.
func (p *pinned) QueryRowContext(ctx context.Context, text string, args ...any) *sql.Row {
	return p.conn.QueryRowContext(ctx, text, args...)
}
