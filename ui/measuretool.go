package ui

import (
	"fyne.io/fyne/v2"

	"wornwood/annotate/shape"
	"wornwood/ui/look"
	"wornwood/ui/markview"
	"wornwood/ui/view"
)

// measureTool measures on a scaled photo without making a mark.
type measureTool struct {
	s    *marksScreen
	m    *view.Measuring
	root *fyne.Container
	fit  arranged
	note *look.Paragraph
	list *sentences
	use  *look.Button
	drop *look.Button
}

func newMeasureTool(s *marksScreen) *measureTool {
	t := &measureTool{s: s, m: view.NewMeasuring(s.w.exam.s, s.m), note: look.NewParagraph("", true), list: newSentences(false)}
	t.use = look.NewButton("Give it to the selected mark", "check", look.Plain, func() { s.w.try(t.m.UseFor) })
	t.drop = look.NewButton("Clear", "", look.Quiet, func() { t.m.Clear(); s.refresh() })
	t.root = toolPanel(toolHead("Measure", "Drag from end to end, or click along a line and press Enter. Three points also give the angle at the middle one; back at the first point it becomes an area."),
		t.note.Object, t.list.box, look.SpacedColumns(8, t.use, t.drop, look.Space()))
	t.fit.root = t.root
	return t
}

func (t *measureTool) name() string             { return "Measure" }
func (t *measureTool) panel() fyne.CanvasObject { return t.root }
func (t *measureTool) hint() string             { return "Drag from end to end, or click along a line" }
func (t *measureTool) canvas() (photo, outline markview.Tool) {
	return markview.MeasureTool, markview.PinTool
}

func (t *measureTool) measured(pts []shape.Pt)     { t.m.Add(pts) }
func (t *measureTool) label(pts []shape.Pt) string { return t.m.Label(pts) }

func (t *measureTool) refresh() {
	t.note.SetText(t.m.Note())
	var rows []string
	for _, l := range t.m.Lines() {
		rows = append(rows, l.Label)
	}
	t.list.set(rows)
	show(t.use, len(rows) > 0)
	show(t.drop, len(rows) > 0)
	t.fit.follow(t.m.Note(), rows)
}

func (t *measureTool) decorate(photo bool, s *markview.Sheet) {
	if !photo {
		return
	}
	for _, l := range t.m.Lines() {
		s.Measures = append(s.Measures, markview.Measure{Points: l.Points, Closed: l.Closed, Label: l.Label, Warn: l.Warn})
	}
}
