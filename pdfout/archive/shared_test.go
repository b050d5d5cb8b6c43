package archive_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// indexOf takes the password out of a test's DSN and puts it where a user has
// it.
func indexOf(t *testing.T, dsn string) string {
	t.Helper()
	u, err := url.Parse(dsn)
	if err != nil {
		t.Fatal(err)
	}
	password, _ := u.User.Password()
	t.Setenv("PGPASSWORD", password)
	u.User = url.User(u.User.Username())
	return u.String()
}

func makeShared(t *testing.T, files, index string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "shared")
	if _, err := archive.MakeShared(context.Background(), dir, archive.SharedOptions{Name: "Test", Files: files, Index: index}, archivetest.When); err != nil {
		t.Fatal(err)
	}
	return dir
}

// PostgreSQL and an object store together pass what every backend must.
func TestPostgresAndS3Conformance(t *testing.T) {
	archivetest.Run(t, func(t *testing.T) archivetest.Backend {
		srv := servicetest.S3(t)
		at := bucketOf(t, srv, srv.Endpoint, "shop/")
		if err := archive.MakeS3(context.Background(), at, "Test", false, archivetest.When); err != nil {
			t.Fatal(err)
		}
		s, err := archive.OpenS3(context.Background(), at)
		if err != nil {
			t.Fatal(err)
		}
		settings, err := s.Settings()
		if err != nil {
			t.Fatal(err)
		}
		x, err := archive.OpenPostgres(context.Background(), servicetest.Postgres(t), hash(settings), false)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			if err := x.Close(); err != nil {
				t.Error(err)
			}
		})
		return archivetest.Backend{Store: s, Index: x, Lock: x, Damage: func(r archive.Ref) error { return damage(filepath.Join(srv.Dir, "shop"), r) }}
	})
}

// onShared runs a check on a shared archive of both kinds; where names the
// folder in which its files lie in the end.
func onShared(t *testing.T, check func(t *testing.T, dir, where string)) {
	t.Run("database and folder", func(t *testing.T) {
		where := filepath.Join(t.TempDir(), "files")
		check(t, makeShared(t, where, indexOf(t, servicetest.Postgres(t))), where)
	})
	t.Run("database and object store", func(t *testing.T) {
		srv := servicetest.S3(t)
		at := bucketOf(t, srv, srv.Endpoint, "shop/")
		check(t, makeShared(t, at.String(), indexOf(t, servicetest.Postgres(t))), filepath.Join(srv.Dir, "shop"))
	})
}

// From making it to bringing it back: whoever opens it does not know where it is.
func TestSharedWholeWay(t *testing.T) {
	onShared(t, func(t *testing.T, dir, where string) {
		a := reopen(t, dir, archive.Options{})
		in := folderOf(t, 5)
		write(t, filepath.Join(in, "bad.pdf"), []byte("no report"))
		if tally, _ := file(t, a, in); tally.Filed != 5 || tally.Refused != 1 {
			t.Errorf("%+v", tally)
		}
		if tally, _ := file(t, a, in); tally.There != 5 || tally.Filed != 0 {
			t.Errorf("the second time: %+v", tally)
		}
		if rows := find(t, a, "serial:410O2"); len(rows) != 1 || rows[0].Serial != "41002" {
			t.Errorf("by serial number: %+v", rows)
		}
		second := join(t, dir)
		if _, err := archive.Open(context.Background(), second, archive.Options{}); !isHeld(err) {
			t.Errorf("the second filer: %v", err)
		}
		if rows := find(t, reopen(t, second, archive.Options{ReadOnly: true}), "halden"); len(rows) != 3 {
			t.Errorf("the second machine finds %d", len(rows))
		}
		clean(t, a)
		ref := archive.Ref{Area: archive.Records, Hash: hash(made()[3])}
		to := filepath.Join(t.TempDir(), "copy")
		whole(t, backup(t, dir, to))
		if err := damage(where, ref); err != nil {
			t.Fatal(err)
		}
		r, err := a.Check(context.Background(), archive.CheckOptions{Copy: to})
		if err != nil || len(r.Restored) != 1 || r.Restored[0] != ref || len(r.Findings) != 0 {
			t.Errorf("mended: %+v (%v)", r, err)
		}
		if n, err := a.Rebuild(context.Background()); err != nil || n.Reports != 5 {
			t.Errorf("rebuilt %+v (%v)", n, err)
		}
		var csv bytes.Buffer
		if err := archive.WriteCSV(&csv, find(t, a, "")); err != nil || strings.Count(csv.String(), "\n") != 6 {
			t.Errorf("exported (%v):\n%s", err, csv.String())
		}
		if p, err := a.Prove(archive.Head{Seq: 0, Hash: p0(t, to)}, 0); err != nil || !p.Holds {
			t.Errorf("%+v (%v)", p, err)
		}
		want := rowsOfOpen(t, a)
		whole(t, backup(t, dir, to))
		if err := a.Close(); err != nil {
			t.Fatal(err)
		}
		if got := rowsOf(t, to); got != want {
			t.Errorf("the copy in a folder of its own finds\n%s\nand the shared archive\n%s", got, want)
		}
	})
}

func isHeld(err error) bool {
	var held *archive.HeldError
	return errors.As(err, &held) && held.PID == os.Getpid()
}

// p0 is the hash that stands before the first line.
func p0(t *testing.T, dir string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "archive.json"))
	if err != nil {
		t.Fatal(err)
	}
	return hash(b)
}

// Two machines file the same reports at the same moment, each trying again
// until its turn comes.
func TestTwoFilersOfShared(t *testing.T) {
	onShared(t, func(t *testing.T, dir, _ string) {
		in, second := folderOf(t, 8), join(t, dir)
		results := make(chan error, 2)
		for _, d := range []string{dir, second} {
			go func() {
				for {
					a, err := archive.Open(context.Background(), d, archive.Options{})
					var held *archive.HeldError
					if errors.As(err, &held) {
						time.Sleep(20 * time.Millisecond)
						continue
					}
					if err == nil {
						_, err = a.File(context.Background(), []string{in}, archive.FileOptions{})
						err = errors.Join(err, a.Close())
					}
					results <- err
					return
				}
			}()
		}
		for range 2 {
			if err := <-results; err != nil {
				t.Error(err)
			}
		}
		a := reopen(t, dir, archive.Options{})
		filedOnce(t, a, nil)
		if rows := find(t, a, ""); len(rows) != 8 {
			t.Errorf("%d filed", len(rows))
		}
	})
}

// The store drops one request in ten, the database one in sixty, where a
// transaction has about fifteen, and is killed and started anew in
// the middle: nothing that was told is missing, and nothing there twice.
func TestSharedInTrouble(t *testing.T) {
	srv := servicetest.S3(t)
	db := servicetest.PostgresServer(t)
	files := servicetest.Dropping(t, srv.Endpoint, 10)
	index := servicetest.DroppingPostgres(t, db.DSN(), 60)
	dir := makeShared(t, bucketOf(t, srv, files.Endpoint, "").String(), indexOf(t, index.Endpoint))
	a := reopen(t, dir, archive.Options{})
	told, restarted := map[string]bool{}, make(chan struct{})
	in := t.TempDir()
	for i, b := range many()[:120] {
		write(t, filepath.Join(in, fmt.Sprintf("report-%d.pdf", i)), b)
	}
	n := 0
	began := time.Now()
	tally, err := a.File(context.Background(), []string{in}, archive.FileOptions{Done: func(o archive.Outcome) {
		if told[o.Hash] = true; n == 40 {
			go func() { db.Kill9(); time.Sleep(time.Second); db.Start(); close(restarted) }()
		}
		n++
	}})
	if err != nil || tally.Filed != 120 {
		t.Errorf("%+v after %v (%v)", tally, time.Since(began), err)
	}
	if len(told) > 40 {
		<-restarted
	}
	filedOnce(t, a, told)
	for name, p := range map[string]*servicetest.Proxy{"store": files, "database": index} {
		requests, before, after := p.Counts()
		t.Logf("%s: %d requests, %d dropped before and %d after they were carried out", name, requests, before, after)
	}
}

// A report that is removed is removed from the object store, and from a backup
// there; the rest is what it was. A check mends from a copy in a store.
func TestRemovedFromObjectStore(t *testing.T) {
	srv, backups := servicetest.S3(t), servicetest.S3(t)
	dir := sharedS3(t, bucketOf(t, srv, srv.Endpoint, "shop/"))
	to := bucketOf(t, backups, backups.Endpoint, "copy/").String()
	a := reopen(t, dir, archive.Options{})
	file(t, a, folderOf(t, 3))
	whole(t, backup(t, dir, to))
	gone, keeper := hash(made()[1]), newKey(t, "K. Marlow")
	if _, err := a.Remove(removal(gone, keeper)); err != nil {
		t.Fatal(err)
	}
	if r := backup(t, dir, to); r.Removed != 1 || len(r.Findings) > 0 {
		t.Errorf("%+v", r)
	}
	for _, where := range []string{srv.Dir, backups.Dir} {
		for _, area := range []string{"files", "records", "verdicts", "incoming"} {
			if list, err := filepath.Glob(filepath.Join(where, "*", area, gone[:2], gone+"*")); err != nil || len(list) > 0 {
				t.Errorf("left: %v (%v)", list, err)
			}
		}
	}
	kept := archive.Ref{Area: archive.Files, Hash: hash(made()[2])}
	if err := damage(filepath.Join(srv.Dir, "shop"), kept); err != nil {
		t.Fatal(err)
	}
	r, err := a.Check(context.Background(), archive.CheckOptions{Copy: to})
	if err != nil || len(r.Restored) != 1 || r.Restored[0] != kept || r.Wrong() {
		t.Errorf("%+v (%v)", r, err)
	}
	if n, err := a.Rebuild(context.Background()); err != nil || n.Reports != 2 {
		t.Errorf("%+v (%v)", n, err)
	}
}
