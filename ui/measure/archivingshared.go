//go:build bench

package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// sharedRows is how many rows the index in the database has; WORNWOOD_ARCHIVE_ROWS
// names another number, and WORNWOOD_POSTGRES the database, in which what an
// earlier run has filled is taken as it is.
const sharedRows = 50_000

// measuring lets a server for tests be started by what is no test.
type measuring struct {
	testing.TB // none: what is not said below is not called
	cleanup    []func()
}

func (m *measuring) Helper()           {}
func (m *measuring) Error(args ...any) { fmt.Fprintln(os.Stderr, args...) }
func (m *measuring) Errorf(format string, args ...any) {
	m.Error(fmt.Sprintf(format, args...))
}
func (m *measuring) Fatal(args ...any)                 { panic(fmt.Sprint(args...)) }
func (m *measuring) Fatalf(format string, args ...any) { panic(fmt.Sprintf(format, args...)) }
func (m *measuring) Logf(string, ...any)               {}
func (m *measuring) Cleanup(f func())                  { m.cleanup = append(m.cleanup, f) }

// archivingShared searches, counts and opens a large index on PostgreSQL, with
// the queries of the other index. The peer reads every row of the reports once.
func archivingShared(_, _ string) (list []measurement, err error) {
	defer func() {
		if why := recover(); why != nil {
			err = fmt.Errorf("%v", why)
		}
	}()
	rows, err := numberOf("WORNWOOD_ARCHIVE_ROWS", sharedRows)
	if err != nil {
		return nil, err
	}
	dsn := os.Getenv("WORNWOOD_POSTGRES")
	if dsn == "" {
		// The server ends with the process, and its folder goes with it.
		dsn = servicetest.PostgresServer(&measuring{}).DSN()
	}
	h := sha256.Sum256([]byte("measured"))
	genesis := hex.EncodeToString(h[:])
	x, err := archive.OpenPostgres(context.Background(), dsn, genesis, false)
	if err != nil {
		return nil, err
	}
	took, err := fillShared(x, rows)
	if err != nil {
		return nil, err
	}
	db := sharedDB{dsn, "wornwood_" + genesis[:16], rows}
	if err := db.settle(); err != nil {
		return nil, err
	}
	p99 := func(what string, limit float64, of func(archive.Index, int) ([]float64, error)) measurement {
		return measurement{name: fmt.Sprintf("archive-pg-%s-p99-%d", what, rows), unit: "ms", rounds: 1, limit: limit, absolute: true, peer: db.everyRow,
			ours: func() (float64, error) { return slowest(of(x, rows)) }}
	}
	list = []measurement{p99("find", 100, finding), p99("suggest", 100, suggesting), p99("counts", 100, counting),
		// Each is another value, and all of them are the answer: bounded by rows, not by time.
		p99("counts-serial", float64(rows)/50, countingSerials),
		{name: fmt.Sprintf("archive-pg-open-%d", rows), unit: "s", rounds: 5, limit: 0.5, absolute: true, ours: func() (float64, error) { return openShared(dsn, genesis) }, peer: db.connecting},
		{name: fmt.Sprintf("archive-pg-index-bytes-%d", rows), unit: "B", rounds: 1, limit: 3000, absolute: true, ours: db.bytes, peer: func() (float64, error) { return 3000, nil }}}
	if took > 0 {
		list = append(list, measurement{name: fmt.Sprintf("archive-pg-fill-%d", rows), unit: "s", rounds: 1, limit: float64(rows) / 1000, absolute: true,
			ours: func() (float64, error) { return took, nil },
			peer: func() (float64, error) { ms, err := db.everyRow(); return ms / 1000, err }})
	}
	return list, nil
}

// fillShared fills the index as rebuilding does and tells the seconds; 0 when an
// earlier run has filled it.
func fillShared(x *archive.Postgres, rows int) (float64, error) {
	at, err := x.At()
	if err != nil || at.Seq == int64(rows) {
		return 0, err
	}
	if at.Seq > int64(rows) {
		return 0, fmt.Errorf("the database of WORNWOOD_POSTGRES has %d rows already", at.Seq)
	}
	start := time.Now()
	for from := int(at.Seq) + 1; from <= rows; from += 4096 {
		events, at := archivetest.Events(from, min(4096, rows-from+1))
		if err := x.Apply(events, at); err != nil {
			return 0, err
		}
	}
	return time.Since(start).Seconds(), nil
}

// openShared is the time to open the index for looking and have the first answer.
func openShared(dsn, genesis string) (float64, error) {
	start := time.Now()
	x, err := archive.OpenPostgres(context.Background(), dsn, genesis, true)
	if err != nil {
		return 0, err
	}
	defer x.Close()
	err = firstAnswer(x.Find)
	return time.Since(start).Seconds(), err
}

// sharedDB is the database seen from beside.
type sharedDB struct {
	dsn, schema string
	rows        int
}

func (d sharedDB) ask(do func(context.Context, *pgx.Conn) error) error {
	ctx := context.Background()
	c, err := pgx.Connect(ctx, d.dsn)
	if err != nil {
		return err
	}
	defer c.Close(ctx)
	return do(ctx, c)
}

// settle does what autovacuum does after a while.
func (d sharedDB) settle() error {
	return d.ask(func(ctx context.Context, c *pgx.Conn) error { _, err := c.Exec(ctx, "VACUUM ANALYZE"); return err })
}

func (d sharedDB) everyRow() (float64, error) {
	return timed(func() error {
		return d.ask(func(ctx context.Context, c *pgx.Conn) error {
			var n int64
			return c.QueryRow(ctx, "SELECT count(*) FROM "+d.schema+".report WHERE position('halden'::bytea in doc) > 0").Scan(&n)
		})
	})
}

func (d sharedDB) connecting() (float64, error) {
	ms, err := timed(func() error { return d.ask(func(ctx context.Context, c *pgx.Conn) error { return c.Ping(ctx) }) })
	return ms / 1000, err
}

// bytes are those of all tables and their indexes, for each report.
func (d sharedDB) bytes() (float64, error) {
	var n int64
	err := d.ask(func(ctx context.Context, c *pgx.Conn) error {
		return c.QueryRow(ctx, "SELECT sum(pg_total_relation_size(oid))::bigint FROM pg_class WHERE relkind = 'r' AND relnamespace = $1::regnamespace", d.schema).Scan(&n)
	})
	return float64(n) / float64(d.rows), err
}
