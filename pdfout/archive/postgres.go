package archive

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"wornwood/capture/blob"
)

// Postgres is an index, and the lock, of an archive that several machines
// share, on PostgreSQL or an engine that speaks its wire protocol; SHARED.md
// says which and how. Each archive has a schema of its own, named by its
// genesis. A lost connection, a server that starts anew and a transaction that
// must be done again are waited for, for at most patience.
type Postgres struct {
	// Patience is how long a server that does not answer is waited for; set it
	// before the first use.
	Patience time.Duration

	pool     *pgxpool.Pool
	schema   string
	genesis  string
	where    string // host and database, for people
	readOnly bool

	lease lease

	mu    sync.Mutex // for Apply and Reset, and what follows
	known bool
	at    Position // of the index as this process left it
}

const (
	pgPatience = 20 * time.Second
	pgAttempt  = 5 * time.Minute // of one attempt at anything
	pgConnect  = 5 * time.Second
)

// OpenPostgres opens the index of the archive of a genesis, the SHA-256 of its
// archive.json, in the database of a DSN (postgres://…, as pgx reads it), and
// makes an empty one where there is none. readOnly changes nothing and wants
// one that is there, else ErrIndex, wrapped.
func OpenPostgres(ctx context.Context, dsn, genesis string, readOnly bool) (*Postgres, error) {
	if !blob.ValidID(genesis) {
		return nil, fmt.Errorf("open index: %.70q is no SHA-256 of an archive", genesis)
	}
	conf, err := pgxpool.ParseConfig(dsn)
	if err != nil {
		// The error of the parser hides the password; the DSN itself is not told.
		return nil, fmt.Errorf("open index: the address of the database cannot be read; it reads postgres://USER@HOST:PORT/DATABASE (%w)", err)
	}
	conf.ConnConfig.ConnectTimeout = pgConnect
	x := &Postgres{Patience: pgPatience, genesis: genesis, schema: "wornwood_" + genesis[:16], readOnly: readOnly,
		where: fmt.Sprintf("%s on %s:%d", conf.ConnConfig.Database, conf.ConnConfig.Host, conf.ConnConfig.Port)}
	if x.pool, err = pgxpool.NewWithConfig(ctx, conf); err != nil {
		return nil, fmt.Errorf("open index: %w", err)
	}
	if err := x.open(ctx); err != nil {
		x.pool.Close()
		return nil, err
	}
	return x, nil
}

// open sees that the tables are there.
func (x *Postgres) open(ctx context.Context) error {
	x.lease.x = x
	err := x.tryIn(ctx, x.see)
	var pg *pgconn.PgError
	if errors.As(err, &pg) && missing(pg) {
		if x.readOnly {
			return fmt.Errorf("open index in %s: %w", x.where, ErrIndex)
		}
		err = x.create(ctx)
		if err == nil {
			err = x.tryIn(ctx, x.see)
		}
	}
	return x.words("open index", err)
}

// see looks whether the index is that of the archive.
func (x *Postgres) see(ctx context.Context) error {
	var version, genesis, head string
	var seq, end int64
	err := x.pool.QueryRow(ctx, x.sql("place")).Scan(&version, &genesis, &seq, &head, &end)
	if errors.Is(err, pgx.ErrNoRows) {
		return &pgconn.PgError{Code: "42P01", Message: "the tables were not made to the end"}
	}
	if err == nil && genesis != x.genesis {
		err = fmt.Errorf("the schema %s belongs to another archive; give this one a database of its own", x.schema)
	}
	return err
}

// missing tells whether the error is that there is no such schema or table.
func missing(e *pgconn.PgError) bool { return e.Code == "42P01" || e.Code == "3F000" }

// create makes what is not there. Each statement stands alone, because engines
// differ in what they allow between definitions, and is tried again alone.
func (x *Postgres) create(ctx context.Context) error {
	exec := func(statement string, args ...any) error {
		return x.tryIn(ctx, func(ctx context.Context) error {
			_, err := x.pool.Exec(ctx, statement, args...)
			return err
		})
	}
	for i, t := range pgTables {
		if err := exec(x.in(t)); err != nil {
			// A schema that somebody with more rights has made is as good.
			var pg *pgconn.PgError
			if i == 0 && errors.As(err, &pg) && pg.Code == "42501" {
				continue
			}
			return err
		}
	}
	if err := exec(x.sql("begin place"), pgVersion, x.genesis); err != nil {
		return err
	}
	return exec(x.sql("begin lease"))
}

// Close gives the lease, where this process has it, and the connections back.
func (x *Postgres) Close() error {
	var err error
	if _, token := x.lease.holds(); token != "" {
		err = x.lease.release(token)
	}
	x.pool.Close()
	return err
}

// passing tells whether doing it again may help.
func passing(err error) bool {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		switch pg.Code {
		case "40001", "40P01", "40003": // serialization failure, deadlock, an answer that is not known
			return true
		case "23505": // two processes made the same table at one moment
			return pg.TableName == "pg_namespace" || pg.TableName == "pg_class" || pg.TableName == "pg_type"
		case "57P01", "57P02", "57P03", "57P05", "53300", "25P02": // going down, starting, too many
			return true
		}
		return pg.Code[:2] == "08"
	}
	var network net.Error
	var connect *pgconn.ConnectError
	return errors.As(err, &connect) || errors.As(err, &network) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed) || errors.Is(err, pgx.ErrTxClosed) || errors.Is(err, pgconn.ErrConnClosed) ||
		errors.Is(err, errLost) || pgconn.SafeToRetry(err)
}

var errLost = errors.New("the connection was lost")

// try does something, again where that may help, for as long as patience lasts.
func (x *Postgres) try(do func(ctx context.Context) error) error {
	return x.tryIn(context.Background(), do)
}

func (x *Postgres) tryIn(ctx context.Context, do func(ctx context.Context) error) error {
	until := time.Now().Add(x.Patience)
	for wait := 20 * time.Millisecond; ; wait = min(2*wait, time.Second) {
		one, cancel := context.WithTimeout(ctx, pgAttempt)
		err := do(one)
		gone := one.Err()
		cancel()
		if err == nil || gone != nil || !passing(err) || refusedLogin(err) || time.Now().Add(wait).After(until) {
			return err
		}
		select {
		case <-ctx.Done():
			return err
		case <-time.After(wait + rand.N(wait)):
		}
	}
}

// refusedLogin tells that the server answers and does not let us in.
func refusedLogin(err error) bool {
	var pg *pgconn.PgError
	return errors.As(err, &pg) && (pg.Code[:2] == "28" || pg.Code == "3D000")
}

// words says what went wrong for people; nil for nil.
func (x *Postgres) words(what string, err error) error {
	var pg *pgconn.PgError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, ErrIndex) || errors.Is(err, ErrConflict):
		return fmt.Errorf("%s: %w", what, err)
	case errors.As(err, &pg) && missing(pg):
		return fmt.Errorf("%s in %s: %w", what, x.where, ErrIndex)
	case errors.As(err, &pg) && (pg.Code[:2] == "28" || pg.Code == "3D000"):
		return fmt.Errorf("%s: the database %s does not let this user in (%s); check user, password and database", what, x.where, pg.Message)
	case errors.As(err, &pg) && pg.Code == "42501":
		return fmt.Errorf("%s: this user of the database %s may not do that (%s); whoever keeps the archive gives roles, see SHARED.md", what, x.where, pg.Message)
	case passing(err):
		return fmt.Errorf("%s: the database %s does not answer; nothing filed is lost, try again when it runs (%w)", what, x.where, err)
	}
	return fmt.Errorf("%s: the database %s says: %w", what, x.where, err)
}

// look reads in one view of the database.
func (x *Postgres) look(what string, do func(ctx context.Context, tx pgx.Tx) error) error {
	return x.words(what, x.try(func(ctx context.Context) error {
		return pgx.BeginTxFunc(ctx, x.pool, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly}, func(tx pgx.Tx) error { return do(ctx, tx) })
	}))
}
