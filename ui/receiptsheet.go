package ui

import (
	"os"

	"wornwood/pdfout"
	"wornwood/pdfout/receive"
	"wornwood/pdfout/sign"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// receiveButton offers to receive an instrument against a report that is
// unaltered. It is the main action, but on the bench that issued the report and
// beside the offer to keep what came back.
func (w *Window) receiveButton(path string, v *pdfout.Verdict, hide func()) *look.Button {
	if !v.OK || v.Record == nil {
		return nil
	}
	kind := look.Main
	if w.bench != nil && v.Record.Examination.Number != "" {
		if _, err := os.Stat(w.bench.ReportPath(v.Record.Examination.Number + ".pdf")); err == nil {
			kind = look.Plain
		}
	}
	return look.NewButton("Receive the instrument…", "", kind, func() {
		hide()
		w.Receive(path)
	})
}

// showReceipt shows what a receipt proves and says, and offers to keep it on the
// bench that issued its report.
func (w *Window) showReceipt(path string, v *receive.Verdict) {
	var s *sheet
	var buttons []*look.Button
	if len(v.Signatures) > 0 && !v.Signatures[0].Known && v.OK {
		buttons = append(buttons, look.NewButton("I compared this key…", "key", look.Plain, func() {
			s.hide()
			w.askKnown(v.Signatures[0])
		}))
	}
	if w.bench != nil && receive.CanTake(w.bench, path, v) {
		buttons = append(buttons, look.NewButton("Keep this receipt", "", look.Main, func() {
			s.hide()
			w.takeBack(path)
		}))
	}
	s = w.verdictSheet(path, v.Headline(), v.OK, view.ReceiptFindings(v), buttons)
}

func longKey(fp string) string { return sign.Fingerprint(fp).Long() }
