//go:build ci

package ui

import (
	"bytes"
	"context"
	"image/png"
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

// tapWork presses a button that begins work beside the window, and waits for
// its end before anything else touches the window.
func tapWork(t *testing.T, w *Window, text string) {
	t.Helper()
	settle(w)
	tapText(t, w, text)
	finish(t, w)
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

// keyWalk goes through the sheet of keys in one size and look.
type keyWalk struct {
	*testing.T
	w     *Window
	name  string // of the size and look
	first sign.Fingerprint
	file  string // where the first key's certificate was saved
}

// stands sees that the sheet is sound and says what it should.
func (k *keyWalk) stands(name string, want ...string) {
	k.Helper()
	capture(k.T, k.w, "keys-"+name+"-"+k.name)
	s := lookAt(k.w)
	for _, f := range s.faults() {
		k.Errorf("%s: %s", name, f)
	}
	for _, text := range want {
		if !strings.Contains(s.joined(), text) {
			k.Errorf("%s does not say %q: %s", name, text, s.joined())
		}
	}
	if len(s.cut) > 0 {
		k.Errorf("%s cuts %q", name, s.cut)
	}
	secretsUnseen(k.T, k.w)
}

// TestKeySheet makes a key, hands it on, brings another along, and lists keys
// of others; the sheet stands at both sizes, light and dark.
func TestKeySheet(t *testing.T) {
	a := pdfxtest.NewAuthority(t)
	p12 := a.Issue("tarry", "both", "/CN=Anselm Tarry/O=Merrow & Finch", "2020-2048", filePassphrase)
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := benchWindow(t, v.size, v.dark)
			k := &keyWalk{T: t, w: w, name: v.name}
			kept := map[string]string{}
			w.ring = ringOf(kept)
			k.make()
			k.handOn()
			k.remember(kept)
			k.bring(p12)
			k.know()
			press(w, fyne.KeyEscape)
		})
	}
}

func (k *keyWalk) make() {
	t, w := k.T, k.w
	w.showKey()
	k.stands("none", "no signing key yet", "Make the key…", "Bring one along…")
	tapOn(t, w, "Make the key…")
	typeInto(t, w, passphrase, passphrase+"!")
	press(w, fyne.KeyReturn)
	k.stands("make", "The two passphrases differ.")
	w.win.Canvas().Focused().(interface{ TypedKey(*fyne.KeyEvent) }).TypedKey(&fyne.KeyEvent{Name: fyne.KeyBackspace})
	press(w, fyne.KeyReturn)
	finish(t, w)
	id, err := pdfout.PublicIdentity(w.bench)
	if err != nil {
		t.Fatalf("%v: %s", err, lookAt(w).joined())
	}
	k.first = id.Fingerprint()
	k.stands("own", "R. Calloway, Fen Street Instruments", k.first.Long()[:19], k.first.Long()[60:], "Made on this bench", "Copy the fingerprint")
}

func (k *keyWalk) handOn() {
	t, w := k.T, k.w
	// zbarimg (Debian: zbar-tools) reads the code off the window.
	if read := pdfxtest.Output(t, "zbarimg", "--quiet", "--nodbus", "--raw", pictureFile(t, w)); !strings.Contains(read, "R. Calloway, Fen Street Instruments\n"+k.first.Long()) {
		t.Errorf("zbarimg reads %q", read)
	}
	tapOn(t, w, "Copy the fingerprint")
	if got := w.app.Clipboard().Content(); got != k.first.Long() {
		t.Errorf("on the clipboard: %q", got)
	}
	tapOn(t, w, "Save the certificate…")
	k.file = filepath.Join(t.TempDir(), "calloway.pem")
	replaceTyped(w, k.file)
	press(w, fyne.KeyReturn)
	if back, err := sign.LoadPublic(k.file); err != nil || back.Fingerprint() != k.first {
		t.Fatalf("saved: %v; %s", err, lookAt(w).joined())
	}
}

// remember gives the passphrase to the key ring and takes it out again; a wrong
// one is not kept.
func (k *keyWalk) remember(kept map[string]string) {
	t, w := k.T, k.w
	tapOn(t, w, "Remember the passphrase…")
	typeInto(t, w, passphrase+"!")
	press(w, fyne.KeyReturn)
	finish(t, w)
	if len(kept) > 0 || !strings.Contains(lookAt(w).joined(), "does not open the key file") {
		t.Fatalf("a wrong passphrase: %s", lookAt(w).joined())
	}
	tapOn(t, w, "Close")
	replaceSecret(t, w, passphrase)
	press(w, fyne.KeyReturn)
	finish(t, w)
	k.stands("remembered", "The key ring has the passphrase.", "Forget the passphrase")
	if kept[w.bench.ID()] != passphrase {
		t.Error("the key ring has not got the passphrase")
	}
	tapWork(t, w, "Forget the passphrase")
	k.stands("forgotten", "has forgotten", "Remember the passphrase…")
	if len(kept) > 0 {
		t.Error("the key ring still has the passphrase")
	}
}

func (k *keyWalk) bring(p12 string) {
	t, w := k.T, k.w
	tapOn(t, w, "Bring another along…")
	typeInto(t, w, p12, filePassphrase, passphrase)
	k.stands("bring", "Reports are signed with it from then on")
	press(w, fyne.KeyReturn)
	finish(t, w)
	k.stands("brought", "Anselm Tarry, Merrow & Finch", "Certified by Invented Authority", "The one before is kept")
}

func (k *keyWalk) know() {
	t, w := k.T, k.w
	w.sheetOfKeys(t, 1)
	k.stands("nobody", "No key is known here yet")
	typeIntoFind(t, w, k.file)
	k.stands("compare", k.first.Long()[:19], "A key you have compared")
	tapOn(t, w, "List as known")
	k.stands("known", "R. Calloway, Fen Street Instruments", k.first.Long(), "Listed;")
	tapOn(t, w, "Take off")
	k.stands("taken", "is taken off", "Put it back")
	tapOn(t, w, "Put it back")
	if opt, err := w.trusting(); err != nil || opt.Known[k.first] == "" {
		t.Errorf("put back: %v %v", opt.Known, err)
	}
}

// replaceSecret types into the only field of the topmost sheet.
func replaceSecret(t *testing.T, w *Window, text string) {
	t.Helper()
	w.win.Canvas().Unfocus()
	w.win.Canvas().FocusNext()
	replaceTyped(w, text)
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
