package archive_test

import (
	"context"
	"os"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// An index that is made anew has every report in the log's order, tells which
// verdicts are damaged, and follows on after lines were added; called off, it
// goes on at the next opening.
func TestRebuildFilled(t *testing.T) {
	dir := t.TempDir() + "/archive"
	const n = 9000 // more than twice what is taken in at once
	if err := archivetest.Filled(dir, n, 7); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if a, err := archive.Open(ctx, dir, archive.Options{}); err == nil {
		a.Close()
		t.Error("called off, and it opens")
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	if got := len(find(t, a, "number:cr-2026-0012")); got != 100 {
		t.Errorf("%d found, want 100", got)
	}
	rows := find(t, a, "number:CR-2026-00500")
	if len(rows) != 10 || rows[0].Seq != 5010 {
		t.Errorf("%d rows, the first of line %d", len(rows), rows[0].Seq)
	}
	p := path(dir, archive.Ref{Area: archive.Verdicts, Hash: rows[0].Hash})
	if err := os.Remove(p); err != nil {
		t.Fatal(err)
	}
	made, err := a.Rebuild(context.Background())
	if err != nil || made.Reports != n-1 || len(made.Damaged) != 1 || made.Damaged[0].Ref.Hash != rows[0].Hash {
		t.Errorf("%+v (%v)", made, err)
	}
	if got := len(find(t, a, "number:CR-2026-00500")); got != 9 {
		t.Errorf("%d found, want 9", got)
	}
}

// Opened for a rebuild, an archive without an index has none made: the rebuild
// makes it, once, and what is filed after it is known.
func TestRebuildMakesTheIndexOnce(t *testing.T) {
	dir := t.TempDir() + "/archive"
	const n = 60
	if err := archivetest.Filled(dir, n, 3); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Stale: true})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	if got := len(find(t, a, "")); got != 0 {
		t.Errorf("%d reports are in the index before it is made", got)
	}
	if r, err := a.Rebuild(context.Background()); err != nil || r.Reports != n {
		t.Fatal(r, err)
	}
	if got := len(find(t, a, "")); got != n {
		t.Errorf("%d of %d reports are found", got, n)
	}
	if err := a.SaveSearch("R. Calloway", "All", ""); err != nil {
		t.Fatal(err)
	}
	if list, err := a.SavedSearches(); err != nil || len(list) != 1 {
		t.Error(list, err)
	}
}
