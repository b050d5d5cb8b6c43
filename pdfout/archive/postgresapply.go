package archive

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// At is how far the index follows the log.
func (x *Postgres) At() (Position, error) {
	x.mu.Lock()
	defer x.mu.Unlock()
	return x.position()
}

func (x *Postgres) position() (Position, error) {
	var at Position
	err := x.try(func(ctx context.Context) (err error) {
		at, err = x.readPosition(ctx)
		return err
	})
	x.known, x.at = err == nil, at
	return at, x.words("read index", err)
}

func (x *Postgres) readPosition(ctx context.Context) (at Position, err error) {
	var version, genesis string
	err = x.pool.QueryRow(ctx, x.sql("place")).Scan(&version, &genesis, &at.Seq, &at.Hash, &at.End)
	if errors.Is(err, pgx.ErrNoRows) || (err == nil && version != pgVersion) {
		return Position{}, unusable(fmt.Errorf("it is of version %q", version))
	}
	return at, err
}

// errMoved says that the fence held: the index, or the lease, is another's.
var errMoved = fmt.Errorf("another process changed the index or took the lock meanwhile, nothing was changed by this one; open the archive again: %w", ErrConflict)

// Apply takes in lines of the log in one transaction, which fails where the
// index does not stand where this process left it. An answer that was lost is
// looked for: what was done is not done twice.
func (x *Postgres) Apply(events []Event, at Position) error {
	x.mu.Lock()
	defer x.mu.Unlock()
	if !x.known {
		if _, err := x.position(); err != nil {
			return err
		}
	}
	tried := false
	err := x.try(func(ctx context.Context) error {
		if tried {
			switch now, err := x.readPosition(ctx); {
			case err != nil:
				return err
			case now == at && at != x.at:
				return nil // it was done
			case now != x.at:
				return errMoved
			}
		}
		tried = true
		return x.change(ctx, func(tx pgx.Tx) error { return x.apply(ctx, tx, events, at) })
	})
	if err != nil {
		x.known = false
		return x.words("change index", err)
	}
	x.at = at
	return nil
}

// change is one transaction that writes.
func (x *Postgres) change(ctx context.Context, do func(tx pgx.Tx) error) error {
	if x.readOnly {
		return errors.New("the index is open for reading only")
	}
	return pgx.BeginTxFunc(ctx, x.pool, pgx.TxOptions{IsoLevel: pgx.RepeatableRead}, do)
}

func (x *Postgres) apply(ctx context.Context, tx pgx.Tx, events []Event, at Position) error {
	fence, token := x.lease.holds()
	done, err := tx.Exec(ctx, x.sql("move place"), x.at.Seq, x.at.Hash, at.Seq, at.Hash, at.End, fence, token, pgVersion)
	if err != nil {
		return err
	}
	if done.RowsAffected() != 1 {
		return errMoved
	}
	w := &pgWriter{x: x, ctx: ctx, tx: tx}
	for _, e := range events {
		if e.Kind == Filed && e.Row != nil {
			w.rows = append(w.rows, e.Row)
			continue
		}
		if e.Kind == Rejected {
			w.queue("add refused", pgHash(e.File), e.Seq)
			continue
		}
		if e.Kind == Removed {
			if err := w.flush(false); err != nil {
				return err
			}
		}
		if e.Kind.note() {
			if err := w.note(e.Entry); err != nil {
				return err
			}
		}
	}
	return w.flush(false)
}

// note keeps a line; one of a removal takes the report out as well.
func (w *pgWriter) note(e Entry) error {
	line, err := json.Marshal(e)
	if err != nil {
		return err
	}
	w.queue("add note", e.Seq, string(e.Kind), line)
	if e.Kind != Removed {
		return nil
	}
	if err := w.send(); err != nil {
		return err
	}
	var seq int64
	var doc []byte
	err = w.tx.QueryRow(w.ctx, w.x.sql("by hash"), pgHash(e.File)).Scan(&seq, &doc)
	if errors.Is(err, pgx.ErrNoRows) {
		w.queue("unrefuse", pgHash(e.File))
		return nil
	}
	if err != nil {
		return err
	}
	row, err := unpackDoc(doc)
	if err != nil {
		return err
	}
	row.Seq = seq
	w.rows = []*Row{row}
	return w.flush(true)
}

// Reset empties the index: it is marked first, so that one that was emptied by
// half is taken for unusable.
func (x *Postgres) Reset() error {
	x.mu.Lock()
	defer x.mu.Unlock()
	x.known = false
	err := x.try(x.reset)
	if err == nil {
		x.known, x.at = true, Position{}
	}
	return x.words("empty index", err)
}

func (x *Postgres) reset(ctx context.Context) error {
	if x.readOnly {
		return errors.New("the index is open for reading only")
	}
	var version string
	err := x.pool.QueryRow(ctx, x.sql("place")).Scan(&version, new(string), new(int64), new(string), new(int64))
	var pg *pgconn.PgError
	switch {
	case errors.As(err, &pg) && missing(pg):
		return x.create(ctx)
	case err != nil && !errors.Is(err, pgx.ErrNoRows):
		return err
	}
	const emptying = "emptying " + pgVersion
	how := "empty"
	if version != pgVersion && version != emptying {
		how = "drop"
	}
	mark := emptying
	if how == "drop" {
		mark = "dropping"
	}
	// Who may not do the rest is to change nothing.
	if _, err := x.pool.Exec(ctx, x.sql("empty")+"keeping"); err != nil {
		return err
	}
	if _, err := x.pool.Exec(ctx, x.sql("mark place"), mark); err != nil {
		return err
	}
	for _, t := range pgEmptied {
		if _, err := x.pool.Exec(ctx, x.sql(how)+t); err != nil {
			return err
		}
	}
	if err := x.create(ctx); err != nil && how == "drop" {
		return err
	}
	_, err = x.pool.Exec(ctx, x.sql("mark place"), pgVersion)
	return err
}
