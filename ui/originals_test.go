//go:build ci

package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"wornwood/pdfout"
	"wornwood/ui/view"
)

// The originals go into a report when the box is ticked by the keyboard, after
// it was said what they give away; the report issued then holds them.
func TestOriginalsInside(t *testing.T) {
	w := demoWindow(t, large, false)
	w.ShowScreen(view.ReportScreen)
	settle(w)
	s := w.frame.now.(*reportScreen)
	if s.originals.on() {
		t.Fatal("originals go inside unasked")
	}
	w.win.Canvas().Focus(s.originals.box)
	press(w, fyne.KeySpace)
	s.originals.box.TypedRune(' ')
	finish(t, w)
	if seen := lookAt(w); !s.originals.on() || !strings.Contains(seen.joined(), "An original holds everything that the camera wrote into it") {
		t.Errorf("ticked: %v; the screen says: %s", s.originals.on(), seen.joined())
	}
	capture(t, w, "originals-inside")
	s.one.Entry().SetText(passphrase)
	s.two.Entry().SetText(passphrase)
	s.sign()
	finish(t, w)
	is := w.exam.s.Scene().Issued
	if is == nil {
		t.Fatalf("nothing was issued: %s", lookAt(w).joined())
	}
	v, err := pdfout.Verify(t.Context(), w.bench.ReportPath(is.File), pdfout.VerifyOptions{})
	if err != nil || !v.OK || v.Originals == nil || v.Originals.Fit != len(v.Record.Photos) || v.Originals.Fit == 0 {
		t.Fatalf("%v %+v", err, v.Originals)
	}
	w.CheckReport(w.bench.ReportPath(is.File))
	finish(t, w)
	capture(t, w, "verdict")
	w.checkReport(w.bench.ReportPath(is.File), true)
	finish(t, w)
	if all := lookAt(w).joined(); !strings.Contains(all, "Asked for and missing") {
		t.Errorf("strict checking says: %s", all)
	}
	capture(t, w, "verdict-strict")
}
