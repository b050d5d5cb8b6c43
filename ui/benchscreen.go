package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"wornwood/capture/bench"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// benchScreen lists the instruments of the bench, or what is due.
type benchScreen struct {
	w       *Window
	model   *view.Bench
	rows    []view.BenchRow
	dues    []view.DueRow
	answers *rowAnswers
	back    rowsAnswered // what buyers sent back

	list, due   *widget.List
	search      *look.Field
	which       *look.Segments
	lists       [2]fyne.CanvasObject
	export      fyne.CanvasObject
	none, foot  *look.Text
	thumbs      *thumbs
	dueIsChosen bool
}

// ShowBench lists the instruments.
func (w *Window) ShowBench() {
	w.frame = nil
	model, err := view.NewBench(w.bench, w.now)
	if err != nil {
		w.Fail(err)
		return
	}
	s := &benchScreen{w: w, model: model, thumbs: newThumbs(w.bench), none: look.NewText("", look.Body, look.Dim).Whole()}
	s.answers = newRowAnswers(view.NewGrader(w.bench), s.answered)
	w.listed = s
	s.back.find(w, func() {
		if w.listed == s && w.exam == nil {
			s.list.Refresh()
		}
	})
	s.list = widget.NewList(func() int { return len(s.rows) }, func() fyne.CanvasObject { return newBenchRow() }, func(i int, o fyne.CanvasObject) { s.fill(i, o.(*benchRow)) })
	s.list.OnSelected = func(i int) {
		s.list.UnselectAll()
		w.try(func() error { return w.OpenExam(s.rows[i].Exam) })
	}
	s.due = widget.NewList(func() int { return len(s.dues) }, func() fyne.CanvasObject { return newDueRow() }, func(i int, o fyne.CanvasObject) { s.fillDue(i, o.(*dueRow)) })
	s.due.OnSelected = func(i int) {
		s.due.UnselectAll()
		w.try(func() error { return w.OpenExam(s.dues[i].Exam) })
	}
	s.search = look.NewField("Find by any word, serial number included", "", nil)
	s.search.Entry().OnChanged = func(t string) { s.model.Query = t; s.refresh() }
	w.setContent(look.Rows(look.Fixed(0, 72, look.Inset(20, 6, 20, 6, s.head())), look.NewRule(), s.bar(), look.NewRule(), look.Flex(1, s.body())))
	s.choose(0)
	w.find = func() { s.search.Focus(w.win.Canvas()) }
}

func (s *benchScreen) head() fyne.CanvasObject {
	w := s.w
	name := w.bench.Settings().Shop
	if name == "" {
		name = w.title()
	}
	return look.SpacedColumns(16, look.Flex(1, look.Rows(look.Space(), look.NewText(name, look.Title, look.Ink).Bold(),
		look.NewText(w.bench.Dir(), look.Small, look.Dim), look.Space())),
		look.Fixed(320, 0, look.Centred(look.Fixed(320, 0, s.search))),
		look.Centred(look.NewButton("New examination", "plus", look.Main, func() { w.try(w.NewExam) })))
}

// bar chooses between the two lists.
func (s *benchScreen) bar() fyne.CanvasObject {
	all, overdue := s.model.DueCount()
	words := []string{"Instruments", "Due"}
	if all > 0 {
		words[1] = fmt.Sprintf("Due · %d", all)
	}
	s.which = look.NewSegments(words, s.choose)
	s.which.Set(0)
	s.foot = look.NewText("", look.Small, look.Dim)
	if overdue > 0 {
		s.foot.SetText(fmt.Sprintf("%d overdue", overdue))
		s.foot.SetInk(look.Ink)
	}
	s.export = look.NewButton("Export calendar…", "", look.Plain, s.w.askCalendar)
	return look.Fixed(0, 46, look.Inset(20, 7, 20, 7, look.SpacedColumns(14, look.Fixed(230, 0, s.which), look.Flex(1, s.foot), s.export)))
}

// body stacks the two lists, of which one is shown.
func (s *benchScreen) body() fyne.CanvasObject {
	caption := func(t string) fyne.CanvasObject { return look.NewText(t, look.Caption, look.Dim) }
	heads := [2]fyne.CanvasObject{
		benchColumns(look.Fixed(thumbWide, 0, look.Space()), caption("Instrument"), [3]fyne.CanvasObject{caption("Condition"), caption("Originality"), caption("Plays clean")}, caption("Next due"), look.NewText("Report", look.Caption, look.Dim).Right()),
		dueColumns(caption("Day"), caption("What"), caption("Instrument, and why")),
	}
	for i, l := range []*widget.List{s.list, s.due} {
		s.lists[i] = look.Rows(look.Fixed(0, 24, heads[i]), look.Flex(1, l))
	}
	return container.NewStack(s.lists[0], s.lists[1], look.Centred(s.none))
}

// choose shows the instruments (0) or what is due (1).
func (s *benchScreen) choose(i int) {
	s.dueIsChosen = i == 1
	show := func(o fyne.CanvasObject, yes bool) {
		if yes {
			o.Show()
		} else {
			o.Hide()
		}
	}
	show(s.lists[0], !s.dueIsChosen)
	show(s.lists[1], s.dueIsChosen)
	show(s.export, s.dueIsChosen)
	s.refresh()
}

// refresh reads the rows of the list that is shown.
func (s *benchScreen) refresh() {
	var err error
	if s.dueIsChosen {
		s.dues, err = s.model.DueRows()
	} else {
		s.rows, err = s.model.Rows()
	}
	if err != nil {
		s.w.Fail(err)
		return
	}
	text := ""
	switch {
	case s.dueIsChosen && len(s.dues) == 0 && s.model.Query != "":
		text = "Nothing is due on an instrument that holds these words."
	case s.dueIsChosen && len(s.dues) == 0:
		text = "Nothing is due. Dates of batteries, of next examinations and of reports sent out are gathered here."
	case !s.dueIsChosen && len(s.rows) == 0 && s.model.Query != "":
		text = "No instrument of this bench holds these words."
	case !s.dueIsChosen && len(s.rows) == 0:
		text = "Nothing on this bench yet. Drop photos on the window, or begin an examination."
	}
	s.none.SetText(text)
	if s.dueIsChosen {
		s.due.Refresh()
	} else {
		s.list.Refresh()
	}
}

func (s *benchScreen) fill(i int, r *benchRow) {
	if i >= len(s.rows) {
		return
	}
	b := s.rows[i]
	r.title.SetText(b.Title)
	r.second.SetText(b.Second)
	r.state.SetText(b.State)
	r.said.SetText(s.back.of(b.State))
	r.due.SetText(b.Due)
	r.on.SetText(b.On)
	ink := look.Dim
	if b.Overdue {
		ink = look.Bad
	}
	r.on.SetInk(ink)
	a := s.answers.of(b.Row)
	for k := range r.answers {
		r.answers[k].figure.SetText(a[k].Figure)
		r.answers[k].under.SetText(a[k].Under)
	}
	r.thumb.SetImage(s.thumbs.get(b.Photo))
}

// answered shows the answers of a row that were found beside the window.
func (s *benchScreen) answered(of bench.Row) {
	if s.w.listed != s || s.w.exam != nil {
		return // another screen is shown by now
	}
	for i, r := range s.rows {
		if r.Exam == of.Exam {
			s.list.RefreshItem(i)
		}
	}
}

func (s *benchScreen) fillDue(i int, r *dueRow) {
	if i >= len(s.dues) {
		return
	}
	d := s.dues[i]
	r.when.SetText(d.When)
	r.late.SetText(d.Late)
	r.job.SetText(d.Job)
	r.name.SetText(d.Name)
	r.why.SetText(view.Capital(d.Text) + ".")
}

const (
	thumbWide float32 = 72
	thumbHigh float32 = 52
)

// benchColumns lays out a row of the instruments and its head alike.
func benchColumns(thumb, name fyne.CanvasObject, answers [3]fyne.CanvasObject, due, state fyne.CanvasObject) fyne.CanvasObject {
	return look.Inset(20, 4, 20, 4, look.SpacedColumns(14, thumb, look.Flex(1, name),
		look.Fixed(104, 0, answers[0]), look.Fixed(112, 0, answers[1]), look.Fixed(84, 0, answers[2]), look.Fixed(150, 0, due), look.Fixed(104, 0, state)))
}

// benchRow is one instrument in the list.
type benchRow struct {
	widget.BaseWidget
	thumb                         *look.Thumb
	title, second, state, due, on *look.Text
	said                          *look.Text // what the buyer sent back
	answers                       [3]struct{ figure, under *look.Text }
}

func newBenchRow() *benchRow {
	small := func() *look.Text { return look.NewText("", look.Small, look.Dim) }
	r := &benchRow{thumb: look.NewThumb(thumbWide, thumbHigh, nil), title: look.NewText("", look.Body, look.Ink).Bold(),
		second: small(), state: small().Right(), said: look.NewText("", look.Caption, look.Ink).Right(), due: look.NewText("", look.Small, look.Ink), on: small()}
	for i := range r.answers {
		r.answers[i].figure, r.answers[i].under = look.NewText("", look.Body, look.Ink).Bold(), small()
	}
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer is called by the toolkit.
func (r *benchRow) CreateRenderer() fyne.WidgetRenderer {
	two := func(a, b fyne.CanvasObject) fyne.CanvasObject { return look.Rows(look.Space(), a, b, look.Space()) }
	var answers [3]fyne.CanvasObject
	for i, a := range r.answers {
		answers[i] = two(a.figure, a.under)
	}
	return widget.NewSimpleRenderer(benchColumns(look.Fixed(thumbWide, thumbHigh, r.thumb), two(r.title, r.second), answers, two(r.due, r.on), two(r.state, r.said)))
}

// dueColumns lays out a row of what is due and its head alike.
func dueColumns(day, what, name fyne.CanvasObject) fyne.CanvasObject {
	return look.Inset(20, 4, 20, 4, look.SpacedColumns(16, look.Fixed(104, 0, day), look.Fixed(150, 0, what), look.Flex(1, name)))
}

// dueRow is one thing due in the list.
type dueRow struct {
	widget.BaseWidget
	when, late, job, name, why *look.Text
}

func newDueRow() *dueRow {
	r := &dueRow{when: look.NewText("", look.Body, look.Ink), late: look.NewText("", look.Small, look.Bad), job: look.NewText("", look.Body, look.Ink),
		name: look.NewText("", look.Body, look.Ink).Bold(), why: look.NewText("", look.Small, look.Dim)}
	r.ExtendBaseWidget(r)
	return r
}

// CreateRenderer is called by the toolkit.
func (r *dueRow) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(look.Fixed(0, 48, dueColumns(
		look.Rows(look.Space(), r.when, r.late, look.Space()),
		look.Rows(look.Space(), r.job, look.NewText(" ", look.Small, look.Dim), look.Space()),
		look.Rows(look.Space(), r.name, r.why, look.Space()))))
}
