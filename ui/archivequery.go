package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// queryLine is the entry of the query line. Some keys go to the page first.
type queryLine struct {
	widget.Entry
	object   fyne.CanvasObject
	key      func(fyne.KeyName) bool
	suggests func() bool // there is something that Tab takes
	typed    bool        // what stands here was typed, so that going on is suggested
	putting  bool
}

func newQueryLine(hint string, changed func(string)) *queryLine {
	q := &queryLine{}
	q.ExtendBaseWidget(q)
	q.SetPlaceHolder(hint)
	q.OnChanged = func(s string) {
		if !q.putting {
			q.typed = true
			changed(s)
		}
	}
	q.object = look.Bare(q)
	return q
}

// put sets the line and the caret without asking it.
func (q *queryLine) put(line string, caret int) {
	q.putting, q.typed = true, false
	q.SetText(line)
	q.CursorColumn = caret
	q.Refresh()
	q.putting = false
}

// TypedKey is called by the toolkit.
func (q *queryLine) TypedKey(k *fyne.KeyEvent) {
	if q.key == nil || !q.key(k.Name) {
		q.Entry.TypedKey(k)
	}
}

// AcceptsTab is asked by the toolkit: Tab takes a suggestion, where there is one.
func (q *queryLine) AcceptsTab() bool { return q.suggests != nil && q.suggests() }

// suggestBox shows how a line can go on, under it.
type suggestBox struct {
	widget.BaseWidget
	list  []view.ArchiveSuggestion
	at    int // chosen by keys; -1 for none
	pick  func(view.ArchiveSuggestion)
	back  *canvas.Rectangle
	rows  []*suggestRow
	stack *fyne.Container
}

func newSuggestBox(pick func(view.ArchiveSuggestion)) *suggestBox {
	b := &suggestBox{at: -1, pick: pick, stack: look.Rows()}
	b.ExtendBaseWidget(b)
	b.Hide()
	return b
}

// Set shows suggestions; none hides the box.
func (b *suggestBox) Set(list []view.ArchiveSuggestion) {
	if len(list) == 0 && len(b.list) == 0 {
		return
	}
	b.list = list
	if b.at >= len(list) {
		b.at = -1
	}
	if len(list) == 0 {
		b.at = -1
		b.Hide()
		return
	}
	for len(b.rows) < len(list) {
		i := len(b.rows)
		r := newSuggestRow(func() { b.pick(b.list[i]) })
		b.rows = append(b.rows, r)
		b.stack.Add(r)
	}
	for i, r := range b.rows {
		if i < len(list) {
			r.set(list[i].Text, list[i].Note, i == b.at)
			r.Show()
		} else {
			r.Hide()
		}
	}
	b.Resize(fyne.NewSize(b.Size().Width, b.MinSize().Height))
	b.Show()
	b.Refresh()
}

// Open says whether there is something to choose.
func (b *suggestBox) Open() bool { return len(b.list) > 0 }

// Step chooses the next or the one before; false where there are none.
func (b *suggestBox) Step(by int) bool {
	if !b.Open() || (by < 0 && b.at < 0) {
		return b.Open()
	}
	b.at = max(-1, min(b.at+by, len(b.list)-1))
	b.Set(b.list)
	return true
}

// Chosen is the suggestion chosen by keys; the first where any is meant and none
// was chosen.
func (b *suggestBox) Chosen(any bool) (view.ArchiveSuggestion, bool) {
	switch {
	case !b.Open(), b.at < 0 && !any:
		return view.ArchiveSuggestion{}, false
	}
	return b.list[max(0, b.at)], true
}

// CreateRenderer is called by the toolkit.
func (b *suggestBox) CreateRenderer() fyne.WidgetRenderer {
	b.back = canvas.NewRectangle(theme.ColorForWidget(look.Sheet, b))
	b.back.StrokeColor, b.back.StrokeWidth = theme.ColorForWidget(look.Border, b), 1
	return widget.NewSimpleRenderer(container.NewStack(look.On(look.Sheet, b.back), look.Inset(1, 4, 1, 4, b.stack)))
}

// suggestRow is one way to go on.
type suggestRow struct {
	widget.BaseWidget
	text, note *look.Text
	ground     *look.Ground
	tapped     func()
	here       bool
}

func newSuggestRow(tapped func()) *suggestRow {
	r := &suggestRow{text: look.NewText("", look.Body, look.Ink), note: look.NewText("", look.Small, look.Dim).Right(), tapped: tapped}
	r.ground = look.On(look.Sheet, look.Fixed(0, 26, look.Inset(10, 0, 10, 0, look.SpacedColumns(12, look.Flex(3, r.text), look.Flex(2, r.note)))))
	r.ExtendBaseWidget(r)
	return r
}

func (r *suggestRow) set(text, note string, here bool) {
	r.text.SetText(text)
	r.note.SetText(note)
	if r.here = here; here {
		r.ground.SetGround(look.Here)
	} else {
		r.ground.SetGround(look.Sheet)
	}
}

// Tapped is called by the toolkit.
func (r *suggestRow) Tapped(*fyne.PointEvent) { r.tapped() }

// CreateRenderer is called by the toolkit.
func (r *suggestRow) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(r.ground) }

// lineTrouble says under the line what is wrong with it.
type lineTrouble struct {
	object *fyne.Container
	text   *look.Paragraph
	now    string
}

func newLineTrouble() *lineTrouble {
	n := &lineTrouble{text: look.NewParagraph("", false)}
	edge := canvas.NewRectangle(theme.Color(look.Border))
	n.object = container.NewStack(edge, look.Inset(1, 1, 1, 1, look.On(look.Sheet, look.Inset(10, 6, 10, 6,
		look.SpacedColumns(8, look.Rows(look.NewIcon("warning", look.Bad, 18), look.Space()), look.Flex(1, n.text.Object))))))
	n.object.Hide()
	return n
}

// set shows a sentence; "" shows nothing.
func (n *lineTrouble) set(s string) {
	if n.now == s {
		return
	}
	if n.now = s; s == "" {
		n.object.Hide()
		return
	}
	n.text.SetText(s)
	n.object.Resize(fyne.NewSize(n.object.Size().Width, n.object.MinSize().Height))
	n.object.Show()
	n.object.Refresh()
}
