package ui

import (
	"fmt"

	"fyne.io/fyne/v2"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/markview"
	"wornwood/ui/view"
)

// scaleTool gives the photo its scale.
type scaleTool struct {
	s       *marksScreen
	m       *view.Scaling
	root    *fyne.Container
	fit     arranged
	kind    *look.Select
	near    *look.Field
	fret    *look.Field
	frets   fyne.CanvasObject
	known   *look.Field
	lies    *look.Segments
	lying   fyne.CanvasObject
	skip    *look.Button
	clear   *look.Button
	summary *look.Paragraph
	warn    *sentences
	rows    []view.ScaleRow
	table   *look.Table
	laid    *look.Paragraph
}

func newScaleTool(s *marksScreen) *scaleTool {
	t := &scaleTool{s: s, m: view.NewScaling(s.w.exam.s, s.m), summary: look.NewParagraph("", false), laid: look.NewParagraph("", true), warn: newSentences(true)}
	t.m.Pixels = s.fullSize
	try := s.w.try
	t.kind = look.NewSelect(t.m.Kinds(), "", func(word string) {
		t.m.SetKind(indexOf(t.m.Kinds(), word))
		s.refresh()
	})
	t.near = look.NewField("Near fret, 0 the nut", "", func(x string) { try(func() error { return t.m.SetFrets(x, t.fret.Text()) }); s.refresh() })
	t.fret = look.NewField("Far fret", "", func(x string) { try(func() error { return t.m.SetFrets(t.near.Text(), x) }); s.refresh() })
	t.frets = look.SpacedColumns(10, look.Flex(1, t.near), look.Flex(1, t.fret))
	t.known = look.NewField("Known length", "mm", func(x string) { try(func() error { return t.m.SetKnown(x) }); s.refresh() })
	t.lies = look.NewSegments(view.LiesWords, func(i int) { try(func() error { return t.m.SetLies(view.Lies(i)) }); s.refresh() })
	t.lying = look.Captioned("It lies", t.lies)
	t.skip = look.NewButton("Not in the photo", "", look.Plain, func() { t.m.Skip(); s.refresh() })
	t.clear = look.NewButton("Take the scale off", "delete", look.Quiet, func() { try(t.m.Clear); s.refresh() })
	t.table = look.NewTable([]look.Column{{Title: "", Width: 20}, {Title: "Point"}, {Title: "off, px", Width: 60, Right: true}}, func() int { return len(t.rows) }, t.cell)
	t.root = look.Rows(toolPanel(
		toolHead("Scale of this photo", "What is clicked here turns the photo's pixels into millimetres. Corners and fret ends are then looked for on their edges, finer than a hand can click."),
		look.Captioned("By", t.kind), t.frets, t.known, t.lying, t.skip, t.summary.Object, t.warn.box, t.laid.Object),
		look.NewRule(), look.Flex(1, look.Inset(10, 4, 10, 4, t.table.Object)), look.Inset(16, 6, 16, 10, look.Columns(look.Space(), t.clear)))
	t.fit.root = t.root
	return t
}

func (t *scaleTool) name() string             { return "Scale" }
func (t *scaleTool) panel() fyne.CanvasObject { return t.root }
func (t *scaleTool) hint() string             { return t.m.Hint() }
func (t *scaleTool) prompt() string           { return t.m.Prompt() }
func (t *scaleTool) canvas() (photo, outline markview.Tool) {
	return markview.PickTool, markview.PinTool
}

func (t *scaleTool) pick(p shape.Pt)         { t.s.w.try(func() error { return t.m.Click(p) }) }
func (t *scaleTool) moved(i int, p shape.Pt) { t.s.w.try(func() error { return t.m.Move(i, p) }) }
func (t *scaleTool) removed(i int)           { t.s.w.try(func() error { return t.m.Remove(i) }) }

func (t *scaleTool) cell(row, col int) string {
	r := t.rows[row]
	switch col {
	case 0:
		return itoa(row + 1)
	case 1:
		if r.Wild {
			return r.Name + ", left out"
		}
		return r.Name
	}
	if r.Residual == 0 {
		return "–"
	}
	return fmt.Sprintf("%.1f", r.Residual)
}

func (t *scaleTool) refresh() {
	kind := record.ScaleKinds()[t.m.Kind()]
	t.kind.Set(t.m.Kinds()[t.m.Kind()])
	show(t.frets, kind == record.FretScale)
	t.near.Set(fmt.Sprint(t.m.Near()))
	t.fret.Set(fmt.Sprint(t.m.Fret()))
	show(t.known, kind == record.TwoPointScale || kind == record.RulerScale)
	t.known.SetCaption("Known length")
	if kind == record.RulerScale {
		t.known.SetCaption("From graduation to graduation")
	}
	t.known.Set(t.m.Known())
	show(t.lying, t.m.AsksLies())
	t.lies.Set(int(t.m.Lies()))
	show(t.skip, t.m.CanSkip())
	t.rows = t.m.Rows()
	show(t.clear, len(t.rows) > 0)
	t.summary.SetText(t.m.Summary())
	t.warn.set(t.m.Warnings())
	t.laid.SetText("")
	if side := t.m.Laid(); side != "" {
		t.laid.SetText("Laid over the outline, " + string(side) + ": marks show on both.")
	}
	t.table.Refresh()
	t.fit.follow(kind, t.m.AsksLies(), t.m.CanSkip(), len(t.rows), t.m.Summary(), t.m.Warnings(), t.m.Laid())
}

func (t *scaleTool) decorate(photo bool, s *markview.Sheet) {
	if !photo {
		return
	}
	for _, r := range t.m.Rows() {
		s.Scale = append(s.Scale, markview.ScaleMark{At: r.At, Name: r.Name, Residual: r.Residual, Off: r.Off, Wild: r.Wild, Index: r.Index})
	}
}
