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
	m *view.ArchiveHistory // nil before the first show

	// onOpen is called with the SHA-256 of a report that was chosen; nil does
	// nothing.
	onOpen func(hash string)
	// onRead is called with the reports that are about to be shown; an error
	// keeps them back. nil does without.
	onRead func(hashes ...string) error
	// change carries out what a person decided on an archive that can be written
	// to; nil does it on the one that is shown.
	change func(do func(*archive.Archive) error) error
	// onChanged is called after a decision was written; nil does nothing.
	onChanged func()

	root          fyne.CanvasObject
	title, second *look.Text
	open          *look.Button
	line          *historyLine
	pages         *look.Segments
	page          int
	body          *fyne.Container
	empty         fyne.CanvasObject
	whole         fyne.CanvasObject
	over          fyne.CanvasObject // the line with its rule

	looks  *historyLooks
	photos *historyPhotos
	joins  *historyJoins
}

// historyPages are the pages below the line of time.
var historyPages = []string{"Examinations", "Marks", "Photos", "Parts and people", "Same instrument?"}

const photosPage = 2

func newArchiveHistory(w *Window) *archiveHistory {
	s := &archiveHistory{w: w, title: look.NewText("", look.Title, look.Ink).Bold(), second: look.NewText("", look.Small, look.Dim), body: container.NewStack()}
	s.open = look.NewButton("Open the report", "", look.Plain, func() {
		if s.onOpen != nil && s.m != nil {
			s.onOpen(s.m.Hash())
		}
	})
	s.line = newHistoryLine(s.pick)
	s.pages = look.NewSegments(historyPages, func(i int) { s.page = i; s.showPage() })
	s.looks, s.photos, s.joins = newHistoryLooks(s), newHistoryPhotos(s), newHistoryJoins(s)
	head := look.SpacedColumns(12, look.Flex(1, look.Rows(look.Space(), s.title, s.second, look.Space())), look.Centred(s.open))
	s.over = look.Rows(look.Fixed(0, lineHeight, s.line), look.NewRule())
	s.whole = look.Rows(look.Fixed(0, 44, head), s.over,
		look.Inset(0, 8, 0, 8, look.Columns(look.Fixed(620, 0, s.pages), look.Space())), look.Flex(1, s.body))
	s.empty = look.Centred(look.NewText("Choose a report to see the history of its instrument.", look.Body, look.Dim).Whole())
	s.whole.Hide()
	s.root = look.Inset(24, 8, 16, 8, container.NewStack(s.empty, s.whole))
	return s
}

func (s *archiveHistory) object() fyne.CanvasObject { return s.root }

// show tells the history of the instrument that a filed report is of.
func (s *archiveHistory) show(a *archive.Archive, hash string) {
	m, err := view.NewArchiveHistory(a, hash)
	if err == nil && s.onRead != nil {
		err = s.onRead(m.Hashes()...)
	}
	if err != nil {
		s.w.Fail(err)
		return
	}
	s.m = m
	s.joins.forget()
	s.photos.forget()
	s.empty.Hide()
	s.whole.Show()
	s.open.Hidden = s.onOpen == nil
	s.pages.Set(s.page)
	s.refresh()
}

// pick selects an examination.
func (s *archiveHistory) pick(i int) {
	if s.m == nil {
		return
	}
	s.m.Select(i)
	s.refresh()
}

func (s *archiveHistory) refresh() {
	s.title.SetText(s.m.Title())
	s.second.SetText(s.m.Second())
	s.line.Set(s.m.Chart())
	s.showPage()
}

// showPage puts the chosen page below the line, with what it shows now.
func (s *archiveHistory) showPage() {
	if s.m == nil {
		return
	}
	// Photos need the room more than the line, whose days they name themselves.
	if hide := s.page == photosPage; hide == s.over.Visible() {
		if s.over.Show(); hide {
			s.over.Hide()
		}
		s.whole.Refresh()
	}
	var o fyne.CanvasObject
	switch s.page {
	case 0:
		o = s.looks.show(s.m)
	case 1:
		o = historyMarks(s.m)
	case photosPage:
		o = s.photos.show(s.m)
	case 3:
		o = historyPeople(s.m)
	default:
		o = s.joins.show(s.m)
	}
	s.body.Objects = []fyne.CanvasObject{o}
	s.body.Refresh()
}
