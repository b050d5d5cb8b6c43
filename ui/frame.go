package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// screen is one screen of an examination: what is drawn, and how it follows a
// change.
type screen interface {
	object() fyne.CanvasObject
	refresh()
}

// frame is what surrounds the screens of an examination: the header with the
// three answers, the rail, the foot.
type frame struct {
	w       *Window
	title   *look.Text
	sub     *look.Text
	answers [3]*look.Figure
	issue   *look.Button
	rail    map[view.Screen]*look.RailItem
	left    *look.Text
	right   *look.Text
	body    *fyne.Container
	now     screen
	said    string // shown at the foot until the next change
}

func newFrame(w *Window) *frame {
	f := &frame{w: w, rail: map[view.Screen]*look.RailItem{}}
	f.title = look.NewText("", look.Title, look.Ink).Bold()
	f.sub = look.NewText("", look.Small, look.Dim)
	f.left = look.NewText("", look.Small, look.Ink)
	f.right = look.NewText("", look.Small, look.Dim).Right()
	for i := range f.answers {
		f.answers[i] = look.NewFigure("", "", "")
	}
	f.issue = look.NewButton("Issue report", "", look.Main, func() { w.ShowScreen(view.ReportScreen) })
	f.body = container.NewStack()
	return f
}

// object composes the frame.
func (f *frame) object() fyne.CanvasObject {
	back := look.NewButton("", "back", look.Quiet, f.w.toBench)
	head := look.SpacedColumns(28,
		look.Flex(1, look.SpacedColumns(6, look.Centred(back), look.Flex(1, look.Rows(look.Space(), f.title, f.sub, look.Space())))),
		f.answers[0], f.answers[1], f.answers[2], look.Centred(f.issue))
	rail := []fyne.CanvasObject{}
	for _, it := range f.w.exam.shell.Rail() {
		item := look.NewRailItem(string(it.Screen), it.Icon, func() { f.w.ShowScreen(it.Screen) })
		item.OnHover = func(in bool) { f.hover(it.Screen, in) }
		f.rail[it.Screen] = item
		rail = append(rail, item)
	}
	rail = append(rail, look.Space())
	foot := look.SpacedColumns(20, look.Flex(2, f.left), look.Flex(1, f.right))
	return look.Rows(
		look.Fixed(0, 56, look.Inset(10, 4, 16, 4, head)), look.NewRule(),
		look.Flex(1, look.Columns(look.Fixed(88, 0, look.Rows(rail...)), look.NewRule(), look.Flex(1, f.body))),
		look.NewRule(), look.Fixed(0, 28, look.Inset(16, 4, 16, 4, foot)),
	)
}

// hover says at the foot what is missing on a screen.
func (f *frame) hover(s view.Screen, in bool) {
	if !in {
		f.refreshFoot()
		return
	}
	for _, it := range f.w.exam.shell.Rail() {
		if it.Screen == s && it.Why != "" {
			f.left.SetText(string(s) + ": " + it.Why)
		}
	}
}

// say shows a sentence at the foot until the next change.
func (f *frame) say(s string) {
	if f == nil {
		return
	}
	f.said = s
	f.refreshFoot()
}

func (f *frame) refreshFoot() {
	left, right := f.w.exam.shell.Foot()
	if f.said != "" {
		left = f.said
	}
	f.left.SetText(left)
	f.right.SetText(right)
}

// refresh follows a change of the record.
func (f *frame) refresh() {
	title, sub, answers := f.w.exam.shell.Header()
	f.title.SetText(title)
	f.sub.SetText(sub)
	for i, a := range answers {
		f.answers[i].Set(a.Caption, a.Figure, a.Beside)
	}
	if f.w.exam.shell.Frozen() {
		f.issue.SetText("Issued")
	} else {
		f.issue.SetText("Issue report")
	}
	for _, it := range f.w.exam.shell.Rail() {
		f.rail[it.Screen].Set(it.Screen == f.w.exam.now, statusOf(it.Progress))
	}
	f.refreshFoot()
	f.now.refresh()
}

func statusOf(p view.Progress) look.Status {
	switch p {
	case view.Complete:
		return look.Complete
	case view.SomethingMissing:
		return look.Incomplete
	}
	return look.NotStarted
}

// ShowScreen shows a screen of the open examination.
func (w *Window) ShowScreen(s view.Screen) {
	x := w.exam
	if x == nil {
		return
	}
	w.takeTyped()
	if w.frame == nil || len(w.frame.rail) == 0 {
		w.frame = newFrame(w)
		w.setContent(w.frame.object())
	}
	x.now = s
	w.frame.said = ""
	w.frame.now = w.makeScreen(s)
	w.frame.body.Objects = []fyne.CanvasObject{w.frame.now.object()}
	w.frame.body.Refresh()
	w.frame.refresh()
}

func (w *Window) makeScreen(s view.Screen) screen {
	switch s {
	case view.PhotosScreen:
		return newPhotosScreen(w)
	case view.MarksScreen:
		return newMarksScreen(w)
	case view.PartsScreen:
		return newPartsScreen(w)
	case view.ElectronicsScreen:
		return newElectronicsScreen(w)
	case view.SetupScreen:
		return newSetupScreen(w)
	case view.DatingScreen:
		return newDatingScreen(w)
	case view.GradeScreen:
		return newGradeScreen(w)
	case view.ReportScreen:
		return newReportScreen(w)
	}
	return newIdentityScreen(w)
}

// refresh follows a change of the open examination.
func (w *Window) refresh() {
	if w.exam != nil && w.frame != nil && w.frame.now != nil {
		w.frame.said = ""
		w.frame.refresh()
	}
}

func (w *Window) setContent(o fyne.CanvasObject) {
	w.receiving = nil // whoever shows it sets it after
	w.leaveArchive()
	w.win.SetTitle(w.title())
	w.win.SetContent(o)
}

// toggleDark changes between the light and the dark look.
func (w *Window) toggleDark() {
	w.dark = !w.dark
	w.app.Settings().SetTheme(look.New(w.dark))
	if w.exam != nil {
		w.ShowScreen(w.exam.now)
	}
	if r := w.receiving; r != nil {
		w.takeTyped()
		w.try(func() error { return w.showReceiving(r.m) })
	}
}
