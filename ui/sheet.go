package ui

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"wornwood/pdfout"
	"wornwood/pdfout/sign"
	"wornwood/ui/look"
	"wornwood/ui/task"
	"wornwood/ui/view"
)

// sheet is a panel over the window: a title, a body, and buttons. While one is
// open, keys and menu do nothing to what lies under it; Escape closes it.
type sheet struct {
	w      *Window
	pop    *widget.PopUp
	closes bool // it may be closed without an answer
}

func (s *sheet) hide() {
	s.pop.Hide()
	s.w.sheets = slices.DeleteFunc(s.w.sheets, func(o *sheet) bool { return o == s })
}

// showSheet lays a panel over the window; closing it is always possible unless
// close is "".
func (w *Window) showSheet(title string, width float32, body fyne.CanvasObject, close string, buttons ...*look.Button) *sheet {
	s := &sheet{w: w, closes: close != ""}
	w.sheets = append(w.sheets, s)
	row := []fyne.CanvasObject{look.Space()}
	if close != "" {
		row = append(row, look.NewButton(close, "", look.Plain, func() { s.hide() }))
	}
	for _, b := range buttons {
		row = append(row, b)
	}
	all := []fyne.CanvasObject{look.NewText(title, look.Title, look.Ink).Bold().Whole(), look.Fixed(width, 0, body)}
	if len(row) > 1 {
		all = append(all, look.SpacedColumns(8, row...))
	}
	s.pop = widget.NewModalPopUp(look.Inset(20, 16, 20, 16, look.Spaced(14, all...)), w.win.Canvas())
	s.pop.Show()
	return s
}

// paragraphs sets sentences under one another, wrapped to the width.
func paragraphs(texts ...string) fyne.CanvasObject {
	var rows []fyne.CanvasObject
	for _, t := range texts {
		rows = append(rows, look.NewParagraph(t, false).Object)
	}
	return look.Spaced(6, rows...)
}

// Fail shows an error in words.
func (w *Window) Fail(err error) {
	if err != nil {
		w.showSheet("That did not work", 460, paragraphs(view.Words(err)), "Close")
	}
}

// Tell shows sentences under a title.
func (w *Window) Tell(title string, sentences ...string) {
	w.showSheet(title, 520, tall(paragraphs(sentences...), len(sentences), 8), "Close")
}

// tall puts a long list into a scroll of bounded height.
func tall(o fyne.CanvasObject, n, most int) fyne.CanvasObject {
	if n <= most {
		return o
	}
	return look.Fixed(0, 360, container.NewVScroll(o))
}

// progressSheet shows how far long work is.
type progressSheet struct {
	*sheet
	bar *widget.ProgressBar
	now *look.Text
}

func (w *Window) showProgress(title string, cancel func()) *progressSheet {
	p := &progressSheet{bar: widget.NewProgressBar(), now: look.NewText("", look.Small, look.Dim)}
	p.bar.TextFormatter = func() string { return "" }
	p.sheet = w.showSheet(title, 420, look.Spaced(8, look.Fixed(0, 6, p.bar), p.now), "",
		look.NewButton("Cancel", "", look.Plain, cancel))
	return p
}

func (p *progressSheet) set(s task.Progress) {
	text := s.What
	if s.Total > 0 {
		p.bar.SetValue(float64(s.Done) / float64(s.Total))
		text = countOf(s.Done, s.Total) + "  " + s.What
	}
	p.now.SetText(text)
}

// showVerdict shows what a report proves, in words.
func (w *Window) showVerdict(path string, v *pdfout.Verdict) {
	headline, lines := view.Verdict(v)
	buttons := []*look.Button{}
	var s *sheet
	if len(v.Signatures) > 0 && !v.Signatures[0].Known && v.OK {
		buttons = append(buttons, look.NewButton("I compared this key…", "key", look.Plain, func() {
			s.hide()
			w.askKnown(v.Signatures[0])
		}))
	}
	if v.Strict == "" && v.Record != nil {
		buttons = append(buttons, look.NewButton("Check strictly", "", look.Plain, func() { s.hide(); w.checkReport(path, true) }))
	}
	if keep := w.keepReturned(path, v, func() { s.hide() }); keep != nil {
		buttons = append(buttons, keep)
	}
	if b := w.receiveButton(path, v, func() { s.hide() }); b != nil {
		buttons = append(buttons, b)
	}
	s = w.verdictSheet(path, headline, v.OK, lines, buttons)
}

// verdictSheet shows a headline and the lines of a verdict.
func (w *Window) verdictSheet(path, headline string, ok bool, lines []view.Finding, buttons []*look.Button) *sheet {
	var rows []fyne.CanvasObject
	for _, l := range lines {
		icon, ink := "info", look.Dim
		switch {
		case l.Bad:
			icon, ink = "warning", look.Bad
		case l.Good:
			icon, ink = "check", look.Accent
		}
		rows = append(rows, look.SpacedColumns(10, look.Rows(look.NewIcon(icon, ink, 18), look.Space()), look.Flex(1, paragraphs(l.Text))))
	}
	head := look.NewText(headline, look.Body, look.Ink).Bold().Whole()
	if !ok {
		head.SetInk(look.Bad)
	}
	return w.showSheet(shortPath(path), 640, look.Spaced(10, head, look.Fixed(0, 380, container.NewVScroll(look.Spaced(10, rows...)))), "Close", buttons...)
}

// askKnown lists a signer's key as known, after the user compared it.
func (w *Window) askKnown(sig pdfout.Signed) {
	w.askCompared(sign.Fingerprint(sig.Fingerprint), sig.Signer, nil)
}
