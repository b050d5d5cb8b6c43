package ui

import (
	"context"

	"fyne.io/fyne/v2"

	"wornwood/annotate/shape"
	"wornwood/ui/look"
	"wornwood/ui/markview"
	"wornwood/ui/view"
)

// fadeTool reads a colour difference for the selected mark.
type fadeTool struct {
	s       *marksScreen
	m       *view.Fading
	root    *fyne.Container
	fit     arranged
	title   *look.Text
	next    *look.Segments
	line    *look.Text
	details *sentences
	clear   *look.Button
}

func newFadeTool(s *marksScreen) *fadeTool {
	t := &fadeTool{s: s, m: view.NewFading(s.w.exam.s, s.m), title: look.NewText("", look.Body, look.Ink).Bold(), line: look.NewText("", look.Title, look.Ink).Bold(), details: newSentences(true)}
	t.next = look.NewSegments(view.PatchWords, func(i int) { t.m.SetNext(view.PatchWord(i)); s.refresh() })
	t.clear = look.NewButton("Take the reading off", "delete", look.Quiet, func() { s.w.try(t.m.Clear); s.refresh() })
	help := look.NewButton("What a reading is worth", "info", look.Quiet, func() { s.w.Tell("Colour differences", t.m.Help()...) })
	t.root = toolPanel(toolHead("Fade", "Read from the original, in linear light, by its colour profile. Both patches in the same light; a grey card beside them makes the reading independent of exposure and white balance."),
		t.title, look.Captioned("The next drag is", t.next), t.line, t.details.box, look.Columns(t.clear, look.Space()), look.Columns(help, look.Space()))
	t.fit.root = t.root
	return t
}

func (t *fadeTool) name() string             { return "Fade" }
func (t *fadeTool) panel() fyne.CanvasObject { return t.root }
func (t *fadeTool) hint() string             { return t.m.Hint() }
func (t *fadeTool) canvas() (photo, outline markview.Tool) {
	return markview.PatchTool, markview.PinTool
}

// patch reads as soon as two patches are there, and again with each further one.
func (t *fadeTool) patch(r shape.Rect) {
	if err := t.m.Drag(r); err != nil {
		t.s.w.Fail(err)
		return
	}
	if !t.m.Complete() {
		return
	}
	w, job := t.s.w, t.m.Job(t.s.w.bench)
	w.work("Reading the patches", func(ctx context.Context, _ func(int, int, string)) error { return job.Run(ctx) }, func() {
		w.try(func() error { return t.m.Keep(job) })
		t.s.refresh()
	})
}

func (t *fadeTool) refresh() {
	t.title.SetText(t.m.Title())
	t.next.Set(int(t.m.Next()))
	line, details, reliable, ok := t.m.Result()
	t.line.SetText(line)
	t.line.SetInk(look.Ink)
	if ok && !reliable {
		t.line.SetInk(look.Bad)
	}
	t.details.set(details)
	show(t.clear, ok)
	t.fit.follow(line, details, ok)
}

func (t *fadeTool) decorate(photo bool, s *markview.Sheet) {
	if !photo {
		return
	}
	for i, p := range t.m.Patches() {
		s.Patches = append(s.Patches, markview.Patch{Ring: p.Ring, Word: p.Word, Colour: p.Colour, Joined: i == 1})
	}
}
