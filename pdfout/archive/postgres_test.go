package archive_test

import (
	"context"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// openPostgres opens the index of the archive of a genesis, for writing.
func openPostgres(t testing.TB, dsn, genesis string) *archive.Postgres {
	t.Helper()
	x, err := archive.OpenPostgres(context.Background(), dsn, genesis, false)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := x.Close(); err != nil {
			t.Error(err)
		}
	})
	return x
}

// The index and the lease of a shared archive pass what any must pass.
func TestPostgresConformance(t *testing.T) {
	archivetest.Run(t, func(t *testing.T) archivetest.Backend {
		dir := t.TempDir() + "/archive"
		if err := archive.Make(dir, "Test", false, archivetest.When); err != nil {
			t.Fatal(err)
		}
		s, err := archive.OpenFolder(dir)
		if err != nil {
			t.Fatal(err)
		}
		x := openPostgres(t, servicetest.Postgres(t), hash([]byte(dir)))
		return archivetest.Backend{Store: s, Index: x, Lock: x, Damage: func(r archive.Ref) error { return damage(dir, r) }}
	})
}

// Random rows and queries, against going through the rows one by one.
func TestPostgresProperty(t *testing.T) {
	archivetest.Property(t, openPostgres(t, servicetest.Postgres(t), hash([]byte("property"))))
}
