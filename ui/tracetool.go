package ui

import (
	"context"

	"fyne.io/fyne/v2"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/markview"
	"wornwood/ui/view"
)

// traceTool takes the instrument's own outline from a photo.
type traceTool struct {
	s      *marksScreen
	m      *view.Tracing
	hand   int // 0 nodes, 1 erase, 2 add
	root   *fyne.Container
	fit    arranged
	status *look.Text
	warn   *sentences
	start  *look.Button
	with   *look.Segments
	by     fyne.CanvasObject
	keep   *look.Button
	back   *look.Button
	again  *look.Button
}

func newTraceTool(s *marksScreen) *traceTool {
	t := &traceTool{s: s, m: view.NewTracing(s.w.exam.s, s.m), status: look.NewText("", look.Body, look.Ink).Bold(), warn: newSentences(false)}
	t.start = look.NewButton("Trace", "trace", look.Plain, t.run)
	t.with = look.NewSegments([]string{"nodes", "erase", "add"}, func(i int) { t.hand = i; s.refresh() })
	t.by = look.Captioned("Correct it by", t.with)
	t.keep = look.NewButton("Keep as this instrument's outline", "check", look.Plain, func() { s.w.try(t.m.Keep); s.refresh() })
	t.back = look.NewButton("Back to the outline of the class", "undo", look.Quiet, func() { s.w.try(t.m.BackToClass); s.refresh() })
	t.again = look.NewButton("Begin again", "", look.Quiet, func() { t.m.Again(); s.refresh() })
	t.root = toolPanel(toolHead("Own outline", "Takes the body's own outline from a photo of the whole instrument, square on, on a plain backdrop. Regions and marks' places are carried over."),
		t.status, look.SpacedColumns(8, t.start, t.again, look.Space()), t.warn.box, t.by, t.keep, t.back)
	t.fit.root = t.root
	return t
}

func (t *traceTool) name() string             { return "Trace" }
func (t *traceTool) panel() fyne.CanvasObject { return t.root }
func (t *traceTool) hint() string             { return t.m.Hint() }
func (t *traceTool) prompt() string           { return t.m.Prompt() }

func (t *traceTool) canvas() (photo, outline markview.Tool) {
	switch {
	case t.m.NeedsAxis():
		return markview.PickTool, markview.PinTool
	case t.hand == 1:
		return markview.EraseBrush, markview.PinTool
	case t.hand == 2:
		return markview.AddBrush, markview.PinTool
	}
	return markview.HandTool, markview.PinTool
}

func (t *traceTool) pick(p shape.Pt) { t.m.Click(p) }

func (t *traceTool) run() {
	job, err := t.m.Job(t.s.w.bench)
	if err != nil {
		t.s.w.Fail(err)
		return
	}
	t.s.w.work("Tracing the instrument", func(ctx context.Context, _ func(int, int, string)) error { return job.Run(ctx) }, func() {
		t.m.Show(job)
		t.s.refresh()
	})
}

// stroke is painted and the silhouette looked for again at once.
func (t *traceTool) stroke(pts []shape.Pt, radius float64, add bool) {
	t.m.Paint(pts, radius, add)
	t.run()
}

func (t *traceTool) curve(nodes []record.Node) {
	t.s.w.try(func() error { return t.m.SetCurve(nodes) })
}

func (t *traceTool) refresh() {
	t.s.follow()
	traced := t.m.Ring() != nil
	t.status.SetText(t.m.Status())
	t.warn.set(t.m.Warnings())
	show(t.start, !traced && !t.m.NeedsAxis())
	show(t.again, traced || len(t.m.Axis()) > 0)
	show(t.by, traced)
	t.with.Set(t.hand)
	show(t.keep, len(t.m.Curve()) > 0)
	show(t.back, t.m.HasOwn())
	t.fit.follow(t.start.Visible(), t.again.Visible(), traced, t.m.Warnings(), t.keep.Visible(), t.back.Visible())
}

func (t *traceTool) decorate(photo bool, s *markview.Sheet) {
	if !photo {
		return
	}
	s.Curve = t.m.Curve()
	for i, p := range t.m.Axis() {
		s.Scale = append(s.Scale, markview.ScaleMark{At: p, Name: []string{"nut", "saddles"}[i], Index: i})
	}
	if ring := t.m.Ring(); s.Curve == nil && len(ring) > 0 {
		s.Patches = append(s.Patches, markview.Patch{Ring: ring, Word: "silhouette"})
	}
}
