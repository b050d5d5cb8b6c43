package ui

import (
	"context"
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"wornwood/annotate/shape"
	"wornwood/ui/look"
	"wornwood/ui/markview"
	"wornwood/ui/view"
)

// suggestTool points at likely finish checks and dings in an area.
type suggestTool struct {
	s       *marksScreen
	m       *view.Suggesting
	root    *fyne.Container
	fit     arranged
	slider  *widget.Slider
	forget  *look.Button
	other   *look.Button
	summary *look.Text
	note    *look.Paragraph
}

func newSuggestTool(s *marksScreen) *suggestTool {
	t := &suggestTool{s: s, m: view.NewSuggesting(s.w.exam.s, s.m), summary: look.NewText("", look.Body, look.Ink).Bold(), note: look.NewParagraph("", false)}
	t.slider = widget.NewSlider(0, 1)
	t.slider.Step, t.slider.Value = 0.05, t.m.Sensitivity()
	t.slider.OnChangeEnded = func(x float64) { t.m.SetSensitivity(x); s.refresh() }
	t.other = look.NewButton("Another area", "area", look.Plain, func() { t.m.SetArea(nil); s.refresh() })
	t.forget = look.NewButton("", "", look.Quiet, func() { s.w.try(t.m.Forget); s.refresh() })
	ends := look.Columns(look.NewText("few and sure", look.Caption, look.Dim).Whole(), look.Space(), look.NewText("many and doubtful", look.Caption, look.Dim).Whole())
	t.root = toolPanel(toolHead("Suggestions", "Points at likely finish checks and likely dings in an area. They are suggestions: nothing becomes a mark until you accept it, and lengths are those of the lines you confirm."),
		look.Captioned("How readily", look.Rows(t.slider, ends)), look.Columns(t.other, look.Space()), t.summary, t.note.Object, look.Columns(t.forget, look.Space()),
		look.NewParagraph(t.m.Help(), true).Object)
	t.fit.root = t.root
	return t
}

func (t *suggestTool) name() string             { return "Suggest" }
func (t *suggestTool) panel() fyne.CanvasObject { return t.root }
func (t *suggestTool) hint() string             { return t.m.Hint() }

// canvas: with suggestions on the photo a click chooses one; without, it draws
// the area.
func (t *suggestTool) canvas() (photo, outline markview.Tool) {
	if len(t.m.Ghosts()) > 0 {
		return markview.HandTool, markview.PinTool
	}
	return markview.AreaTool, markview.PinTool
}

func (t *suggestTool) area(pts []shape.Pt) {
	t.m.SetArea(pts)
	t.look()
}

func (t *suggestTool) look() {
	job, err := t.m.Job(t.s.w.bench)
	if err != nil {
		t.s.w.Fail(err)
		return
	}
	t.s.w.work("Looking for checks and dings", func(ctx context.Context, _ func(int, int, string)) error { return job.Run(ctx) }, func() {
		t.m.Show(job)
		t.s.refresh()
	})
}

func (t *suggestTool) ghost(id int, accept bool) {
	t.s.w.try(func() error { return t.m.Answer(id, accept) })
}

func (t *suggestTool) refresh() {
	t.s.follow()
	t.summary.SetText(t.m.Summary())
	t.note.SetText(t.m.Note())
	show(t.other, t.m.Area() != nil)
	n := t.m.Dismissed()
	show(t.forget, n > 0)
	t.forget.SetText(fmt.Sprintf("Show the %d dismissed again", n))
	t.fit.follow(t.m.Summary(), t.m.Note(), t.m.Area() != nil, n)
}

func (t *suggestTool) decorate(photo bool, s *markview.Sheet) {
	if !photo {
		return
	}
	for i, g := range t.m.Ghosts() {
		s.Ghosts = append(s.Ghosts, markview.Ghost{ID: i + 1, Shape: g.Shape, Points: g.Points, Kind: string(g.Kind), Score: g.Score})
	}
}
