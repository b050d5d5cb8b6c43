package servicetest

import (
	"context"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

func connect(t *testing.T, dsn string) *pgx.Conn {
	t.Helper()
	c, err := pgx.Connect(t.Context(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Close(context.Background()) }) // the server may be gone by then
	return c
}

func run(t *testing.T, c *pgx.Conn, statement string) {
	t.Helper()
	if _, err := c.Exec(t.Context(), statement); err != nil {
		t.Fatalf("%s: %v", statement, err)
	}
}

func value[T any](t *testing.T, c *pgx.Conn, query string) (v T) {
	t.Helper()
	if err := c.QueryRow(t.Context(), query).Scan(&v); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	return v
}

func TestPostgres(t *testing.T) {
	began := time.Now()
	a := Postgres(t)
	t.Logf("first database after %v", time.Since(began))
	began = time.Now()
	b := Postgres(t)
	t.Logf("second database after %v", time.Since(began))
	one, two := connect(t, a), connect(t, b)
	run(t, one, "CREATE TABLE report (name text)")
	run(t, one, "INSERT INTO report VALUES ('ä'), ('z'), ('Z')")
	if n := value[int](t, two, "SELECT count(*) FROM pg_tables WHERE schemaname = 'public'"); n != 0 {
		t.Errorf("the second database already has %d tables; every call makes a fresh one", n)
	}
	if s := value[string](t, one, "SHOW fsync"); s != "on" {
		t.Errorf("fsync is %s; tests of durability need it on", s)
	}
	if s := value[string](t, one, "SELECT string_agg(name, ' ' ORDER BY name) FROM report"); s != "ä z Z" {
		t.Errorf("names sort as %s; a server that sorts by language has ä z Z", s)
	}
	if s := value[string](t, one, "SELECT upper('ä')"); s != "Ä" {
		t.Errorf("upper of ä is %s", s)
	}
}

func TestServerGoesAndComesBack(t *testing.T) {
	s := PostgresServer(t)
	run(t, connect(t, s.DSN()), "CREATE TABLE report (n int)")
	want := 0
	for _, c := range []struct {
		name string
		do   func()
	}{
		{"restart", s.Restart},
		{"kill and start", func() { s.Kill9(); s.Start() }},
		{"stop and start", func() { s.Stop(); s.Start() }},
	} {
		old := connect(t, s.DSN())
		run(t, old, "INSERT INTO report VALUES (1)")
		want++
		open := connect(t, s.DSN())
		run(t, open, "BEGIN")
		run(t, open, "INSERT INTO report VALUES (1)")
		began := time.Now()
		c.do()
		t.Logf("%s: %v", c.name, time.Since(began))
		if _, err := old.Exec(t.Context(), "SELECT 1"); err == nil {
			t.Errorf("%s: a connection from before it still answers", c.name)
		}
		if n := value[int](t, connect(t, s.DSN()), "SELECT count(*) FROM report"); n != want {
			t.Errorf("%s: %d rows, want the %d committed ones", c.name, n, want)
		}
	}
	s.Stop()
	if _, err := pgx.Connect(t.Context(), s.DSN()); err == nil {
		t.Error("the stopped server answers")
	}
}
