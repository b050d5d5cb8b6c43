//go:build ci

package ui

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"wornwood/pdfout"
	"wornwood/pdfout/keyring"
	"wornwood/ui/view"
)

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
	tapWork(t, w, "Try again")
	if w.exam.s.Scene().Issued != nil {
		t.Fatal("issued without asking")
	}
	tapWork(t, w, "Issue without a time-stamp")
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
		for range 7 { // shop, examiner, place, paper, language, months, authority
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
