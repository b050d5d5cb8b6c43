package archive_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

// many are 210 reports, made once for all tests.
var many = sync.OnceValue(func() [][]byte {
	var out [][]byte
	for i := range 210 {
		b, err := archivetest.Report(dealer(), i)
		if err != nil {
			panic(err)
		}
		out = append(out, b)
	}
	return out
})

func folderOfMany(t *testing.T) string { t.Helper(); return folderOfSome(t, 210) }

func folderOfSome(t *testing.T, n int) string {
	t.Helper()
	dir := t.TempDir()
	for i, b := range many()[:n] {
		write(t, filepath.Join(dir, fmt.Sprintf("report-%d.pdf", i)), b)
	}
	return dir
}

// sharedS3 is a folder from which an archive in a bucket is opened.
func sharedS3(t *testing.T, at archive.S3Place) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "shared")
	if _, err := archive.MakeShared(context.Background(), dir, archive.SharedOptions{Name: "Test", Files: at.String()}, archivetest.When); err != nil {
		t.Fatal(err)
	}
	return dir
}

// filedOnce holds an archive to what File told: everything told as filed is
// found and nothing is there twice.
func filedOnce(t *testing.T, a *archive.Archive, told map[string]bool) {
	t.Helper()
	clean(t, a)
	lines := map[string]int{}
	if err := a.Log(func(e archive.Entry) error {
		if e.File != "" && e.Kind == archive.Filed {
			lines[e.File]++
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	for h, n := range lines {
		if n != 1 {
			t.Errorf("%s has %d lines", h, n)
		}
	}
	for h := range told {
		if lines[h] == 0 {
			t.Errorf("%s was told as filed and has no line", h)
		}
	}
	if rows := find(t, a, ""); len(rows) != len(lines) {
		t.Errorf("%d found, %d lines", len(rows), len(lines))
	}
}

// One request in ten is dropped, half of these after they were carried out.
func TestS3Dropping(t *testing.T) {
	in := folderOfMany(t)
	srv := servicetest.S3(t)
	p := servicetest.Dropping(t, srv.Endpoint, 10)
	dir := sharedS3(t, bucketOf(t, srv, p.Endpoint, "shop/"))
	a := reopen(t, dir, archive.Options{})
	began := time.Now()
	tally, out := file(t, a, in)
	if tally.Filed != 210 {
		t.Errorf("%+v", tally)
	}
	requests, before, after := p.Counts()
	t.Logf("210 filed in %v with %d requests, %d of them dropped before and %d after they were carried out", time.Since(began), requests, before, after)
	told := map[string]bool{}
	for _, o := range out {
		told[o.Hash] = true
	}
	filedOnce(t, a, told)
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	if left, err := filepath.Glob(filepath.Join(srv.Dir, "shop", "incoming", "*")); err != nil || len(left) > 0 {
		t.Errorf("left in incoming/: %v (%v)", left, err)
	}
	// Copied through the same trouble, it is what a folder would have been.
	to := filepath.Join(t.TempDir(), "copy")
	r, err := archive.Backup(context.Background(), dir, to, archive.BackupOptions{Workers: 32})
	if err != nil {
		t.Fatal(err)
	}
	if whole(t, r); r.Files != 3*210 {
		t.Errorf("%+v", r)
	}
	filedOnce(t, reopen(t, to, archive.Options{}), told)
}

// The store is killed and comes back: soon, and nobody notices; late, and
// filing ends with a sentence, goes on later, and nothing is lost or twice.
func TestS3KilledWhileFiling(t *testing.T) {
	in := folderOfSome(t, 80)
	srv := servicetest.PrivateS3(t)
	dir := sharedS3(t, bucketOf(t, srv.S3Server, srv.Endpoint, ""))
	told := map[string]bool{}
	for _, c := range []struct {
		after int
		away  time.Duration
		fails bool
	}{{20, 2 * time.Second, false}, {40, 13 * time.Second, true}} {
		a := reopen(t, dir, archive.Options{})
		back, n := make(chan struct{}), 0
		_, err := a.File(context.Background(), []string{in}, archive.FileOptions{Done: func(o archive.Outcome) {
			if n++; n == c.after {
				srv.Kill9()
				go func() { time.Sleep(c.away); srv.Start(); close(back) }()
			}
			if o.Result == archive.IsFiled {
				told[o.Hash] = true
			}
			if c.fails && len(told) == 80 {
				t.Error("everything was filed without a store")
			}
		}})
		if (err != nil) != c.fails {
			t.Fatalf("away for %v: %v", c.away, err)
		}
		if err != nil {
			t.Logf("said: %v", err)
		}
		<-back
		if err := a.Close(); err != nil {
			t.Logf("closing: %v", err)
		}
		b := reopen(t, dir, archive.Options{})
		filedOnce(t, b, told)
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		if !c.fails { // begin anew, in a place of its own
			dir, told = sharedS3(t, bucketOf(t, srv.S3Server, srv.Endpoint, "again/")), map[string]bool{}
		}
	}
	a := reopen(t, dir, archive.Options{})
	if tally, _ := file(t, a, in); tally.Filed+tally.There != 80 || tally.There < len(told) {
		t.Errorf("going on after %d: %+v", len(told), tally)
	}
	filedOnce(t, a, told)
}

// denying is the address of a server before the store that forbids requests.
func denying(t *testing.T, srv servicetest.S3Server, no func(*http.Request) bool) string {
	t.Helper()
	to, err := url.Parse(srv.Endpoint)
	if err != nil {
		t.Fatal(err)
	}
	pass := &httputil.ReverseProxy{Rewrite: func(r *httputil.ProxyRequest) { r.SetURL(to); r.Out.Host = r.In.Host }}
	front := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if no(r) {
			w.WriteHeader(http.StatusForbidden)
			return
		}
		pass.ServeHTTP(w, r)
	}))
	t.Cleanup(front.Close)
	return front.URL
}

// Whose key may only read looks, checks and makes a copy; filing is refused.
func TestS3ReadingKey(t *testing.T) {
	srv := servicetest.S3(t)
	filer := reopen(t, sharedS3(t, bucketOf(t, srv, srv.Endpoint, "")), archive.Options{})
	file(t, filer, folderOf(t, 2))
	if err := filer.Close(); err != nil {
		t.Fatal(err)
	}
	front := denying(t, srv, func(r *http.Request) bool { return r.Method != http.MethodGet && r.Method != http.MethodHead })
	dir := sharedS3(t, bucketOf(t, srv, front, ""))
	if _, err := archive.Open(context.Background(), dir, archive.Options{}); !errors.Is(err, fs.ErrPermission) || !strings.Contains(err.Error(), "does not allow it") {
		t.Errorf("to file: %v", err)
	}
	a := reopen(t, dir, archive.Options{ReadOnly: true})
	if rows := find(t, a, "halden"); len(rows) != 1 {
		t.Errorf("%d found", len(rows))
	}
	clean(t, a)
	whole(t, backup(t, dir, filepath.Join(t.TempDir(), "copy")))
}

// The log has a report's line and then the store does not copy it to its place:
// filing says so, and the same process brings it there once that works.
func TestS3CopiesFail(t *testing.T) {
	srv := servicetest.S3(t)
	var broken atomic.Bool
	front := denying(t, srv, func(r *http.Request) bool { return broken.Load() && r.Header.Get("X-Amz-Copy-Source") != "" })
	a := reopen(t, sharedS3(t, bucketOf(t, srv, front, "")), archive.Options{})
	in := folderOf(t, 3)
	broken.Store(true)
	if _, err := a.File(context.Background(), []string{in}, archive.FileOptions{Done: func(o archive.Outcome) { t.Errorf("told: %+v", o) }}); err == nil || !strings.Contains(err.Error(), "does not allow it") {
		t.Errorf("without copying: %v", err)
	}
	broken.Store(false)
	tally, _ := file(t, a, in)
	if tally.There+tally.Filed != 3 {
		t.Errorf("%+v", tally)
	}
	filedOnce(t, a, nil)
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	if left, err := filepath.Glob(filepath.Join(srv.Dir, "incoming", "*")); err != nil || len(left) > 0 {
		t.Errorf("left: %v (%v)", left, err)
	}
}

// Killed at any moment, a process leaves nothing in doubt in a bucket either,
// and the lock of a process that is gone keeps nobody out on the same machine.
func TestS3FilerKilledAtAnyMoment(t *testing.T) {
	in := folderOf(t, 8)
	write(t, filepath.Join(in, "bad.pdf"), []byte("no report"))
	srv := servicetest.S3(t)
	cut := 0
	for round := range 6 {
		dir := sharedS3(t, bucketOf(t, srv, srv.Endpoint, fmt.Sprint("round-", round, "/")))
		told := map[string]bool{}
		for i := range 4 {
			cmd, out := start(t, dir, in)
			timer := time.AfterFunc(time.Duration(60+70*i+23*round)*time.Millisecond, func() { _ = cmd.Process.Kill() })
			for out.Scan() {
				var what, h string
				if _, err := fmt.Sscan(out.Text(), &what, &h); err == nil && what == "filed" {
					told[h] = true
				} else if what == "failed:" {
					t.Fatal(out.Text())
				}
			}
			timer.Stop()
			if err := cmd.Wait(); err != nil {
				cut++
			}
			a := reopen(t, dir, archive.Options{})
			filedOnce(t, a, told)
			if err := a.Close(); err != nil {
				t.Fatal(err)
			}
		}
		a := reopen(t, dir, archive.Options{})
		if tally, _ := file(t, a, in); tally.Filed+tally.There != 8 {
			t.Errorf("the rest: %+v", tally)
		}
		filedOnce(t, a, told)
		if err := a.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if t.Logf("%d processes killed before their end", cut); cut == 0 {
		t.Error("no process was killed before its end, so nothing was shown")
	}
}

// The end of a long log is found in few requests, and reading begins anywhere.
func TestS3LongLog(t *testing.T) {
	srv := servicetest.S3(t)
	at := bucketOf(t, srv, srv.Endpoint, "")
	ctx := context.Background()
	if err := archive.MakeS3(ctx, at, "Test", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	const pieces = 4500
	var end int64
	for i := range pieces {
		line := fmt.Sprintf("line %d\n", i)
		if i%1000 == 17 { // long ones among the short
			line = fmt.Sprintf("line %d %060000d\n", i, i)
		}
		write(t, filepath.Join(srv.Dir, "log", fmt.Sprintf("%020d-000000.jsonl", end)), []byte(line))
		end += int64(len(line))
	}
	p := servicetest.Dropping(t, srv.Endpoint, 1<<30)
	at.Endpoint = p.Endpoint
	s, err := archive.OpenS3(ctx, at)
	if err != nil {
		t.Fatal(err)
	}
	before, _, _ := p.Counts()
	line, got, err := s.Tail(archive.MainLog, false)
	after, _, _ := p.Counts()
	if err != nil || got != end || string(line) != fmt.Sprintf("line %d", pieces-1) {
		t.Errorf("ends with %q at %d, want %d (%v)", line, got, end, err)
	}
	if t.Logf("%d requests for %d pieces", after-before, pieces); after-before > 12 {
		t.Errorf("%d requests", after-before)
	}
	for _, from := range []int{0, 3000, pieces - 1} {
		n, start := 0, int64(0)
		if from > 0 {
			list, err := filepath.Glob(filepath.Join(srv.Dir, "log", "*"))
			if err != nil {
				t.Fatal(err)
			}
			if _, err := fmt.Sscanf(filepath.Base(list[from]), "%d-", &start); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.Log(archive.MainLog, start, func(line []byte, _ int64) error {
			if want := fmt.Sprintf("line %d", from+n); n < 3 && string(line[:len(want)]) != want {
				t.Errorf("from %d: %q, want %q", start, line, want)
			}
			n++
			return nil
		}); err != nil || n != pieces-from {
			t.Errorf("from %d: %d lines, want %d (%v)", start, n, pieces-from, err)
		}
	}
	goneIsTold(t, s, srv.Dir, pieces)
}

// goneIsTold takes pieces out of a log, one at a time: that is told, wherever it
// was, but for the last, behind which nothing lies.
func goneIsTold(t *testing.T, s archive.Store, dir string, pieces int) {
	t.Helper()
	for _, i := range []int{0, 4000, pieces - 1} {
		list, err := filepath.Glob(filepath.Join(dir, "log", "*"))
		if err != nil {
			t.Fatal(err)
		}
		gone, err := os.ReadFile(list[i])
		if err == nil {
			err = os.Remove(list[i])
		}
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		if err := s.Log(archive.MainLog, 0, func([]byte, int64) error { n++; return nil }); err == nil && n != pieces-1 {
			t.Errorf("piece %d is gone and %d lines are read without a word", i, n)
		} else if i < pieces-1 && err == nil {
			t.Errorf("piece %d is gone and nobody says so", i)
		}
		write(t, list[i], gone)
	}
}
