//go:build ci

package ui

import (
	"os"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"wornwood/capture/record"
	"wornwood/ui/view"
)

const passphrase = "a passphrase nobody uses twice"

// TestGapsFollowTheRecord takes the examiner's name away: the report screen
// says so, leads there, and does not issue.
func TestGapsFollowTheRecord(t *testing.T) {
	w := demoWindow(t, large, false)
	w.ShowScreen(view.ReportScreen)
	s := w.frame.now.(*reportScreen)
	if s.issue.Disabled() {
		t.Fatal("the demonstration cannot be issued")
	}
	if err := w.exam.s.SetExamination("Examiner", func(e *record.Examination) { e.Examiner = "" }); err != nil {
		t.Fatal(err)
	}
	settle(w)
	if seen := lookAt(w); !seen.has("Nobody is named as examiner.") || !s.issue.Disabled() {
		t.Errorf("without an examiner the screen says: %s", seen.joined())
	}
	s.one.Entry().SetText(passphrase)
	s.two.Entry().SetText(passphrase)
	s.sign()
	finish(t, w)
	if w.exam.s.Scene().Issued != nil {
		t.Error("a report without an examiner was issued")
	}
}

// TestIssue types two passphrases that differ, then the right ones; the report
// is filed and everything is closed to changes.
func TestIssue(t *testing.T) {
	w := demoWindow(t, large, false)
	w.ShowScreen(view.ReportScreen)
	settle(w)
	s := w.frame.now.(*reportScreen)
	type2 := func(one, two string) {
		s.one.Focus(w.win.Canvas())
		typeText(t, w, one)
		s.two.Focus(w.win.Canvas())
		typeText(t, w, two)
		press(w, fyne.KeyReturn)
		settle(w)
	}
	type2(passphrase, passphrase+"!")
	if !lookAt(w).has("The two passphrases differ.") || w.exam.s.Scene().Issued != nil {
		t.Fatalf("after two passphrases that differ the screen says: %s", lookAt(w).joined())
	}
	capture(t, w, "report-passphrases-differ")
	for _, tx := range lookAt(w).texts {
		if strings.Contains(tx.text, "passphrase nobody") {
			t.Errorf("a passphrase can be read: %q", tx.text)
		}
	}
	s.one.Entry().SetText("")
	s.two.Entry().SetText("")
	type2(passphrase, passphrase)
	finish(t, w)
	is := w.exam.s.Scene().Issued
	if is == nil {
		t.Fatalf("not issued; the window says: %s", lookAt(w).joined())
	}
	if _, err := os.Stat(w.bench.ReportPath(is.File)); err != nil {
		t.Error(err)
	}
	capture(t, w, "report-issued")
	seen := lookAt(w)
	for _, f := range seen.faults() {
		t.Errorf("issued: %s", f)
	}
	for _, text := range []string{"Issued as " + is.Number, "Verify it", "Examine again", is.SHA256[:32]} {
		if !seen.has(text) {
			t.Errorf("the screen does not say %q", text)
		}
	}
	frozen(t, w)
	w.CheckReport(w.bench.ReportPath(is.File))
	finish(t, w)
	capture(t, w, "sheet-verdict")
	if seen := lookAt(w); !strings.Contains(seen.joined(), "Complete and unaltered") {
		t.Errorf("the report just issued: %s", seen.joined())
	}
}

// frozen goes through the screens of an issued examination: nothing can be
// changed on them.
func frozen(t *testing.T, w *Window) {
	t.Helper()
	n := len(w.exam.s.Scene().Record.Marks)
	ms := w.marksNow(t)
	clickAt(ms.outline, bareFront)
	if got := len(w.exam.s.Scene().Record.Marks); got != n {
		t.Errorf("a click on an issued examination made %d marks of %d", got, n)
	}
	if !strings.Contains(w.frame.left.String(), "does not change") {
		t.Errorf("after that click the foot says %q", w.frame.left.String())
	}
	ms.selectMark(1)
	was := w.exam.s.Scene().Record.MarkByNumber(1).Depth
	for i := range 3 {
		test.TapAt(ms.panel.depth, fyne.NewPos(ms.panel.depth.Size().Width*(float32(i)+0.5)/3, 10))
	}
	if got := w.exam.s.Scene().Record.MarkByNumber(1).Depth; got != was {
		t.Errorf("the depth of an issued mark went from %q to %q", was, got)
	}
	w.ShowScreen(view.PartsScreen)
	frozenParts(t, w)
	if w.win.Canvas().Overlays().Top() != nil {
		t.Errorf("a sheet is open: %s", lookAt(w).joined())
	}
}

// keyName is a shortcut as the list of keys writes it.
func keyName(k fyne.KeyName, m fyne.KeyModifier) string {
	name := ""
	if m&fyne.KeyModifierControl != 0 {
		name += "Ctrl+"
	}
	if m&fyne.KeyModifierShift != 0 {
		name += "Shift+"
	}
	return name + string(k)
}

// TestKeyHelpAgrees compares the list of keys with the menu: each shortcut is
// listed, and each Ctrl key listed is one.
func TestKeyHelpAgrees(t *testing.T) {
	w := newWindow(t, large, false)
	listed := map[string]bool{}
	for _, k := range keyHelp {
		keys := strings.Split(k[0], ", ")
		if from, to, ok := strings.Cut(k[0], " … "); ok {
			keys = nil
			stem := from[:len(from)-1]
			for c := from[len(from)-1]; c <= to[len(to)-1]; c++ {
				keys = append(keys, stem+string(rune(c)))
			}
		}
		for _, key := range keys {
			listed[key] = true
		}
	}
	bound := map[string]string{}
	for _, m := range w.win.MainMenu().Items {
		for _, it := range m.Items {
			sc, ok := it.Shortcut.(fyne.KeyboardShortcut)
			if !ok {
				continue
			}
			name := keyName(sc.Key(), sc.Mod())
			if other := bound[name]; other != "" {
				t.Errorf("%s is both %q and %q", name, other, it.Label)
			}
			bound[name] = it.Label
			if !listed[name] && name != string(fyne.KeyF1) {
				t.Errorf("%s (%s) is not in the list of keys", name, it.Label)
			}
		}
	}
	for key := range listed {
		if strings.HasPrefix(key, "Ctrl+") && bound[key] == "" {
			t.Errorf("the list of keys has %s, the menu has not", key)
		}
	}
	for _, need := range []string{"Ctrl+Z", "Ctrl+Shift+Z", "Ctrl+O", "Ctrl+F", "Ctrl+P"} {
		if bound[need] == "" {
			t.Errorf("the standard key %s does nothing", need)
		}
	}
	// The toolkit makes shortcuts of its own of some keys before it asks the
	// menu, so they have to be told by those (fyne internal/driver/glfw/window.go,
	// triggersShortcut: Z, Y, V, C, X, A).
	own := map[string]string{"Ctrl+Z": "Undo", "Ctrl+Y": "Redo", "Ctrl+V": "Paste", "Ctrl+C": "Copy", "Ctrl+X": "Cut", "Ctrl+A": "SelectAll"}
	for _, m := range w.win.MainMenu().Items {
		for _, it := range m.Items {
			if sc, ok := it.Shortcut.(fyne.KeyboardShortcut); ok {
				if want := own[keyName(sc.Key(), sc.Mod())]; want != "" && sc.ShortcutName() != want {
					t.Errorf("%s would never come: its shortcut is %q, the toolkit sends %q", it.Label, sc.ShortcutName(), want)
				}
			}
		}
	}
	if !slices.ContainsFunc(keyHelp, func(k [2]string) bool { return k[0] == "Delete" }) {
		t.Error("the list of keys does not name Delete")
	}
}

// TestPreviewFollows changes the record from the Report screen, by undo, and
// sees the pages laid out anew; the pages have pictures, and the whole of one
// can be brought into sight.
func TestPreviewFollows(t *testing.T) {
	w := demoWindow(t, large, false)
	w.ShowScreen(view.ReportScreen)
	settle(w)
	p := w.frame.now.(*reportScreen).pane
	before := p.laid
	if before == nil || len(p.pages) != before.Pages() || p.pages[0].image.Image == nil {
		t.Fatalf("%d pages on the screen: %q", len(p.pages), p.caption.String())
	}
	wide := p.size()
	if err := w.exam.s.SetExamination("note", func(e *record.Examination) { e.Note = "Kept in its case." }); err != nil {
		t.Fatal(err)
	}
	settle(w)
	if p.laid == before {
		t.Error("the pages are those of before the change")
	}
	test.TapAt(p.fit, fyne.NewPos(p.fit.Size().Width*0.75, 10))
	settle(w)
	if s := p.size(); s.Height > p.scroll.Size().Height || s.Width >= wide.Width {
		t.Errorf("a whole page of %v does not fit into %v", s, p.scroll.Size())
	}
	capture(t, w, "report-whole-page")
	for _, f := range lookAt(w).faults() {
		t.Error(f)
	}
}
