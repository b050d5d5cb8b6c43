//go:build ci

package ui

import (
	"bytes"
	"context"
	"errors"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/pdfout/keyring"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/sign"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

const filePassphrase = "as the authority gave it"

// ringOf stands in for a desktop's key ring. The real one is tested in its
// package and by a script of the verbs.
func ringOf(kept map[string]string) keyRing {
	return keyRing{
		here:       func() bool { return true },
		remembered: func(b string) bool { return kept[b] != "" },
		keep:       func(_ context.Context, b, p string) error { kept[b] = p; return nil },
		fetch: func(_ context.Context, b string) (string, error) {
			if kept[b] == "" {
				return "", keyring.ErrNone
			}
			return kept[b], nil
		},
		forget: func(_ context.Context, b string) error { delete(kept, b); return nil },
	}
}

// tapOn presses the button of a text on the topmost sheet, else on the window.
func tapOn(t *testing.T, w *Window, text string) {
	t.Helper()
	settle(w)
	tapText(t, w, text)
	settle(w)
}

// secretsUnseen sees that no passphrase can be read on the window.
func secretsUnseen(t *testing.T, w *Window) {
	t.Helper()
	for _, tx := range lookAt(w).texts {
		for _, secret := range []string{passphrase, filePassphrase} {
			if strings.Contains(tx.text, secret) {
				t.Errorf("a passphrase can be read: %q", tx.text)
			}
		}
	}
}

func benchWindow(t *testing.T, size fyne.Size, dark bool) *Window {
	t.Helper()
	w := newWindow(t, size, dark)
	if err := w.OpenBench(filepath.Join(t.TempDir(), "bench"), true); err != nil {
		t.Fatal(err)
	}
	if err := w.bench.SetSettings(bench.Settings{Examiner: "R. Calloway", Shop: "Fen Street Instruments"}); err != nil {
		t.Fatal(err)
	}
	return w
}

// entryLike is a field that is typed in; a button has a text too, but no hint.
type entryLike interface {
	SetText(string)
	SetPlaceHolder(string)
}

// typeInto types into the fields of the topmost sheet, one after the other: the
// keyboard walks from one to the next, past buttons.
func typeInto(t *testing.T, w *Window, texts ...string) {
	t.Helper()
	for i, s := range texts {
		for n := 0; i > 0 && n < 3; n++ {
			w.win.Canvas().FocusNext()
			if _, types := w.win.Canvas().Focused().(entryLike); types {
				break
			}
		}
		typeText(t, w, s)
	}
}

// TestKeySheet makes a key, hands it on, brings another along, and lists keys
// of others; the sheet stands at both sizes, light and dark.
func TestKeySheet(t *testing.T) {
	a := pdfxtest.NewAuthority(t)
	p12 := a.Issue("tarry", "both", "/CN=Anselm Tarry/O=Merrow & Finch", "2020-2048", filePassphrase)
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := benchWindow(t, v.size, v.dark)
			w.ring = ringOf(map[string]string{})
			stands := func(name string, want ...string) {
				t.Helper()
				capture(t, w, "keys-"+name+"-"+v.name)
				s := lookAt(w)
				for _, f := range s.faults() {
					t.Errorf("%s: %s", name, f)
				}
				for _, text := range want {
					if !strings.Contains(s.joined(), text) {
						t.Errorf("%s does not say %q: %s", name, text, s.joined())
					}
				}
				if len(s.cut) > 0 {
					t.Errorf("%s cuts %q", name, s.cut)
				}
				secretsUnseen(t, w)
			}
			w.showKey()
			stands("none", "no signing key yet", "Make the key…", "Bring one along…")
			tapOn(t, w, "Make the key…")
			typeInto(t, w, passphrase, passphrase+"!")
			press(w, fyne.KeyReturn)
			stands("make", "The two passphrases differ.")
			w.win.Canvas().Focused().(interface{ TypedKey(*fyne.KeyEvent) }).TypedKey(&fyne.KeyEvent{Name: fyne.KeyBackspace})
			press(w, fyne.KeyReturn)
			finish(t, w)
			id, err := pdfout.PublicIdentity(w.bench)
			if err != nil {
				t.Fatalf("%v: %s", err, lookAt(w).joined())
			}
			first := id.Fingerprint()
			stands("own", "R. Calloway, Fen Street Instruments", first.Long()[:19], first.Long()[60:], "Made on this bench", "Copy the fingerprint")
			// zbarimg (Debian: zbar-tools) reads the code off the window.
			if read := pdfxtest.Output(t, "zbarimg", "--quiet", "--nodbus", "--raw", pictureFile(t, w)); !strings.Contains(read, "R. Calloway, Fen Street Instruments\n"+first.Long()) {
				t.Errorf("zbarimg reads %q", read)
			}
			tapOn(t, w, "Copy the fingerprint")
			if got := w.app.Clipboard().Content(); got != first.Long() {
				t.Errorf("on the clipboard: %q", got)
			}
			tapOn(t, w, "Save the certificate…")
			file := filepath.Join(t.TempDir(), "calloway.pem")
			replaceTyped(w, file)
			press(w, fyne.KeyReturn)
			if back, err := sign.LoadPublic(file); err != nil || back.Fingerprint() != first {
				t.Fatalf("saved: %v; %s", err, lookAt(w).joined())
			}
			tapOn(t, w, "Bring another along…")
			typeInto(t, w, p12, filePassphrase, passphrase)
			stands("bring", "Reports are signed with it from then on")
			press(w, fyne.KeyReturn)
			finish(t, w)
			stands("brought", "Anselm Tarry, Merrow & Finch", "Certified by Invented Authority", "The one before is kept")
			w.sheetOfKeys(t, 1)
			stands("nobody", "No key is known here yet")
			typeIntoFind(t, w, file)
			stands("compare", first.Long()[:19], "A key you have compared")
			tapOn(t, w, "List as known")
			stands("known", "R. Calloway, Fen Street Instruments", first.Long(), "Listed;")
			tapOn(t, w, "Take off")
			stands("taken", "is taken off", "Put it back")
			tapOn(t, w, "Put it back")
			if k, err := w.known(); err != nil || k[first] == "" {
				t.Errorf("put back: %v %v", k, err)
			}
			press(w, fyne.KeyEscape)
		})
	}
}

// pictureFile is a picture of the window as a file.
func pictureFile(t *testing.T, w *Window) string {
	t.Helper()
	settle(w)
	var b bytes.Buffer
	if err := png.Encode(&b, w.win.Canvas().Capture()); err != nil {
		t.Fatal(err)
	}
	return pdfxtest.Write(t, "window.png", b.Bytes())
}

func replaceTyped(w *Window, text string) {
	w.win.Canvas().Focused().(entryLike).SetText(text)
}

// sheetOfKeys shows a page of the sheet of keys, which is open.
func (w *Window) sheetOfKeys(t *testing.T, page int) {
	t.Helper()
	s := segmentsOf(w.win.Canvas().Overlays().Top())
	if s == nil {
		t.Fatal("no sheet of keys is open")
	}
	test.TapAt(s, fyne.NewPos(s.Size().Width*(float32(page)+0.5)/2, 10))
	settle(w)
}

func segmentsOf(o fyne.CanvasObject) *look.Segments {
	switch o := o.(type) {
	case *look.Segments:
		return o
	case *fyne.Container:
		for _, c := range o.Objects {
			if s := segmentsOf(c); s != nil {
				return s
			}
		}
	case fyne.Widget:
		for _, c := range test.WidgetRenderer(o).Objects() {
			if s := segmentsOf(c); s != nil {
				return s
			}
		}
	}
	return nil
}

func typeIntoFind(t *testing.T, w *Window, text string) {
	t.Helper()
	w.win.Canvas().Unfocus()
	for range 12 {
		w.win.Canvas().FocusNext()
		if e, ok := w.win.Canvas().Focused().(entryLike); ok {
			e.SetText(text)
			tapOn(t, w, "Compare and add…")
			return
		}
	}
	t.Fatal("there is no field to type a key into")
}

// TestIssueWithoutAuthority: the time-stamp authority of the settings does not
// answer; nothing is issued until the dealer says without. The passphrase is
// not asked again.
func TestIssueWithoutAuthority(t *testing.T) {
	w := demoWindow(t, small, false)
	set := w.bench.Settings()
	set.Timestamp = "http://127.0.0.1:1/"
	if err := w.bench.SetSettings(set); err != nil {
		t.Fatal(err)
	}
	kept := map[string]string{}
	w.ring = ringOf(kept)
	w.ShowScreen(view.ReportScreen)
	settle(w)
	s := w.frame.now.(*reportScreen)
	s.one.Entry().SetText(passphrase)
	s.two.Entry().SetText(passphrase)
	s.ring.SetChecked(true)
	capture(t, w, "report-key-ring")
	for _, f := range lookAt(w).faults() {
		t.Error(f)
	}
	s.sign()
	finish(t, w)
	capture(t, w, "sheet-no-time-stamp")
	seen := lookAt(w)
	for _, want := range []string{"nothing was issued", "does not answer", "Issue without a time-stamp", "Try again", "Not now"} {
		if !strings.Contains(seen.joined(), want) {
			t.Errorf("the sheet does not say %q: %s", want, seen.joined())
		}
	}
	for _, f := range seen.faults() {
		t.Error(f)
	}
	secretsUnseen(t, w)
	if w.exam.s.Scene().Issued != nil {
		t.Fatal("issued without asking")
	}
	tapOn(t, w, "Try again")
	finish(t, w)
	if w.exam.s.Scene().Issued != nil {
		t.Fatal("issued without asking")
	}
	tapOn(t, w, "Issue without a time-stamp")
	finish(t, w)
	if w.exam.s.Scene().Issued == nil {
		t.Fatalf("not issued: %s", lookAt(w).joined())
	}
	if kept[w.bench.ID()] != passphrase {
		t.Error("the key ring was not given the passphrase")
	}
}

// TestIssueFromTheKeyRing signs without typing; a passphrase there that is not
// the key's any more is said, and so is that an authority revoked nothing of a
// self-made key.
func TestIssueFromTheKeyRing(t *testing.T) {
	w := demoWindow(t, small, true)
	if _, err := pdfout.OpenIdentity(w.bench, w.exam.ex.Record(), passphrase, clock()); err != nil {
		t.Fatal(err)
	}
	set := w.bench.Settings()
	set.LongTerm = true
	if err := w.bench.SetSettings(set); err != nil {
		t.Fatal(err)
	}
	kept := map[string]string{w.bench.ID(): "another passphrase"}
	w.ring = ringOf(kept)
	w.ShowScreen(view.ReportScreen)
	settle(w)
	capture(t, w, "report-from-key-ring")
	if seen := lookAt(w); !strings.Contains(seen.joined(), "key ring") {
		t.Errorf("the screen does not name the key ring: %s", seen.joined())
	}
	s := w.frame.now.(*reportScreen)
	s.sign()
	finish(t, w)
	if seen := lookAt(w); w.exam.s.Scene().Issued != nil || !strings.Contains(seen.joined(), "does not open this bench's key any more") {
		t.Fatalf("with a wrong passphrase: %s", seen.joined())
	}
	w.win.Canvas().Unfocus()
	press(w, fyne.KeyEscape)
	kept[w.bench.ID()] = passphrase
	s.sign()
	finish(t, w)
	if w.exam.s.Scene().Issued == nil || !strings.Contains(lookAt(w).joined(), "nothing to embed") {
		t.Errorf("issued %v: %s", w.exam.s.Scene().Issued, lookAt(w).joined())
	}
}

// TestIssueExpired: a certificate that is over signs nothing, and the window
// says why.
func TestIssueExpired(t *testing.T) {
	w := demoWindow(t, small, false)
	if _, err := pdfout.OpenIdentity(w.bench, w.exam.ex.Record(), passphrase, clock().AddDate(-30, 0, 0)); err != nil {
		t.Fatal(err)
	}
	w.issue(issueWish{passphrase: passphrase})
	finish(t, w)
	if seen := lookAt(w); w.exam.s.Scene().Issued != nil || !strings.Contains(seen.joined(), "not valid at this time") {
		t.Errorf("%s", seen.joined())
	}
	w.showKey()
	capture(t, w, "keys-expired")
	if seen := lookAt(w); !strings.Contains(seen.joined(), "Nothing can be signed with it now") {
		t.Errorf("%s", seen.joined())
	}
}

// A key ring that fails does not keep a report from being issued.
func TestUnkeptPassphrase(t *testing.T) {
	w := demoWindow(t, small, false)
	w.ring = ringOf(map[string]string{})
	w.ring.keep = func(context.Context, string, string) error {
		return errors.Join(errors.New("remember"), keyring.ErrAbsent)
	}
	w.issue(issueWish{passphrase: passphrase, remember: true})
	finish(t, w)
	if w.exam.s.Scene().Issued == nil || !strings.Contains(lookAt(w).joined(), "no key ring") {
		t.Errorf("%s", lookAt(w).joined())
	}
}

// TestSettingsAuthority keeps an address that is one, and says what is wrong
// with another without losing it.
func TestSettingsAuthority(t *testing.T) {
	w := benchWindow(t, small, false)
	w.askSettings()
	capture(t, w, "sheet-settings")
	for _, f := range lookAt(w).faults() {
		t.Error(f)
	}
	authority := func(text string) {
		w.win.Canvas().Unfocus()
		for range 6 { // shop, examiner, place, paper, months, authority
			w.win.Canvas().FocusNext()
		}
		replaceTyped(w, text)
	}
	authority("stamps.example.org")
	tapOn(t, w, "Keep")
	if seen := lookAt(w); !strings.Contains(seen.joined(), "http://") || w.bench.Settings().Timestamp != "" {
		t.Errorf("%s", seen.joined())
	}
	tapOn(t, w, "Close")
	authority("https://stamps.example.org/")
	tapOn(t, w, "Keep")
	if got := w.bench.Settings().Timestamp; got != "https://stamps.example.org/" {
		t.Errorf("kept: %q", got)
	}
	if _, err := os.Stat(filepath.Join(w.bench.Dir(), "bench.json")); err != nil {
		t.Error(err)
	}
}
