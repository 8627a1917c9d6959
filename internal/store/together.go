package store

import (
	"context"
	"errors"

	"gorm.io/gorm"

	"bareframe/internal/fault"
)

// Waiting for the disk is most of what a short write costs. When several people
// log hours at once, their use cases therefore share one SQLite transaction and
// one wait: group commit. Each runs alone inside a savepoint of its own, so that
// one that fails is undone alone, and none returns before the commit that holds
// it, so that what was acknowledged is on the disk. A refusal waits as well,
// because it may rest on what an earlier member of the group wrote.
//
// Whoever holds the writer's connection may leave the group open for the next
// in line instead of committing it, but only while somebody is in line: the last
// one commits. When the commit fails, or SQLite undoes the transaction by itself
// because the disk is full, every member fails with Unavailable and nothing of
// the group is stored.
//
// Members' statements are not interrupted when a caller gives up: SQLite undoes
// the whole transaction with an interrupted write, the others' work too.

// mostTogether bounds a group, so that the first member does not wait for long.
const mostTogether = 16

// group is one open transaction with several members.
type group struct {
	size   int
	broken error         // why it cannot be committed; set by the holder of the writer
	done   chan struct{} // closed once err is final
	err    error         // what every member fails with
}

// takeWriter waits in line for the writing connection.
func (b *sqliteBackend) takeWriter(ctx context.Context) (*pinned, error) {
	b.inLine.Add(1)
	select {
	case p := <-b.writer:
		b.inLine.Add(-1)
		return p, nil
	case <-ctx.Done():
		go func() { // a group that was left open for this caller must not stay open
			p := <-b.writer
			b.inLine.Add(-1)
			b.handOn(p)
		}()
		return nil, ctx.Err()
	}
}

// handOn passes the writer to the next in line; when there is none, or the
// group is full or broken, it ends the group first.
func (b *sqliteBackend) handOn(p *pinned) {
	if g := b.group; g != nil && (g.broken != nil || g.size >= mostTogether || b.inLine.Load() == 0) {
		b.settle(p)
	}
	b.writer <- p
}

// settle commits the open group, if there is one. The caller holds the writer.
func (b *sqliteBackend) settle(p *pinned) {
	g := b.group
	if g == nil {
		return
	}
	b.group = nil
	defer close(g.done)
	ctx := context.Background()
	if g.broken == nil {
		g.broken = p.run(ctx, "COMMIT")
	}
	if g.broken == nil {
		return
	}
	if g.err = translateSQLite(g.broken); fault.KindOf(g.err) != fault.Unavailable {
		g.err = unavailable(g.broken)
	}
	if p.run(ctx, "ROLLBACK") != nil {
		p.discard() // SQLite undid it already, or the state is not known
	}
}

// writeTogether is write for short use cases, which may share a commit.
func (b *sqliteBackend) writeTogether(ctx context.Context, fn func(db *gorm.DB) error) error {
	p, err := b.takeWriter(ctx)
	if err != nil {
		return err
	}
	g, err := b.join(ctx, p)
	if err != nil {
		b.handOn(p)
		return translateSQLite(err)
	}
	err = b.member(ctx, p, g, fn)
	<-g.done
	if g.err != nil {
		return g.err
	}
	return err
}

// join returns the open group, or begins one.
func (b *sqliteBackend) join(ctx context.Context, p *pinned) (*group, error) {
	if b.group == nil {
		ctx = context.WithoutCancel(ctx)
		if err := p.open(ctx); err != nil {
			return nil, err
		}
		if err := p.run(ctx, "BEGIN IMMEDIATE"); err != nil {
			p.discard()
			return nil, err
		}
		b.group = &group{done: make(chan struct{})}
	}
	b.group.size++
	return b.group, nil
}

var errPanicked = errors.New("store: a use case panicked")

// member runs one use case inside its savepoint and hands the writer on, also
// when fn panics.
func (b *sqliteBackend) member(ctx context.Context, p *pinned, g *group, fn func(db *gorm.DB) error) (err error) {
	defer b.handOn(p)
	steady := context.WithoutCancel(ctx)
	if err := p.run(steady, "SAVEPOINT member"); err != nil {
		g.broken = err
		return translateSQLite(err)
	}
	err = errPanicked // unless what follows says otherwise
	defer func() {
		if err == nil {
			return
		}
		if undo := errors.Join(p.run(steady, "ROLLBACK TO member"), p.run(steady, "RELEASE member")); undo != nil {
			g.broken = errors.Join(err, undo) // SQLite undid the whole transaction
		}
	}()
	db := b.base.Session(&gorm.Session{NewDB: true, Context: steady})
	db.Statement.ConnPool = p
	if err = fn(db); err != nil {
		return err
	}
	if err = ctx.Err(); err != nil {
		return err
	}
	err = translateSQLite(p.run(steady, "RELEASE member"))
	return err
}
