package ui

import (
	"context"
	"errors"
	"sync"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
	"wornwood/ui/task"
	"wornwood/ui/view"
)

// The pages of an archive, in the order of the rail.
const (
	pageFind = iota
	pageHistory
	pageFile
	pageRefused
	pageCheck
	pageDue
)

var archivePages = []struct{ label, icon string }{
	{"Find", "search"}, {"History", "history"}, {"File", "import"}, {"Refused", "warning"}, {"Check", "verify"}, {"Due", "dating"},
}

// archivePane is one page of the screen: shown is called each time that it comes
// into sight, changed after the archive was changed and when it is busy or free.
type archivePane interface {
	object() fyne.CanvasObject
	shown()
	changed()
}

// archiveScreen is an open archive: a place of its own with a rail.
type archiveScreen struct {
	w        *Window
	a        *archive.Archive
	dir      string
	lookOnly bool
	left     bool
	by       string // who decides, as typed last

	ctx  context.Context
	stop context.CancelFunc
	work sync.WaitGroup // what is read beside the window
	task *task.Task     // filing or checking that is under way

	root     fyne.CanvasObject
	page     int
	panes    []archivePane
	rail     []*look.RailItem
	body     *fyne.Container
	foot     *look.Text
	progress *look.Progress
	find     *archiveFind
	file     *archiveFile
	history  *archiveHistoryPane
	due      *archiveDuePane
}

func newArchiveScreen(w *Window, a *archive.Archive, dir string, lookOnly bool) *archiveScreen {
	s := &archiveScreen{w: w, a: a, dir: dir, lookOnly: lookOnly, by: userName(), body: container.NewStack(), foot: look.NewText("", look.Small, look.Dim)}
	s.ctx, s.stop = context.WithCancel(w.ctx)
	s.progress = look.NewProgress(func() {
		if s.task != nil {
			s.task.Cancel()
		}
	})
	s.find, s.file, s.history, s.due = newArchiveFind(s), newArchiveFile(s), newArchiveHistoryPane(s), newArchiveDuePane(s)
	s.panes = []archivePane{s.find, s.history, s.file, newArchiveRefused(s), newArchiveCheck(s), s.due}
	s.root = s.compose()
	return s
}

func (s *archiveScreen) compose() fyne.CanvasObject {
	back := look.NewButton("", "back", look.Quiet, s.close)
	state := look.NewText("", look.Small, look.Dim).Right()
	if s.lookOnly {
		state.SetText("opened to look only: nothing can be filed or changed")
	}
	head := look.SpacedColumns(6, look.Centred(back),
		look.Flex(2, look.Rows(look.Space(), look.NewText(s.a.Settings.Name, look.Title, look.Ink).Bold(), look.NewText(homely(s.dir), look.Small, look.Dim), look.Space())),
		look.Flex(1, look.Rows(look.Space(), state, look.Space())))
	var rail []fyne.CanvasObject
	for i, p := range archivePages {
		item := look.NewRailItem(p.label, p.icon, func() { s.to(i) })
		s.rail = append(s.rail, item)
		rail = append(rail, item)
	}
	rail = append(rail, look.Space())
	copyHead := look.NewButton("Copy the head", "", look.Quiet, s.copyHead).Tight()
	foot := look.SpacedColumns(12, look.Flex(3, look.Rows(look.Space(), s.foot, look.Space())), look.Flex(2, s.progress.Object), copyHead)
	return look.Rows(
		look.Fixed(0, 56, look.Inset(10, 4, 16, 4, head)), look.NewRule(),
		look.Flex(1, look.Columns(look.Fixed(88, 0, look.Rows(rail...)), look.NewRule(), look.Flex(1, s.body))),
		look.NewRule(), look.Fixed(0, 32, look.Inset(16, 1, 10, 1, foot)))
}

// show puts the screen into the window.
func (s *archiveScreen) show() {
	w := s.w
	w.frame, w.receiving = nil, nil
	w.win.SetTitle("Wornwood: " + s.a.Settings.Name)
	w.win.SetContent(s.root)
	s.to(pageFind)
	w.archive = s
}

// to goes to a page.
func (s *archiveScreen) to(page int) {
	s.w.takeTyped()
	s.page = page
	for i, r := range s.rail {
		r.Set(i == page, look.NoDot)
	}
	s.body.Objects = []fyne.CanvasObject{s.panes[page].object()}
	s.body.Refresh()
	s.refreshFoot()
	s.panes[page].shown()
}

func (s *archiveScreen) refreshFoot() {
	if s.task != nil {
		return // the log grows; its head is told when it is known
	}
	h := s.a.Head()
	s.foot.SetText("Head of the log: line " + view.Grouped(int(h.Seq)) + ", " + h.Hash[:16] + "…")
}

// copyHead puts the head of the log on the clipboard, to be noted elsewhere.
func (s *archiveScreen) copyHead() {
	if s.task != nil {
		return
	}
	s.w.app.Clipboard().SetContent(s.a.Head().String())
	s.foot.SetText("The head is on the clipboard. Noted elsewhere, it proves later that nothing before it was changed.")
}

// close goes back to the bench or to the start, and lets go of the archive.
func (s *archiveScreen) close() {
	if s.task != nil {
		s.w.Fail(errors.New("something is still running in this archive; wait for it or cancel it"))
		return
	}
	s.w.leaveArchive()
	s.w.showUnder()
}

// shut closes the archive, once nothing reads in it any more.
func (s *archiveScreen) shut() {
	s.stop()
	s.work.Wait()
	if err := s.a.Close(); err != nil {
		s.w.Fail(err)
	}
}

// here says whether the archive is still the one that is shown.
func (s *archiveScreen) here() bool { return !s.left }

// beside reads something beside the window and comes back to it with the result,
// unless the archive was left meanwhile.
func (s *archiveScreen) beside(read func(), then func()) {
	s.work.Go(func() {
		read()
		fyne.Do(func() {
			if s.here() {
				then()
			}
		})
	})
}

// canChange says whether something can be changed now; where not, why is told.
func (s *archiveScreen) canChange() bool {
	err := s.change(func(*archive.Archive) error { return nil })
	s.w.Fail(err)
	return err == nil
}

// change carries out what a person decided in a pane that stands here.
func (s *archiveScreen) change(do func(*archive.Archive) error) error {
	switch {
	case s.lookOnly:
		return errors.New("this archive is opened to look only")
	case s.task != nil:
		return errors.New("something else is still running in this archive; wait for it or cancel it")
	}
	return do(s.a)
}

// run runs filing or a check, with its progress at the foot; the other pages can
// be used meanwhile. each is called with each piece of progress that is shown, end
// in any case, before the pages follow.
func (s *archiveScreen) run(what string, f task.Work, each func(), end func(error)) {
	if s.w.busy != nil {
		s.w.Fail(errors.New("something else is still running; wait for it or cancel it"))
		return
	}
	s.progress.Begin(what)
	s.task = task.New(s.w.ctx, f, func(f func()) { fyne.Do(f) }, func(p task.Progress) {
		s.progress.Step(p.Done, p.Total, p.What)
		if s.here() {
			each()
		}
	}, func(err error) {
		s.task = nil
		defer func() { s.w.busy = nil }()
		s.progress.End()
		if !s.here() { // it was left meanwhile
			s.shut()
			return
		}
		end(err)
		s.followed()
	})
	s.w.busy = s.task
	s.tellPanes()
	s.task.Start()
}

// followed has the pages follow a change of the archive.
func (s *archiveScreen) followed() {
	s.refreshFoot()
	s.tellPanes()
}

func (s *archiveScreen) tellPanes() {
	for _, p := range s.panes {
		p.changed()
	}
}

// dropped files what was dropped on the window.
func (s *archiveScreen) dropped(uris []fyne.URI) {
	var paths []string
	for _, u := range uris {
		paths = append(paths, u.Path())
	}
	s.to(pageFile)
	s.file.take(paths)
}

// open goes to Find and shows a report there.
func (s *archiveScreen) open(hash string) {
	s.to(pageFind)
	s.find.detail.show(hash)
}

// showHistory shows the history of the instrument that a report is of.
func (s *archiveScreen) showHistory(hash string) {
	s.history.hash = hash
	s.to(pageHistory)
}
