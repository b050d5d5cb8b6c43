//go:build ci

package ui

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2/widget"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// insuredArchive is an archive with two policies over four reports and an
// instrument without one.
func insuredArchive(t *testing.T) *archive.Archive {
	t.Helper()
	check := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	id, err := archivetest.NewKey("R. Calloway")
	check(err)
	in, dir := t.TempDir(), filepath.Join(t.TempDir(), "archive")
	paths, err := archivetest.Write(in, id, 4)
	check(err)
	check(archive.Make(dir, "Fen Street", false, clock()))
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: clock})
	check(err)
	t.Cleanup(func() { a.Close() })
	hashes := map[string]string{}
	_, err = a.File(context.Background(), []string{in}, archive.FileOptions{Done: func(o archive.Outcome) { hashes[o.Source] = o.Hash }})
	check(err)
	var items []archive.Item
	for _, p := range paths {
		i, err := a.ItemOf(hashes[filepath.Base(p)])
		check(err)
		items = append(items, i)
	}
	violin, err := archive.Describe("Violin labelled Anselm Tarry, 1921", "")
	check(err)
	_, err = a.Collect("P. Adler", "M. Okafor", "2026-01-01", items[0], items[1], violin)
	check(err)
	check(a.Insure("P. Adler", archive.Policy{Number: "W 100", Holder: "M. Okafor", Collection: "M. Okafor", From: "2026-01-01", To: "2026-12-31", Sum: "250000.00", Currency: "EUR", ReportMonths: 3}))
	check(a.Insure("P. Adler", archive.Policy{Number: "W 200", Holder: "T. Brandt", Items: items[1:], From: "2026-10-01", To: "2027-09-30", Sum: "1200000", Currency: "JPY"}))
	// What came back altered of a report that is insured.
	b, err := os.ReadFile(paths[0])
	check(err)
	altered := filepath.Join(t.TempDir(), "came-back.pdf")
	check(os.WriteFile(altered, append(b, "more"...), 0o644))
	_, err = a.File(context.Background(), []string{altered}, archive.FileOptions{})
	check(err)
	return a
}

// rest waits until what is read beside the window is there, and lays out again.
func (s *archiveDue) rest(w *Window) {
	s.work.Wait()
	settle(w)
}

// TestDueStands renders every page of the pane at both sizes, light and dark.
func TestDueStands(t *testing.T) {
	a := insuredArchive(t)
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := newWindow(t, v.size, v.dark)
			s := newArchiveDue(w)
			s.onOpen = func(string) {}
			w.win.SetContent(s.object())
			w.win.Resize(v.size)
			s.show(a)
			s.rest(w)
			want := [][]string{
				{"overdue", "No report", "Violin labelled Anselm Tarry, 1921", "Refused report", "Policy ends", "Countersignature", "5 instruments insured under 2 policies on 2026-11-14; 2 overdue", "Export calendar…"},
				{"W 200", "no report", "Merrow & Finch No. 3, No. 41001", "2027-09-30", "Open the latest report"},
				{"in force", "250000.00 EUR", "1200000 JPY", "It insures what is in the collection M. Okafor.", "Change it…", "End it…"},
				{"M. Okafor", "W 100", "Merrow & Finch No. 3, No. 41001, since 2026-01-01.", "New collection…", "Put one without a report into it…"},
			}
			for i, name := range duePages {
				s.page = i
				s.refresh()
				s.rest(w)
				checkPicture(t, name, capture(t, w, "archivedue-"+strings.ToLower(name)+"-"+v.name), v.size, v.dark)
				seen := lookAt(w)
				for _, f := range seen.faults() {
					t.Errorf("%s: %s", name, f)
				}
				for _, text := range want[i] {
					if !seen.has(text) {
						t.Errorf("%s does not say %q", name, text)
					}
				}
				if os.Getenv("WORNWOOD_PICTURES") != "" {
					t.Logf("%s, shortened: %q", name, seen.cut)
				}
			}
			for name, ask := range map[string]func(){"asking": func() { s.askPolicy(0) }, "collecting": func() { s.collect(a, "M. Okafor") }} {
				ask()
				settle(w)
				capture(t, w, "archivedue-"+name+"-"+v.name)
				for _, f := range lookAt(w).faults() {
					t.Errorf("%s: %s", name, f)
				}
				w.win.Canvas().Overlays().Top().Hide()
			}
		})
	}
}

// TestDueDecides enters a policy, ends one and looks further ahead, by hand.
func TestDueDecides(t *testing.T) {
	a := insuredArchive(t)
	w := newWindow(t, large, false)
	s := newArchiveDue(w)
	changed, opened := 0, ""
	s.onChanged = func() { changed++ }
	s.onOpen = func(hash string) { opened = hash }
	w.win.SetContent(s.object())
	w.win.Resize(large)
	s.show(a)
	s.rest(w)
	tap := func(text string) {
		t.Helper()
		o := s.root
		if top := w.win.Canvas().Overlays().Top(); top != nil {
			o = top.(*widget.PopUp).Content
		}
		b := buttonNamed(o, text)
		if b == nil {
			t.Fatalf("there is no button %q", text)
		}
		b.Tapped(nil)
		s.rest(w)
	}
	overdue := s.m.Count()
	s.horizon.OnChanged(0)
	if s.m.Count() != 2 {
		t.Errorf("%d overdue of %d", s.m.Count(), overdue)
	}
	s.horizon.OnChanged(4)
	if s.m.Count() <= overdue {
		t.Errorf("%d in all, %d within 90 days", s.m.Count(), overdue)
	}
	s.chosen[duePage] = 1
	s.showDetails()
	if tap("Open the latest report"); opened == "" {
		t.Error("no report was opened")
	}

	tap("New policy…")
	typeText(t, w, "W 300")
	w.win.Canvas().FocusNext()
	typeText(t, w, "A. Novak")
	tap("Enter it") // dates and collection are missing: told, and the sheet stays
	if len(s.m.Archive().Settings.Name) == 0 || s.m.PolicyCount() != 2 || changed != 0 {
		t.Fatalf("%d policies, told %d times", s.m.PolicyCount(), changed)
	}
	tap("Close")
	tap("Cancel")

	s.page = policiesPage
	s.refresh()
	tap("End it…")
	typeText(t, w, "2026-11-20")
	w.win.Canvas().FocusNext()
	typeText(t, w, "cancelled")
	w.win.Canvas().FocusNext()
	typeText(t, w, "P. Adler")
	tap("End it")
	if p := s.m.PolicyRow(0); p.Last != "2026-11-20" || changed != 1 {
		t.Errorf("after the end: %+v, told %d times", p, changed)
	}

	s.page = collectionsPage
	s.refresh()
	tap("New collection…")
	typeText(t, w, "Fen Street")
	w.win.Canvas().FocusNext()
	typeText(t, w, "Flat-top by Merrow & Finch")
	for range 3 {
		w.win.Canvas().FocusNext()
	}
	typeText(t, w, "P. Adler")
	tap("Put it there")
	if c := s.m.CollectionRow(0); s.m.CollectionCount() != 2 || c.Name != "Fen Street" || c.Instruments != "1" || changed != 2 {
		t.Errorf("after putting in: %+v, told %d times", c, changed)
	}
	tap("End it…")
	for range 2 {
		w.win.Canvas().FocusNext()
	}
	typeText(t, w, "P. Adler")
	tap("End it")
	if c := s.m.CollectionRow(0); c.Instruments != "0" || changed != 3 {
		t.Errorf("after the end: %+v, told %d times", c, changed)
	}
}
