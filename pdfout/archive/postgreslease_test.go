package archive_test

import (
	"context"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// runSQL does statements as the database's owner.
func runSQL(t *testing.T, dsn string, statements ...string) {
	t.Helper()
	c, err := pgx.Connect(context.Background(), dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(context.Background())
	for _, s := range statements {
		if _, err := c.Exec(context.Background(), s); err != nil {
			t.Fatalf("%s: %v", s, err)
		}
	}
}

func schemaOf(genesis string) string { return "wornwood_" + genesis[:16] }

// The one who has the lease is told; one that slept past its time can change
// nothing any more, though nobody told it.
func TestPostgresLease(t *testing.T) {
	dsn, genesis := servicetest.Postgres(t), hash([]byte("lease"))
	one, two := openPostgres(t, dsn, genesis), openPostgres(t, dsn, genesis)
	release, err := one.Lock(archivetest.When)
	if err != nil {
		t.Fatal(err)
	}
	var held *archive.HeldError
	if _, err := two.Lock(archivetest.When); !errors.As(err, &held) || held.PID != os.Getpid() || held.Host == "" {
		t.Fatalf("two have the lease: %v", err)
	}
	if !two.AtWork() {
		t.Error("the other does not see that somebody is at work")
	}
	events, at := archivetest.Events(1, 3)
	if err := one.Apply(events, at); err != nil {
		t.Fatal(err)
	}
	runSQL(t, dsn, "UPDATE "+schemaOf(genesis)+".lease SET until = now() - INTERVAL '1 second'")
	if two.AtWork() {
		t.Error("a lease that ran out is taken for one")
	}
	again, err := two.Lock(archivetest.When)
	if err != nil {
		t.Fatal(err)
	}
	events, at = archivetest.Events(4, 1)
	if err := one.Apply(events, at); !errors.Is(err, archive.ErrConflict) {
		t.Errorf("who lost the lease changes the index: %v", err)
	}
	if err := two.Apply(events, at); err != nil {
		t.Errorf("who has the lease changes nothing: %v", err)
	}
	// Giving back what one has not takes nothing from who has it.
	if err := release(); err != nil {
		t.Error(err)
	}
	if !one.AtWork() {
		t.Error("a lease that was lost was given back")
	}
	if err := again(); err != nil {
		t.Error(err)
	}
	if one.AtWork() {
		t.Error("somebody is still at work")
	}
}

// Whoever opened the index before another moved it changes nothing, with a
// lease or without.
func TestPostgresFence(t *testing.T) {
	dsn, genesis := servicetest.Postgres(t), hash([]byte("fence"))
	one, two := openPostgres(t, dsn, genesis), openPostgres(t, dsn, genesis)
	for _, x := range []*archive.Postgres{one, two} {
		if _, err := x.At(); err != nil {
			t.Fatal(err)
		}
	}
	events, at := archivetest.Events(1, 2)
	if err := one.Apply(events, at); err != nil {
		t.Fatal(err)
	}
	late, end := archivetest.Events(3, 2)
	if err := two.Apply(late, end); !errors.Is(err, archive.ErrConflict) || strings.Contains(err.Error(), "\n") {
		t.Errorf("moved by two: %v", err)
	}
	if got, err := two.At(); err != nil || got != at {
		t.Errorf("at %v, want %v (%v)", got, at, err)
	}
	if err := two.Apply(late, end); err != nil { // having looked again
		t.Error(err)
	}
}

// Several archives live in one database and know nothing of one another.
func TestPostgresTwoArchives(t *testing.T) {
	dsn := servicetest.Postgres(t)
	one, two := openPostgres(t, dsn, hash([]byte("one"))), openPostgres(t, dsn, hash([]byte("two")))
	events, at := archivetest.Events(1, 5)
	if err := one.Apply(events, at); err != nil {
		t.Fatal(err)
	}
	release, err := one.Lock(archivetest.When)
	if err != nil {
		t.Fatal(err)
	}
	defer release()
	if got, err := two.At(); err != nil || got != (archive.Position{}) || two.AtWork() {
		t.Errorf("the other archive is at %v (%v), at work %v", got, err, two.AtWork())
	}
	if f, err := two.Find(mustParse(t, ""), 0, 10); err != nil || len(f.Rows) != 0 {
		t.Errorf("the other archive finds %v (%v)", f, err)
	}
}

func mustParse(t *testing.T, line string) *archive.Query {
	t.Helper()
	q, err := archive.ParseQuery(line)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// Emptying that was cut short leaves an index that is known to be of no use.
func TestPostgresResetCutShort(t *testing.T) {
	dsn, genesis := servicetest.Postgres(t), hash([]byte("reset"))
	x := openPostgres(t, dsn, genesis)
	if err := x.Apply(archivetest.Events(1, 5)); err != nil {
		t.Fatal(err)
	}
	for _, version := range []string{"emptying 1", "0", "dropping"} {
		runSQL(t, dsn, "UPDATE "+schemaOf(genesis)+".place SET version = '"+version+"'")
		if _, err := x.At(); !errors.Is(err, archive.ErrIndex) {
			t.Errorf("%s: %v", version, err)
		}
		if err := x.Reset(); err != nil {
			t.Fatal(err)
		}
		if at, err := x.At(); err != nil || at != (archive.Position{}) {
			t.Errorf("%s: emptied it is at %v (%v)", version, at, err)
		}
		if err := x.Apply(archivetest.Events(1, 5)); err != nil {
			t.Error(err)
		}
		if err := x.Check(); err != nil {
			t.Error(err)
		}
	}
}

func TestPostgresMistakes(t *testing.T) {
	dsn, genesis := servicetest.Postgres(t), hash([]byte("mistakes"))
	for _, c := range []struct{ dsn, genesis, want string }{
		{"nonsense://x", genesis, "cannot be read"},
		{dsn, "abc", "no SHA-256"},
		{strings.Replace(dsn, "wornwood:", "wornwood:x", 1), genesis, "does not let this user in"},
		{strings.Replace(dsn, "/test_", "/never_", 1), genesis, "does not let this user in"},
	} {
		x, err := archive.OpenPostgres(context.Background(), c.dsn, c.genesis, false)
		if err == nil {
			x.Close()
		}
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v", c.want, err)
		}
		if password, _, _ := strings.Cut(strings.TrimPrefix(dsn, "postgres://wornwood:"), "@"); err != nil && strings.Contains(err.Error(), password) {
			t.Errorf("%s: the error tells the password", c.want)
		}
	}
	if _, err := archive.OpenPostgres(context.Background(), dsn, genesis, true); !errors.Is(err, archive.ErrIndex) {
		t.Errorf("an index that is not there is open for reading: %v", err)
	}
}
