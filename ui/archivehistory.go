package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// archiveHistory shows one instrument over all its filed examinations. It is a
// pane that stands in any screen: object is put there once, show fills it.
type archiveHistory struct {
	w *Window
	m *view.ArchiveHistory

	// onOpen is called with the SHA-256 of a report that was chosen; nil does
	// nothing.
	onOpen func(hash string)
	// change carries out what a person decided on an archive that can be written
	// to; nil does it on the one that is shown.
	change func(do func(*archive.Archive) error) error
	// onChanged is called after a decision was written; nil does nothing.
	onChanged func()

	root fyne.CanvasObject
	body *fyne.Container
}

func newArchiveHistory(w *Window) *archiveHistory {
	s := &archiveHistory{w: w, body: container.NewStack()}
	s.root = look.Inset(24, 12, 16, 12, s.body)
	return s
}

func (s *archiveHistory) object() fyne.CanvasObject { return s.root }

// show tells the history of the instrument that a filed report is of.
func (s *archiveHistory) show(a *archive.Archive, hash string) {
	m, err := view.NewArchiveHistory(a, hash)
	if err != nil {
		s.w.Fail(err)
		return
	}
	s.m = m
	var lines []string
	for _, l := range m.Looks() {
		lines = append(lines, l.Head+": "+l.Index)
	}
	s.body.Objects = []fyne.CanvasObject{look.Rows(look.NewText(m.Title(), look.Title, look.Ink).Bold(), paragraphs(lines...))}
	s.body.Refresh()
}
