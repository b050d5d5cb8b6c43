//go:build ci

package ui

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/sign"
)

var someReports struct {
	sync.Once
	dealer *sign.Identity
	data   [][]byte
	err    error
}

// reports writes some signed reports, a countersigned copy of the first and a
// letter that is none into a folder of their own, and knows the dealer's key.
func reports(t *testing.T) string {
	t.Helper()
	s := &someReports
	s.Do(func() {
		if s.dealer, s.err = archivetest.NewKey("Fen Street Instruments"); s.err != nil {
			return
		}
		for i := range 6 {
			var b []byte
			if b, s.err = archivetest.Report(s.dealer, i); s.err != nil {
				return
			}
			s.data = append(s.data, b)
		}
		var buyer *sign.Identity
		if buyer, s.err = archivetest.NewKey("B. Atherley"); s.err == nil {
			var b []byte
			b, s.err = archivetest.Countersigned(s.data[0], buyer)
			s.data = append(s.data, b)
		}
	})
	if s.err != nil {
		t.Fatal(s.err)
	}
	dir := t.TempDir()
	for i, b := range append(s.data, []byte("%PDF-1.7\nnothing\n%%EOF\n")) {
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("report-%d.pdf", i)), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// madeArchive is an archive with these reports filed.
func madeArchive(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "reports-kept")
	if err := archive.Make(dir, "Reports of Fen Street", false, clock()); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	if _, err := a.File(context.Background(), []string{reports(t)}, archive.FileOptions{Verify: pdfout.VerifyOptions{Now: clock()}}); err != nil {
		t.Fatal(err)
	}
	if err := a.SaveSearch("R. Calloway", "Small makers", `maker:"Merrow & Finch"`); err != nil {
		t.Fatal(err)
	}
	return dir
}

// archiveWindow is a window on such an archive.
func archiveWindow(t *testing.T, size fyne.Size, dark bool) *Window {
	t.Helper()
	dir := madeArchive(t)
	w := newWindow(t, size, dark)
	w.OpenArchive(dir, false)
	opened(t, w)
	w.archive.rest()
	return w
}

// opened waits until an archive that is being opened is shown.
func opened(t *testing.T, w *Window) {
	t.Helper()
	for end := time.Now().Add(time.Minute); w.archive == nil || w.busy != nil || len(w.sheets) > 0; time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("no archive is shown: %s", lookAt(w).joined())
		}
	}
}

// rest waits until what is read beside the window is shown, and lays out again.
func (s *archiveScreen) rest() {
	for range 2 {
		s.work.Wait()
		s.history.h.photos.work.Wait()
		s.history.h.joins.work.Wait()
		s.due.d.work.Wait()
		settle(s.w)
	}
}

// TestArchiveStands renders every page of the archive at both sizes, light and
// dark.
func TestArchiveStands(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := archiveWindow(t, v.size, v.dark)
			s := w.archive
			s.find.choose(s.find.m.Choose(1))
			s.find.showChosen()
			s.rest()
			want := [][]string{
				{"Reports of Fen Street", "7 reports", "Halden & Rowe Larkfoot Standard, 1974", "41005", "Open the PDF", "Signer's key", "Copy the head"},
				{"Examinations"}, {"File reports", "Choose a folder…"}, {"1 file on the refused pile", "report-7.pdf"}, {"Check everything", "Not checked yet.", "Prove it"}, {"Insured and due", "No policy is entered yet."},
			}
			for i, p := range archivePages {
				s.to(i)
				s.rest()
				img := capture(t, w, "archive-"+strings.ToLower(p.label)+"-"+v.name)
				checkPicture(t, p.label, img, v.size, v.dark)
				seen := lookAt(w)
				for _, f := range seen.faults() {
					t.Errorf("%s: %s", p.label, f)
				}
				for _, text := range want[i] {
					if !seen.has(text) {
						t.Errorf("%s does not say %q", p.label, text)
					}
				}
				if os.Getenv("WORNWOOD_PICTURES") != "" {
					t.Logf("%s, shortened: %q", p.label, seen.cut)
				}
			}
		})
	}
}

// TestArchiveByKeyboard makes an archive, drops reports on it, finds one by typing
// with suggestions, and narrows, sorts and keeps the search.
func TestArchiveByKeyboard(t *testing.T) {
	w := newWindow(t, large, false)
	menuItem(t, w, "File", "New archive…").Action()
	dir := filepath.Join(t.TempDir(), "new")
	typeText(t, w, dir)
	w.win.Canvas().FocusNext()
	w.win.Canvas().FocusNext()
	typeText(t, w, "Fen Street")
	press(w, fyne.KeyReturn)
	opened(t, w)
	s := w.archive
	if s.a.Settings.Name != "Fen Street" {
		t.Fatalf("%q is open", s.a.Settings.Name)
	}
	w.dropped(fyne.NewPos(500, 400), []fyne.URI{storage.NewFileURI(reports(t))})
	finish(t, w)
	s.rest()
	if got := s.file.m.Summary(); got != "7 filed (1 of them later versions of filed ones), 1 refused." {
		t.Errorf("filing says %q", got)
	}
	capture(t, w, "archive-filed")
	if s.file.m.Count() != 8 || s.file.table == nil {
		t.Errorf("%d outcomes are listed", s.file.m.Count())
	}

	menuItem(t, w, "Edit", "Find").Action()
	s.rest()
	findByTyping(t, w, s)
	narrowAndKeep(t, w, s)
}

// findByTyping types a line with suggestions, and shows what it finds.
func findByTyping(t *testing.T, w *Window, s *archiveScreen) {
	t.Helper()
	typeText(t, w, "mer")
	s.rest()
	if len(s.find.box.list) == 0 || s.find.box.list[0].Text != `maker:"Merrow & Finch"` {
		t.Fatalf("suggested %+v", s.find.box.list)
	}
	capture(t, w, "archive-suggestions")
	press(w, fyne.KeyTab)
	s.rest()
	if got := s.find.line.Text; got != `maker:"Merrow & Finch" ` || s.find.m.Count() != 3 {
		t.Errorf("the line is %q, %d found", got, s.find.m.Count())
	}
	typeText(t, w, "serial:41-OO3")
	s.rest()
	press(w, fyne.KeyEscape, fyne.KeyReturn)
	s.rest()
	if d := s.find.detail.d; s.find.m.Count() != 1 || d == nil || d.Title != "Merrow & Finch No. 3, about 1962" {
		t.Fatalf("%d found, shown %+v", s.find.m.Count(), d)
	}
	s.find.detail.copyHash()
	if got := w.app.Clipboard().Content(); got != s.find.detail.d.Hash {
		t.Errorf("copied %q", got)
	}
}

// narrowAndKeep narrows by a count, sorts by a title, and keeps the line.
func narrowAndKeep(t *testing.T, w *Window, s *archiveScreen) {
	t.Helper()
	s.find.set("")
	s.rest()
	s.find.side.pick("maker", "Halden & Rowe")
	s.rest()
	s.find.table.OnHead(1)
	s.rest()
	if got := s.find.line.Text; got != `maker:"Halden & Rowe" sort:serial ` || s.find.m.Count() != 4 {
		t.Errorf("the line is %q, %d found", got, s.find.m.Count())
	}
	s.find.set("colour:red")
	s.rest()
	capture(t, w, "archive-trouble")
	if !strings.Contains(lookAt(w).joined(), `There is no field "colour"`) || s.find.m.Count() != 4 {
		t.Errorf("of a line that cannot be understood the window says: %s", lookAt(w).joined())
	}
	w.showQueryHelp()
	capture(t, w, "archive-help")
	if seen := lookAt(w); len(seen.faults()) > 0 || !seen.has("maker: model: class: examiner: shop:") {
		t.Errorf("the help on the line: %q", seen.faults())
	}
	press(w, fyne.KeyEscape)
	for len(w.sheets) > 0 {
		w.sheets[0].hide()
	}
	s.find.set(`maker:"Halden & Rowe" sort:serial`)
	s.rest()
	s.find.askSaved()
	typeText(t, w, "Ours")
	press(w, fyne.KeyReturn)
	list, err := s.a.SavedSearches()
	if err != nil || len(list) != 1 || list[0].Line != `maker:"Halden & Rowe" sort:serial` {
		t.Errorf("kept %+v (%v)", list, err)
	}
	capture(t, w, "archive-saved")
}

// TestArchiveHeld opens an archive that somebody else has: who, and looking only.
func TestArchiveHeld(t *testing.T) {
	dir := madeArchive(t)
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	w := newWindow(t, small, false)
	w.ShowStart()
	w.OpenArchive(dir, false)
	for end := time.Now().Add(time.Minute); w.busy != nil || len(w.sheets) == 0 || buttonNamed(w.sheets[len(w.sheets)-1].pop.Content, "Look only") == nil; time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("the window says: %s", lookAt(w).joined())
		}
	}
	capture(t, w, "archive-held")
	if seen := lookAt(w); w.archive != nil || !strings.Contains(seen.joined(), "Somebody is at work in this archive: ") || !seen.has("Look only") {
		t.Fatalf("the window says: %s", seen.joined())
	}
	top := w.sheets[len(w.sheets)-1]
	buttonNamed(top.pop.Content, "Look only").Tapped(nil)
	opened(t, w)
	s := w.archive
	if !s.lookOnly {
		t.Fatal("it is not open to look")
	}
	s.rest()
	if s.find.m.Count() != 7 {
		t.Errorf("%d reports found", s.find.m.Count())
	}
	s.to(pageFile)
	capture(t, w, "archive-look-only")
	if !s.file.choose[0].Disabled() || s.file.choose[1].Disabled() != true {
		t.Error("filing is offered in an archive that is opened to look only")
	}
	s.dropped([]fyne.URI{storage.NewFileURI(reports(t))})
	if seen := lookAt(w); !seen.has("That did not work") {
		t.Errorf("something dropped on it: %s", seen.joined())
	}
}

// TestArchiveChecked damages a filed report, finds it by a check, and brings it
// back from a copy; and a noted head is proven.
func TestArchiveChecked(t *testing.T) {
	w := archiveWindow(t, large, false)
	s := w.archive
	second := filepath.Join(t.TempDir(), "copy")
	if err := os.CopyFS(second, os.DirFS(s.dir)); err != nil {
		t.Fatal(err)
	}
	head := s.a.Head().String()
	path := s.a.PathOf(archive.Ref{Area: archive.Files, Hash: s.find.m.Choose(0)})
	if err := os.Chmod(path, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte("%PDF-1.7 altered"), 0o644); err != nil {
		t.Fatal(err)
	}
	s.to(pageCheck)
	p := s.panes[pageCheck].(*archiveCheck)
	p.buttons[0].Tapped(nil)
	finish(t, w)
	s.rest()
	capture(t, w, "archive-checked")
	if seen := lookAt(w); p.report == nil || !p.report.Wrong() || !strings.Contains(seen.joined(), "Grave, report ") || !strings.Contains(seen.joined(), "Bring it back: name the folder") {
		t.Fatalf("the check says: %s", seen.joined())
	}
	p.copy.Set(second)
	p.buttons[0].Tapped(nil)
	finish(t, w)
	s.rest()
	if len(p.report.Restored) != 1 {
		t.Errorf("brought back %v: %+v", p.report.Restored, p.report.Findings)
	}
	p.head.Set(head)
	p.prove()
	finish(t, w)
	s.rest()
	capture(t, w, "archive-mended")
	if seen := lookAt(w).joined(); !strings.Contains(seen, "The log passes through the noted head") || !strings.Contains(seen, "1 file was brought back from the copy.") {
		t.Errorf("the page says: %s", seen)
	}
}

// TestArchiveCancelled cancels filing, which keeps what it told of, and goes on;
// while it runs the archive is not left.
func TestArchiveCancelled(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	if err := archive.Make(dir, "Fen Street", false, clock()); err != nil {
		t.Fatal(err)
	}
	in := reports(t)
	w := newWindow(t, small, false)
	w.OpenArchive(dir, false)
	opened(t, w)
	s := w.archive
	s.to(pageFile)
	s.file.take([]string{in})
	running := s.task
	if running == nil {
		t.Fatal("nothing runs")
	}
	s.close()
	if w.archive != s || !lookAt(w).has("That did not work") {
		t.Error("the archive is left while something runs")
	}
	w.sheets[0].hide()
	running.Cancel()
	<-running.Ended()
	s.rest()
	capture(t, w, "archive-cancelled")
	m := s.file.m
	if !m.Broken() || s.file.again.Hidden || !strings.HasPrefix(m.Trouble(), "Cancelled. ") {
		t.Fatalf("after cancelling: %q, %q", m.Summary(), m.Trouble())
	}
	s.file.again.Tapped(nil)
	<-s.task.Ended()
	s.rest()
	k, _ := s.find.m.Ask("")
	if s.find.m.Take(k.Answer()); s.find.m.Count() != 7 || s.file.m.Broken() {
		t.Errorf("%d reports are filed: %q", s.find.m.Count(), s.file.m.Summary())
	}
}
