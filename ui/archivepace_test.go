//go:build ci

package ui

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// largeArchive is an archive opened to look, with many invented rows in its index.
func largeArchive(t *testing.T, n int) (*archive.Archive, string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "large")
	if err := archive.Make(dir, "Many dealers", false, clock()); err != nil {
		t.Fatal(err)
	}
	store, err := archive.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	index, err := archive.OpenSQLite(filepath.Join(t.TempDir(), "index.db"), false)
	if err != nil {
		t.Fatal(err)
	}
	const step = 10_000
	for from := 1; from <= n; from += step {
		events, at := archivetest.Events(from, min(step, n-from+1))
		if err := index.Apply(events, at); err != nil {
			t.Fatal(err)
		}
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: clock, ReadOnly: true, Store: store, Index: index})
	if err != nil {
		t.Fatal(err)
	}
	return a, dir
}

// paceRows is how many reports are searched, WORNWOOD_ARCHIVE_ROWS names another
// number; paceLimit bounds the median from a key to the rows on the screen.
const (
	paceRows  = 20_000
	paceLimit = 100 * time.Millisecond
)

// TestArchivePace types lines letter by letter into an archive of many reports,
// and times each from the key to the laid out rows. Letters come slower than the
// pause, as people type. The counts beside the list are waited for too, and timed
// by themselves.
func TestArchivePace(t *testing.T) {
	n := paceRows
	if s := os.Getenv("WORNWOOD_ARCHIVE_ROWS"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	a, dir := largeArchive(t, n)
	w := newWindow(t, large, false)
	s := newArchiveScreen(w, a, dir, true)
	s.show()
	s.rest()
	if s.find.m.Count() != n {
		t.Fatalf("%d rows of %d", s.find.m.Count(), n)
	}
	capture(t, w, "archive-large")
	var took, counted []time.Duration
	shown := make(chan time.Time, 8)
	s.find.onShown = func() { shown <- time.Now() }
	for _, line := range []string{"halden larkfoot 42", `kind:"headstock break" year:1950..1960`, "sort:-index examiner 7", "L-19 999"} {
		s.find.set("")
		s.rest()
		for len(shown) > 0 {
			<-shown
		}
		for _, r := range line {
			time.Sleep(queryPause)
			at := time.Now()
			s.find.line.TypedRune(r)
			s.work.Wait()
			counted = append(counted, time.Since(at))
			select {
			case end := <-shown:
				took = append(took, end.Sub(at))
			default: // a line that is no question yet, such as "year:19.."
			}
		}
	}
	if len(took) < 40 {
		t.Fatalf("only %d answers", len(took))
	}
	slices.Sort(took)
	slices.Sort(counted)
	at := func(list []time.Duration, share int) time.Duration {
		return list[len(list)*share/100].Round(100 * time.Microsecond)
	}
	t.Logf("%d reports, %d keys: rows after %v (median), %v (95 of 100), %v (worst); counts after %v, %v", n, len(took), at(took, 50), at(took, 95), took[len(took)-1].Round(100*time.Microsecond), at(counted, 50), at(counted, 95))
	if m := at(took, 50); m > paceLimit {
		t.Errorf("from a key to the rows it takes %v, more than %v", m, paceLimit)
	}
}
