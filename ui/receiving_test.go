//go:build ci

package ui

import (
	"bytes"
	"context"
	"fmt"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"

	"wornwood/annotate/shape"
	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/pdfout/receive"
	"wornwood/ui/markview"
	"wornwood/ui/view"
)

// issuedDemo is a copy of the demonstration with its report issued, which is
// done once.
var issuedOnce struct {
	sync.Once
	dir string
	err error
}

func issuedDemo(t *testing.T) (dir, report string) {
	t.Helper()
	from, exam := demoBench(t)
	issuedOnce.Do(func() {
		w := newWindow(t, large, false)
		if issuedOnce.err = w.OpenBench(from, false); issuedOnce.err != nil {
			return
		}
		if issuedOnce.err = w.OpenExam(exam); issuedOnce.err != nil {
			return
		}
		w.ShowScreen(view.ReportScreen)
		s := w.frame.now.(*reportScreen)
		s.one.Entry().SetText(passphrase)
		s.two.Entry().SetText(passphrase)
		s.sign()
		finish(t, w)
		if issuedOnce.err = w.Close(); issuedOnce.err != nil {
			return
		}
		issuedOnce.dir = filepath.Join(demoOnce.dir, "issued")
		issuedOnce.err = os.CopyFS(issuedOnce.dir, os.DirFS(from))
	})
	if issuedOnce.err != nil {
		t.Fatal(issuedOnce.err)
	}
	dir = filepath.Join(t.TempDir(), "bench")
	if err := os.CopyFS(dir, os.DirFS(issuedOnce.dir)); err != nil {
		t.Fatal(err)
	}
	report = filepath.Join(t.TempDir(), "report.pdf")
	b, err := os.ReadFile(filepath.Join(dir, "reports", "CR-2026-0001.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(report, b, 0o644); err != nil {
		t.Fatal(err)
	}
	return dir, report
}

// receivingNow opens the receiving of a report, its photos loaded and painted.
func receivingNow(t *testing.T, w *Window, report string) *receiveScreen {
	t.Helper()
	w.Receive(report)
	finish(t, w)
	s := w.receiving
	if s == nil {
		t.Fatalf("no receiving screen; on the window: %s", lookAt(w).joined())
	}
	for _, id := range s.m.Photos() {
		j, err := s.m.Picture(id)
		if err != nil {
			t.Fatal(err)
		}
		img, err := jpeg.Decode(bytes.NewReader(j))
		if err != nil {
			t.Fatal(err)
		}
		s.store.Put(id, markview.NewPyramid(img))
	}
	s.m.Step(1)
	s.refresh()
	s.m.Step(-1)
	s.refresh()
	settle(w)
	w.win.Canvas().Capture() // gives the canvases their size
	return s
}

// tapButton presses what stands at a text, on the topmost sheet or the window.
func tapButton(t *testing.T, w *Window, text string) {
	t.Helper()
	settle(w)
	tapText(t, w, text)
}

// TestReceivingStands renders the screen at both sizes, light and dark, with
// answers given and something new chosen.
func TestReceivingStands(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			_, report := issuedDemo(t)
			w := newWindow(t, v.size, v.dark)
			w.ShowStart()
			s := receivingNow(t, w, report)
			press1(w, "1", "1", "3")
			press1(w, "2")
			typeText(t, w, "larger than drawn: 14 mm")
			press(w, fyne.KeyReturn)
			s.choose(3)
			img := capture(t, w, "receiving-"+v.name)
			checkPicture(t, "receiving", img, v.size, v.dark)
			seen := lookAt(w)
			for _, f := range seen.faults() {
				t.Error(f)
			}
			for _, want := range []string{"Receiving CR-2026-0001", "larger than drawn: 14 mm", "As described", "Issue a receipt…", "Countersign…"} {
				if !seen.has(want) {
					t.Errorf("%q is not on the screen", want)
				}
			}
			w.win.Canvas().Focus(s.list)
			press1(w, "n")
			settle(w)
			clickAt(s.outline, shape.Pt{X: 20, Y: 640})
			capture(t, w, "receiving-new-"+v.name)
			for _, f := range lookAt(w).faults() {
				t.Errorf("something new: %s", f)
			}
			s.m.SetKind("dent")
			s.askSign(true)
			capture(t, w, "receiving-sign-"+v.name)
			for _, f := range lookAt(w).faults() {
				t.Errorf("signing: %s", f)
			}
		})
	}
}

func press1(w *Window, keys ...string) {
	for _, k := range keys {
		w.win.Canvas().Focused().TypedRune([]rune(k)[0])
	}
}

// TestReceive goes the whole way: the buyer without a bench, by keys, closes in
// the middle, goes on, issues a receipt; the dealer's window takes it back and
// shows it.
func TestReceive(t *testing.T) {
	dir, report := issuedDemo(t)
	w := newWindow(t, large, false)
	w.ShowStart()
	w.CheckReport(report)
	finish(t, w)
	capture(t, w, "verdict-receive")
	tapButton(t, w, "Receive the instrument…")
	finish(t, w)
	s := w.receiving
	if s == nil {
		t.Fatal("no receiving screen")
	}
	all := len(s.m.Rows())
	press1(w, "1", "2")
	typeText(t, w, "larger than drawn")
	press(w, fyne.KeyReturn) // back in the list, on the next that is not checked
	if s.m.Selected() != 2 || w.win.Canvas().Focused() != fyne.Focusable(s.list) {
		t.Errorf("after Enter: row %d", s.m.Selected())
	}
	s.detail.focus()
	typeText(t, w, "typed and not entered")
	s.close()
	if w.receiving != nil || !lookAt(w).has("Check a report…") {
		t.Error("closing does not lead to the start")
	}
	s = receivingNow(t, w, report)
	d := s.m.Rows()
	if d[0].Answer != "as described" || d[1].Answer != "differs" || d[2].Answer != "differs" || s.m.Progress() != fmt.Sprintf("3 of %d checked, 2 differences", all) {
		t.Fatalf("%s: %+v", s.m.Progress(), d[:3])
	}
	tapButton(t, w, "The rest is as described")
	tapButton(t, w, "Add what is new")
	typeText(t, w, "den")
	settle(w)
	clickAt(s.outline, shape.Pt{X: 20, Y: 640})
	if n := s.m.New(); n == nil || n.Kind != "dent" || n.At == nil || n.Place == "" {
		t.Errorf("%+v", n)
	}
	photo := filepath.Join("..", "testdata", "demo", demoPhotos(t)[0])
	w.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(photo)})
	if n := s.m.New(); len(n.Photos) != 1 || s.m.Photo() != n.Photos[0] {
		t.Errorf("a dropped photo: %+v", n)
	}
	to := filepath.Join(t.TempDir(), "receipt.pdf")
	signReceipt(t, w, to)
	if !lookAt(w).has("Signed: 2 differences, 1 new") {
		t.Errorf("%s", lookAt(w).joined())
	}
	c, err := receive.Check(context.Background(), to, pdfout.VerifyOptions{})
	if err != nil || !c.OK || c.Receipt.By != "B. Atherley" {
		t.Fatalf("%v %v", c, err)
	}
	takenBack(t, dir, to)
}

func demoPhotos(t *testing.T) []string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join("..", "testdata", "demo", "*.jpg"))
	if err != nil || len(list) == 0 {
		t.Fatalf("the demo's photos are missing: %v", err)
	}
	for i := range list {
		list[i] = filepath.Base(list[i])
	}
	return list
}

// signReceipt fills the form and signs; nothing is written with two different
// passphrases.
func signReceipt(t *testing.T, w *Window, to string) {
	t.Helper()
	w.receiving.askSign(false)
	f := w.receiving.form
	f.by.Entry().SetText("B. Atherley")
	f.file.Entry().SetText(to)
	f.one.Entry().SetText(passphrase)
	f.two.Entry().SetText(passphrase + "!")
	tapButton(t, w, "Sign and issue")
	if _, err := os.Stat(to); err == nil || !lookAt(w).has("The two passphrases differ.") {
		t.Errorf("signed with two passphrases: %s", lookAt(w).joined())
	}
	f.two.Entry().SetText(passphrase)
	tapButton(t, w, "Sign and issue")
	finish(t, w)
}

// takenBack is the dealer's side: the receipt is checked, kept, and shown on the
// Report screen and in the list.
func takenBack(t *testing.T, dir, receipt string) {
	t.Helper()
	w := newWindow(t, large, false)
	if err := w.OpenBench(dir, false); err != nil {
		t.Fatal(err)
	}
	w.CheckReport(receipt)
	finish(t, w)
	capture(t, w, "receipt-sheet")
	if s := lookAt(w); !strings.Contains(s.joined(), "A receipt, complete and unaltered") {
		t.Errorf("%s", s.joined())
	}
	tapButton(t, w, "Keep this receipt")
	finish(t, w)
	tapButton(t, w, "Close")
	settle(w)
	capture(t, w, "receipt-list")
	if s := lookAt(w); !s.has("2 differences, 1 new") {
		t.Errorf("the list says: %s", s.joined())
	}
	rows, err := w.bench.Instruments()
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(rows, func(r bench.Row) bool { return r.Number == "CR-2026-0001" })
	if err := w.OpenExam(rows[i].Exam); err != nil {
		t.Fatal(err)
	}
	w.ShowScreen(view.ReportScreen)
	capture(t, w, "receipt-report")
	s := lookAt(w)
	for _, want := range []string{"What the buyer says", "Received with 2 differences, 1 new by B. Atherley", "differs: larger than drawn", "New, "} {
		if !strings.Contains(s.joined(), want) {
			t.Errorf("%q is not on the Report screen: %s", want, s.joined())
		}
	}
}

// An altered report is refused in words, and a receipt is checked as one.
func TestReceiveRefuses(t *testing.T) {
	_, report := issuedDemo(t)
	b, err := os.ReadFile(report)
	if err != nil {
		t.Fatal(err)
	}
	b[len(b)/2] ^= 1
	bad := filepath.Join(t.TempDir(), "bad.pdf")
	if err := os.WriteFile(bad, b, 0o600); err != nil {
		t.Fatal(err)
	}
	w := newWindow(t, large, false)
	w.ShowStart()
	w.CheckReport(bad)
	finish(t, w)
	if lookAt(w).has("Receive the instrument…") {
		t.Error("an altered report can be received")
	}
	tapButton(t, w, "Close")
	w.Receive(bad)
	finish(t, w)
	if w.receiving != nil || !strings.Contains(lookAt(w).joined(), "does not pass its check") {
		t.Errorf("%s", lookAt(w).joined())
	}
}
