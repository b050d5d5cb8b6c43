package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// identityPanelWidth is the width of the form at the right of the pages of
// claims, materials and documents.
const identityPanelWidth float32 = 416

// pageHead is the top of such a page: title, a line under it, buttons.
func pageHead(title string, summary *look.Text, buttons ...fyne.CanvasObject) fyne.CanvasObject {
	row := []fyne.CanvasObject{look.Flex(1, look.Rows(look.Space(), look.NewText(title, look.Title, look.Ink).Bold(), summary, look.Space()))}
	for _, b := range buttons {
		row = append(row, look.Centred(b))
	}
	return look.Inset(24, 8, 24, 8, look.Fixed(0, 44, look.SpacedColumns(10, row...)))
}

// beside sets a list and its form side by side.
func beside(list fyne.CanvasObject, form *fyne.Container) fyne.CanvasObject {
	return look.Columns(look.Flex(1, list), look.NewRule(), look.Fixed(identityPanelWidth, 0, look.On(look.Panel, container.NewVScroll(form))))
}

// textForm is typed fields one under the other; Enter goes from one to the next,
// and from the last to what follows.
type textForm struct {
	w      *Window
	rows   []fyne.CanvasObject
	fields []*look.Field
	update []func()
	after  fyne.Focusable // what Enter in the last one goes to; nil for nothing
}

// newTextForm makes the form. A field with choices is typed too: its usual words
// are offered beside it. closed are choices that are all there are.
func newTextForm(w *Window, fields []view.Field, closed ...string) *textForm {
	f := &textForm{w: w}
	for _, x := range fields {
		if is(x.Label, closed) {
			o, update := formWidget(w, x)
			f.rows, f.update = append(f.rows, o), append(f.update, update)
			continue
		}
		f.typed(x)
	}
	return f
}

func is(word string, list []string) bool {
	for _, l := range list {
		if l == word {
			return true
		}
	}
	return false
}

func (f *textForm) typed(x view.Field) {
	set := func(t string) { f.w.try(func() error { return x.Set(t) }) }
	e := look.NewField(x.Label, x.Unit, set)
	e.SetHint(x.Hint)
	n := len(f.fields)
	enter := e.Entry().OnSubmitted
	e.Entry().OnSubmitted = func(t string) { enter(t); f.next(n) }
	f.fields = append(f.fields, e)
	f.update = append(f.update, func() { e.Set(x.Get()) })
	frozen := f.w.exam.shell.Frozen()
	if frozen {
		e.Disable()
	}
	if x.Choices == nil {
		f.rows = append(f.rows, e)
		return
	}
	var usual *look.Select
	usual = look.NewSelect(x.Choices, "usual", func(t string) {
		usual.Set("")
		f.w.takeTyped()
		set(t)
		f.next(n)
	})
	if frozen {
		usual.Disable()
	}
	f.rows = append(f.rows, look.SpacedColumns(8, look.Flex(1, e), look.Rows(look.Space(), look.Fixed(96, 0, usual))))
}

// next puts the keyboard into the field behind the n-th.
func (f *textForm) next(n int) {
	cv := f.w.win.Canvas()
	switch {
	case n+1 < len(f.fields):
		f.fields[n+1].Focus(cv)
	case f.after != nil:
		cv.Focus(f.after)
	default:
		cv.Unfocus()
	}
}

// focus puts the keyboard into the first field.
func (f *textForm) focus() {
	if len(f.fields) > 0 && !f.w.exam.shell.Frozen() {
		f.fields[0].Focus(f.w.win.Canvas())
	}
}

func (f *textForm) refresh() {
	for _, u := range f.update {
		u()
	}
}

// tiedFiles shows the photos and attachments tied to something, with a way to
// take one off and a choice of those that could be tied. Rows are made anew only
// when they change.
type tiedFiles struct {
	w          *Window
	box        *fyne.Container
	rows       *fyne.Container
	add        *look.Select
	now        string
	tied, more func() []view.FileChoice
	untie      func(id string) error
	thumbs     *thumbs
}

func newTiedFiles(w *Window, caption, hint string, tied, more func() []view.FileChoice, tie, untie func(id string) error) *tiedFiles {
	l := &tiedFiles{w: w, rows: look.Spaced(4), tied: tied, more: more, untie: untie, thumbs: newThumbs(w.bench)}
	l.add = look.NewSelect(nil, hint, func(name string) {
		l.add.Set("")
		for _, f := range l.more() {
			if f.Name == name {
				w.try(func() error { return tie(f.ID) })
				return
			}
		}
	})
	if w.exam.shell.Frozen() {
		l.add.Disable()
	}
	l.box = look.Captioned(caption, look.Spaced(6, l.rows, l.add))
	return l
}

func (l *tiedFiles) refresh() {
	var names []string
	for _, f := range l.more() {
		names = append(names, f.Name)
	}
	l.add.SetOptions(names)
	tied, now := l.tied(), ""
	for _, f := range tied {
		now += f.ID + f.Name + "\n"
	}
	if now == l.now {
		return
	}
	l.now, l.rows.Objects = now, nil
	rec := l.w.exam.s.Scene().Record
	for _, f := range tied {
		sign := fyne.CanvasObject(look.Centred(look.NewIcon("note", look.Dim, 20)))
		if rec.PhotoByID(f.ID) != nil {
			pic := look.NewThumb(44, 32, nil)
			pic.SetImage(l.thumbs.get(f.ID))
			sign = pic
		}
		off := look.NewButton("", "close", look.Quiet, func() { l.w.try(func() error { return l.untie(f.ID) }) })
		if l.w.exam.shell.Frozen() {
			off.Disable()
		}
		l.rows.Add(look.SpacedColumns(8, look.Fixed(44, 32, sign), look.Flex(1, look.NewText(f.Name, look.Small, look.Ink)), look.Centred(off)))
	}
	l.rows.Refresh()
}

// showListed shows a list of n rows with the row at chosen, -1 for none: what
// stands in its place while it is empty, the button that takes a row away, the
// form of the row chosen or what stands there instead.
func showListed(table *look.Table, n, at int, empty, remove, content, none fyne.CanvasObject) {
	show(empty, n == 0)
	show(table.Object, n > 0)
	show(remove, at >= 0)
	table.Refresh()
	table.Select(at)
	show(content, at >= 0)
	show(none, at < 0)
}
