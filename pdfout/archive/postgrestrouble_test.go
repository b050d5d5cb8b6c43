package archive_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// shared opens the folder of an archive with the index and the lock in a
// database; the archive closes the index.
func shared(t *testing.T, dir, dsn string, patience time.Duration) *archive.Archive {
	t.Helper()
	s, err := archive.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	settings, err := s.Settings()
	if err != nil {
		t.Fatal(err)
	}
	x, err := archive.OpenPostgres(context.Background(), dsn, hash(settings), false)
	if err != nil {
		t.Fatal(err)
	}
	x.Patience = patience
	return reopen(t, dir, archive.Options{Store: s, Index: x, Lock: x})
}

func madeDir(t *testing.T) string {
	t.Helper()
	dir := t.TempDir() + "/archive"
	if err := archive.Make(dir, "Test", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	return dir
}

// told are the hashes that filing told as filed or as filed before.
func told(out []archive.Outcome) map[string]bool {
	m := map[string]bool{}
	for _, o := range out {
		if o.Result == archive.IsFiled || o.Result == archive.IsThere {
			m[o.Hash] = true
		}
	}
	return m
}

// The server is restarted and killed up to six times while 210 reports are
// filed: whoever files notices nothing but the time it takes.
func TestPostgresRestartedWhileFiling(t *testing.T) {
	in := folderOfMany(t)
	srv := servicetest.PostgresServer(t)
	a := shared(t, madeDir(t), srv.DSN(), time.Minute)
	done, ended := make(chan struct{}), make(chan int)
	go func() {
		n := 0
		defer func() { ended <- n }()
		for {
			select {
			case <-done:
				return
			case <-time.After(400 * time.Millisecond):
			}
			if n == 6 {
				<-done
				return
			}
			if n++; n%2 == 1 {
				srv.Kill9()
				srv.Start()
			} else {
				srv.Restart()
			}
		}
	}()
	tally, out := file(t, a, in)
	close(done)
	n := <-ended
	t.Logf("filed over %d restarts", n)
	if n < 2 {
		t.Errorf("only %d restarts: the test is too fast to show anything", n)
	}
	if tally.Filed != 210 {
		t.Errorf("%+v", tally)
	}
	filedOnce(t, a, told(out))
}

// Connections are lost at one request in thirty, half of these after it was
// carried out, commits among them.
func TestPostgresDropping(t *testing.T) {
	in := folderOfMany(t)
	p := servicetest.DroppingPostgres(t, servicetest.Postgres(t), 30)
	a := shared(t, madeDir(t), p.Endpoint, time.Minute)
	tally, out := file(t, a, in)
	if tally.Filed != 210 {
		t.Errorf("%+v", tally)
	}
	for range 30 { // each may be dropped in the middle
		find(t, a, "maker:merrow sort:index")
	}
	requests, before, after := p.Counts()
	t.Logf("%d requests, %d dropped before and %d after they were carried out", requests, before, after)
	if before < 5 || after < 5 {
		t.Errorf("only %d and %d were dropped", before, after)
	}
	filedOnce(t, a, told(out))
}

// A server that stays away is told in a sentence; what was accepted meanwhile
// is there when it is back, and filing again files the rest.
func TestPostgresStaysAway(t *testing.T) {
	in := folderOfMany(t)
	srv := servicetest.PostgresServer(t)
	dir := madeDir(t)
	a := shared(t, dir, srv.DSN(), time.Second)
	first := true
	var out []archive.Outcome
	_, err := a.File(context.Background(), []string{in}, archive.FileOptions{Done: func(o archive.Outcome) {
		out = append(out, o)
		if first {
			first = false
			srv.Kill9()
		}
	}})
	if err == nil || !strings.Contains(err.Error(), "does not answer") || strings.Contains(err.Error(), "\n") {
		t.Errorf("filing ended with %v", err)
	}
	if len(told(out)) == 0 || len(told(out)) == 210 {
		t.Errorf("%d were told as filed; the server was to go in the middle", len(told(out)))
	}
	q, err := archive.ParseQuery("halden")
	if err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	if _, err := a.Find(q, 0, 10); err == nil || !strings.Contains(err.Error(), "does not answer") || errors.Is(err, archive.ErrIndex) {
		t.Errorf("finding ended with %v", err)
	}
	if took := time.Since(began); took > 10*time.Second {
		t.Errorf("the error took %v", took)
	}
	if err := a.Close(); err == nil || !strings.Contains(err.Error(), "does not answer") {
		t.Errorf("the lock was given back to a server that is away: %v", err)
	}
	srv.Start()
	a = waitFor(t, dir, srv.DSN())
	tally, more := file(t, a, in)
	if tally.Filed+tally.There != 210 {
		t.Errorf("%+v", tally)
	}
	all := told(out)
	for h := range told(more) {
		all[h] = true
	}
	if len(all) != 210 {
		t.Errorf("%d in all", len(all))
	}
	filedOnce(t, a, all)
}

// waitFor opens an archive whose lease may have to run out first.
func waitFor(t *testing.T, dir, dsn string) *archive.Archive {
	t.Helper()
	s, err := archive.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	settings, err := s.Settings()
	if err != nil {
		t.Fatal(err)
	}
	for until := time.Now().Add(time.Minute); ; time.Sleep(time.Second) {
		x := openPostgres(t, dsn, hash(settings))
		a, err := archive.Open(context.Background(), dir, archive.Options{Store: s, Index: x, Lock: x})
		if err == nil {
			t.Cleanup(func() { a.Close() })
			return a
		}
		var held *archive.HeldError
		if !errors.As(err, &held) || time.Now().After(until) {
			t.Fatal(err)
		}
	}
}
