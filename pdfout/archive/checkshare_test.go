package archive_test

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"wornwood/pdfout/archive"
)

// watched is a store that notes when a file was read to its end.
type watched struct {
	archive.Store
	now  func() time.Time
	read map[archive.Ref]time.Time
	n    int
}

type watchedFile struct {
	archive.Content
	done func()
	left int64
}

func (w *watchedFile) Read(p []byte) (int, error) {
	n, err := w.Content.Read(p)
	if w.left -= int64(n); n > 0 && w.left == 0 {
		w.done()
	}
	return n, err
}

func (w *watched) Open(ref archive.Ref) (archive.Content, error) {
	f, err := w.Store.Open(ref)
	if err != nil {
		return nil, err
	}
	return &watchedFile{f, func() { w.read[ref] = w.now(); w.n++ }, f.Size()}, nil
}

// nights is an archive that is checked night by night, by a clock of its own.
type nights struct {
	t     *testing.T
	a     *archive.Archive
	store *watched
	now   time.Time
	filed map[archive.Ref]time.Time
	in    string
}

func newNights(t *testing.T) *nights {
	n := &nights{t: t, now: time.Date(2026, 11, 14, 2, 0, 0, 0, time.UTC), filed: map[archive.Ref]time.Time{}, in: t.TempDir()}
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Test", false, n.now); err != nil {
		t.Fatal(err)
	}
	inner, err := archive.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	x, err := archive.OpenSQLite(filepath.Join(dir, "index.db"), false)
	if err != nil {
		t.Fatal(err)
	}
	clock := func() time.Time { return n.now }
	n.store = &watched{Store: inner, now: clock, read: map[archive.Ref]time.Time{}}
	n.a = reopen(t, dir, archive.Options{Store: n.store, Index: x, Lock: inner.(archive.Locker), Now: clock})
	return n
}

// file files one report and so many files that are refused, which are checked
// just as reports are.
func (n *nights) file(refused int) {
	var paths []string
	for range refused {
		b := fmt.Appendf(nil, "no report %d", len(n.filed))
		p := filepath.Join(n.in, hash(b)+".pdf")
		write(n.t, p, b)
		paths = append(paths, p)
		n.filed[archive.Ref{Area: archive.Refused, Hash: hash(b)}] = n.now
	}
	file(n.t, n.a, paths...)
}

// check checks a quarter's share and sees that nothing has been unread for more
// than a quarter since: since it was filed, or since the first share.
func (n *nights) check(begun time.Time) (read int) {
	n.t.Helper()
	before := n.store.n
	r, err := n.a.Check(context.Background(), archive.CheckOptions{Quarter: true})
	if err != nil || len(r.Findings) > 0 {
		n.t.Fatalf("%+v (%v)", r, err)
	}
	for ref, filed := range n.filed {
		last := filed
		for _, at := range []time.Time{begun, n.store.read[ref]} {
			if at.After(last) {
				last = at
			}
		}
		if n.now.Sub(last) > 90*24*time.Hour {
			n.t.Fatalf("on %s, %s is unread since %s", n.now.Format(time.DateOnly), ref.Hash[:8], last.Format(time.DateOnly))
		}
	}
	return n.store.n - before
}

// Ninety nights and more, with some missed and files coming in all the time:
// everything is read at least once in each quarter, and no night reads much more
// than its share.
func TestEverythingIsReadEachQuarter(t *testing.T) {
	n := newNights(t)
	n.file(180)
	n.now = n.now.AddDate(2, 0, 0) // two years in which nobody checked
	begun := n.now
	missed, most := 0, 0
	for night := range 200 {
		if night%3 == 0 {
			n.file(1)
		}
		if night%11 == 7 || night > 120 && night < 127 {
			missed++
		} else {
			nights := missed + 1
			missed = 0
			// Two files a refused one, a ninetieth of all a night, twice that while catching up.
			if read, fair := n.check(begun), 2*len(n.filed)*nights/90+2; read > 2*fair+12 {
				t.Errorf("night %d reads %d files, a fair share is %d", night, read, fair)
			} else {
				most = max(most, read)
			}
		}
		n.now = n.now.AddDate(0, 0, 1)
	}
	t.Logf("%d files at the end, at most %d read in one night", 2*len(n.filed), most)
	// Exactly ninety nights after the first, each of the first files was read.
	for ref := range n.filed {
		if n.store.read[ref].IsZero() && n.now.Sub(n.filed[ref]) > 90*24*time.Hour {
			t.Errorf("%s was never read", ref.Hash[:8])
		}
	}
}

// A check of everything counts, one at a time that is still to come does not, and
// the share follows from log and clock alone.
func TestShareFollowsFromTheLog(t *testing.T) {
	n := newNights(t)
	n.file(90)
	start := n.now
	n.now = start.AddDate(0, 0, 30)
	first := n.check(n.now)
	if first < 2 || first > 4 {
		t.Errorf("%d files read in the first night", first)
	}
	if _, err := n.a.Rebuild(context.Background()); err != nil {
		t.Fatal(err)
	}
	n.now = n.now.AddDate(0, 0, 45)
	if read := n.check(start.AddDate(0, 0, 30)); read < 88 || read > 92 {
		t.Errorf("after 45 nights %d of 180 files are read", read)
	}
	n.now = n.now.AddDate(10, 0, 0) // the clock is wrong
	check(t, n.a, archive.CheckOptions{})
	wrong := n.now
	n.now = start.AddDate(0, 0, 76)
	for range 100 {
		n.check(wrong) // no promise is checked here, only that it goes on
		n.now = n.now.AddDate(0, 0, 1)
	}
	for ref, at := range n.store.read {
		if at.Equal(wrong) {
			t.Fatalf("%s was not read since the clock was set right", ref.Hash[:8])
		}
	}
	n.now = start.AddDate(0, 0, 300)
	if read := n.check(wrong); read != 180 {
		t.Errorf("after more than a quarter without a check, %d of 180 files are read", read)
	}
}

// A check that is cancelled stops within a file, what it had brought back is in
// the log, and what it had read of a quarter's share counts.
func TestCheckCancelled(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 4))
	second := copyOf(t, dir)
	first := archive.Ref{Area: archive.Files, Hash: find(t, a, "sort:filed")[0].Hash}
	if err := damage(dir, first); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	var last archive.CheckProgress
	_, err := a.Check(ctx, archive.CheckOptions{Copy: second, Progress: func(p archive.CheckProgress) {
		if p.Total != 12 || p.Done != last.Done+1 || p.Bytes < last.Bytes || p.Wholesale <= 0 {
			t.Errorf("progress %+v after %+v", p, last)
		}
		if last = p; p.Done == 6 {
			cancel()
		}
	}})
	if err == nil || last.Done != 6 {
		t.Fatalf("%v after %d files", err, last.Done)
	}
	notes, err := a.Notes(archive.Restored)
	if err != nil || len(notes) != 1 || notes[0].File != first.Hash {
		t.Errorf("%+v (%v)", notes, err)
	}
	clean(t, a)
}
