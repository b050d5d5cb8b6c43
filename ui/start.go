package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// ShowStart offers what a first start can begin with.
func (w *Window) ShowStart() {
	w.frame = nil
	offer := func(title, text, button string, kind look.ButtonKind, f func()) fyne.CanvasObject {
		return look.Fixed(300, 0, look.Spaced(8, look.NewText(title, look.Title, look.Ink).Bold(),
			look.Fixed(300, 44, paragraphs(text)), look.Columns(look.NewButton(button, "", kind, f), look.Space())))
	}
	w.setContent(look.Centred(look.Spaced(28,
		look.Columns(look.NewText("Wornwood", 28, look.Ink).Bold().Whole(), look.Space()),
		look.SpacedColumns(36,
			offer("Look around", "An invented guitar with photos, marks and parts, to try everything on.", "Open the demonstration", look.Main, w.openDemo),
			offer("Begin", "Choose the folder that will keep your photos, records and reports: your bench.", "Choose a bench…", look.Plain, w.askBench),
			offer("Check", "Somebody sent you a report. See whether it is unaltered and who signed it.", "Check a report…", look.Plain, w.askReport),
		))))
}

// benchScreen lists the instruments of the bench.
type benchScreen struct {
	w      *Window
	model  *view.Bench
	rows   []view.BenchRow
	list   *widget.List
	search *look.Field
	none   *look.Text
	thumbs *thumbs
}

// ShowBench lists the instruments.
func (w *Window) ShowBench() {
	w.frame = nil
	s := &benchScreen{w: w, model: view.NewBench(w.bench), thumbs: newThumbs(w.bench), none: look.NewText("", look.Body, look.Dim).Middle()}
	s.list = widget.NewList(func() int { return len(s.rows) }, func() fyne.CanvasObject { return newBenchRow() }, func(i int, o fyne.CanvasObject) { s.fill(i, o.(*benchRow)) })
	s.list.OnSelected = func(i int) {
		s.list.UnselectAll()
		w.try(func() error { return w.OpenExam(s.rows[i].Exam) })
	}
	s.search = look.NewField("Find by any word, serial number included", "", nil)
	s.search.Entry().OnChanged = func(t string) { s.model.Query = t; s.refresh() }
	s.refresh()
	set := w.bench.Settings()
	name := set.Shop
	if name == "" {
		name = w.title()
	}
	head := look.SpacedColumns(16, look.Flex(1, look.Rows(look.Space(), look.NewText(name, look.Title, look.Ink).Bold(),
		look.NewText(w.bench.Dir(), look.Small, look.Dim), look.Space())),
		look.Fixed(320, 0, look.Centred(look.Fixed(320, 0, s.search))),
		look.Centred(look.NewButton("New examination", "plus", look.Main, func() { w.try(w.NewExam) })))
	w.setContent(look.Rows(look.Fixed(0, 72, look.Inset(20, 6, 20, 6, head)), look.NewRule(),
		look.Flex(1, container.NewStack(s.list, look.Centred(s.none)))))
	w.find = func() { s.search.Focus(w.win.Canvas()) }
}

func (s *benchScreen) refresh() {
	rows, err := s.model.Rows()
	if err != nil {
		s.w.Fail(err)
		return
	}
	s.rows = rows
	text := ""
	switch {
	case len(rows) == 0 && s.model.Query != "":
		text = "No instrument of this bench holds these words."
	case len(rows) == 0:
		text = "Nothing on this bench yet. Drop photos on the window, or begin an examination."
	}
	s.none.SetText(text)
	s.list.Refresh()
}

func (s *benchScreen) fill(i int, r *benchRow) {
	b := s.rows[i]
	r.title.SetText(b.Title)
	r.second.SetText(b.Second)
	r.state.SetText(b.State)
	r.thumb.SetImage(s.thumbs.get(b.Photo))
}

// benchRow is one instrument in the list.
type benchRow struct {
	widget.BaseWidget
	thumb                *look.Thumb
	title, second, state *look.Text
}

func newBenchRow() *benchRow {
	r := &benchRow{thumb: look.NewThumb(72, 52, nil), title: look.NewText("", look.Body, look.Ink).Bold(),
		second: look.NewText("", look.Small, look.Dim), state: look.NewText("", look.Small, look.Dim).Right()}
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer is called by the toolkit.
func (r *benchRow) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(look.Inset(16, 4, 20, 4, look.SpacedColumns(14, look.Fixed(72, 52, r.thumb),
		look.Flex(1, look.Rows(look.Space(), r.title, r.second, look.Space())), look.Fixed(140, 0, r.state))))
}
