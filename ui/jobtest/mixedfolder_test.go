package jobtest

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"testing"

	"wornwood/capture/bench"
)

// mixed fills a folder with 200 files in five folders below: 100 photos, each
// twentieth of them cut off in its picture; 40 copies of them under other
// names; 60 of no use.
func mixed(t *testing.T, dir string) {
	t.Helper()
	photo := photoNo(t, 0)
	for i := range 200 {
		sub := filepath.Join(dir, fmt.Sprintf("day %d", i%5))
		mkdir(t, sub)
		file := func(format string) string { return filepath.Join(sub, fmt.Sprintf(format, i)) }
		data := numbered(photo, i%140%100)
		if i%140%100%20 == 7 {
			data = data[:len(data)-2000]
		}
		switch {
		case i < 140:
			content(data)(t, file("DSC_%04d.JPG"))
		case i < 160:
			content(nil)(t, file("DSC_%04d.JPG"))
		case i < 180:
			content([]byte(fmt.Sprint("notes ", i)))(t, file("notes %d.txt"))
		default:
			content(photo[:400+i])(t, file("DSC_%04d.JPG"))
		}
	}
}

// TestMixedFolder imports 200 mixed files, is stopped in the middle, and
// carries on: nothing is half there, nothing comes twice, all are answered.
func TestMixedFolder(t *testing.T) {
	dir := t.TempDir()
	mixed(t, dir)
	before := sums(t, dir)
	if len(before) != 200 {
		t.Fatalf("%d files made", len(before))
	}
	j := begin(t)
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	first, err := j.b.Import(ctx, j.ex, []string{dir}, func(done, _ int, _ string) {
		if done == 40 {
			stop()
		}
	})
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("stopped after 40 files: %v", err)
	}
	j.s.Refresh()
	had := len(j.ex.Record().Photos)
	if had != len(first.Added) || had == 0 || had >= 100 {
		t.Errorf("stopped after 40 files, %d photos are entered, %d are said to be", had, len(first.Added))
	}
	j.whole()
	rest := j.take(dir)
	if n := len(j.ex.Record().Photos); n != 100 || len(rest.Added) != 100-had {
		t.Errorf("%d photos in the end, 100 are there; %d came after the first %d", n, len(rest.Added), had)
	}
	if len(rest.Known) != 40+had || len(rest.Refused) != 60 {
		t.Errorf("%d known and %d refused, want %d and 60", len(rest.Known), len(rest.Refused), 40+had)
	}
	for _, r := range rest.Refused {
		checkSentence(t, filepath.Base(r.File), r.Why)
	}
	broken := 0
	for _, p := range j.ex.Record().Photos {
		if n := len(p.Remarks); n > 0 && p.Remarks[n-1] != "The camera date has no time zone." {
			j.brokenRows(p)
			broken++
		}
	}
	if broken != 5 {
		t.Errorf("%d photos are said to be broken off, 5 are", broken)
	}
	j.checkOriginals()
	for f, s := range sums(t, dir) {
		if before[f] != s {
			t.Errorf("the import changed %s", f)
		}
	}
	j.checkReopened()
}

// checkReopened closes the bench and opens it again, without its index: the
// examination is as it was.
func (j *job) checkReopened() {
	j.t.Helper()
	want := len(j.ex.Record().Photos)
	id := j.ex.ID()
	if err := j.b.Close(); err != nil {
		j.t.Fatal(err)
	}
	b, err := bench.Open(j.b.Dir(), bench.Options{Now: now})
	if err != nil {
		j.t.Fatal(err)
	}
	defer b.Close()
	if r, err := b.Rebuild(context.Background()); err != nil || r.Examinations != 1 || len(r.Damaged) > 0 {
		j.t.Errorf("rebuilt: %+v, %v", r, err)
	}
	ex, err := b.OpenExam(id)
	if err != nil {
		j.t.Fatal(err)
	}
	defer ex.Close()
	if got := len(ex.Record().Photos); got != want || len(ex.Notes()) > 0 {
		j.t.Errorf("opened again it has %d photos of %d, notes %v", got, want, ex.Notes())
	}
}
