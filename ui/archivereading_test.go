package ui

import (
	"os"
	"path/filepath"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
)

// Reports that the window shows are written down where somebody else is let in to
// read as well; on an archive of one's own they are not. What cannot be written
// down is not shown.
func TestArchiveReadingsKept(t *testing.T) {
	w := archiveWindow(t, large, false)
	s := w.archive
	kept := func() (out []string) {
		t.Helper()
		if err := s.a.Readings(archive.ReadingQuery{}, func(l archive.ReadingLine) error { out = append(out, l.What); return nil }); err != nil {
			t.Fatal(err)
		}
		return out
	}
	read := func(i int) {
		s.find.choose(s.find.m.Choose(i))
		s.find.showChosen()
		s.rest()
	}
	read(1)
	if l := kept(); len(l) != 0 {
		t.Fatalf("readings of one's own archive: %v", l)
	}
	list, err := people.Load(s.dir)
	if err == nil {
		err = list.Add("R. Calloway", people.Reader, "seven brown kettles", clock())
	}
	if err == nil {
		err = list.Save()
	}
	if err != nil {
		t.Fatal(err)
	}
	read(2)
	if l := kept(); len(l) != 1 || l[0] != archive.ReadReport {
		t.Errorf("one report was shown: %v", l)
	}
	s.to(1) // the history
	s.rest()
	if l := kept(); len(l) != 2 || l[1] != archive.ReadHistory {
		t.Errorf("and its history: %v", l)
	}
	ledger := filepath.Join(s.dir, "readings.jsonl")
	if err = os.Remove(ledger); err == nil {
		err = os.Mkdir(ledger, 0o755)
	}
	if err != nil {
		t.Fatal(err)
	}
	s.to(0)
	read(3)
	if seen := lookAt(w); !seen.has("This report cannot be shown") || seen.has("Open the PDF") {
		t.Errorf("a reading could not be written, and the window shows %s", seen.joined())
	}
}
