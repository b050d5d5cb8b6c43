package ui

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/markview"
)

// tool is a tool of the Marks screen that is more than drawing a mark: it takes
// the panel at the right, and what is clicked on the photo is its.
type tool interface {
	name() string
	panel() fyne.CanvasObject
	hint() string
	canvas() (photo, outline markview.Tool) // what a click means on each
	refresh()
	decorate(photo bool, s *markview.Sheet)
}

// What a tool may take of the canvas; one that does not have the method leaves
// it alone.
type (
	picker     interface{ pick(p shape.Pt) }
	patcher    interface{ patch(r shape.Rect) }
	measurer   interface{ measured(pts []shape.Pt) }
	labeller   interface{ label(pts []shape.Pt) string }
	prompter   interface{ prompt() string }
	areaTaker  interface{ area(pts []shape.Pt) }
	scaleMover interface {
		moved(i int, p shape.Pt)
		removed(i int)
	}
	ghostTaker interface{ ghost(id int, accept bool) }
	curveTaker interface{ curve(nodes []record.Node) }
	brusher    interface {
		stroke(pts []shape.Pt, radius float64, add bool)
	}
)

// wire ties the photo's canvas to the tool that is chosen.
func (s *marksScreen) wire() {
	c := s.photo.Control
	c.OnPick = func(p shape.Pt) { use(s, func(t picker) { t.pick(p) }) }
	c.OnPatch = func(r shape.Rect) { use(s, func(t patcher) { t.patch(r) }) }
	c.OnMeasure = func(pts []shape.Pt) { use(s, func(t measurer) { t.measured(pts) }) }
	c.OnScaleMove = func(i int, p shape.Pt) { use(s, func(t scaleMover) { t.moved(i, p) }) }
	c.OnScaleRemove = func(i int) { use(s, func(t scaleMover) { t.removed(i) }) }
	c.OnGhost = func(id int, yes bool) { use(s, func(t ghostTaker) { t.ghost(id, yes) }) }
	c.OnCurve = func(n []record.Node) { use(s, func(t curveTaker) { t.curve(n) }) }
	c.OnStroke = func(pts []shape.Pt, r float64, add bool) { use(s, func(t brusher) { t.stroke(pts, r, add) }) }
	c.MeasureLabel = func(pts []shape.Pt) string {
		if t, ok := s.tool.(labeller); ok {
			return t.label(pts)
		}
		return ""
	}
	for _, cv := range []*markview.Canvas{s.photo, s.outline} {
		cv.Control.OnSay = s.w.frame.say
		cv.OnKey = s.w.typedKey // what the canvas does not use
	}
}

// use hands something to the chosen tool when it takes it, and shows what came
// of it. An issued examination takes nothing.
func use[T any](s *marksScreen, f func(T)) {
	t, ok := s.tool.(T)
	if !ok {
		return
	}
	if s.w.exam.shell.Frozen() {
		s.w.frame.say("This examination is issued and does not change any more")
		return
	}
	s.w.takeTyped()
	f(t)
	s.refresh()
}

// choose takes up a tool; the one that is chosen already goes back to the pin.
func (s *marksScreen) choose(t tool) {
	s.w.takeTyped()
	if s.tool == t {
		t = nil
	}
	s.tool = t
	s.setTool(record.PointShape)
	s.refresh()
}

// setTool chooses what a click on the canvases means.
func (s *marksScreen) setTool(sh record.Shape) {
	s.m.Tool = sh
	s.follow()
}

// follow gives the canvases the tool that the screen's asks for.
func (s *marksScreen) follow() {
	sh := s.m.Tool
	photo := map[record.Shape]markview.Tool{record.PointShape: markview.PinTool, record.LineShape: markview.LineTool, record.AreaShape: markview.AreaTool}[sh]
	outline := photo
	if s.tool != nil {
		photo, outline = s.tool.canvas()
	}
	for c, t := range map[*markview.Canvas]markview.Tool{s.photo: photo, s.outline: outline} {
		if c.Control.Tool() != t {
			c.Control.SetTool(t)
		}
	}
}

// decorate adds to a sheet what registration and the chosen tool show on it.
func (s *marksScreen) decorate(photo bool, sheet *markview.Sheet) {
	sc := s.w.exam.s.Scene()
	known := s.w.exam.s.ProjectedOnSide(s.m.Tab().Side)
	if photo {
		known = s.w.exam.s.ProjectedOnPhoto(s.m.Photo())
	}
	for _, p := range known {
		if m := sc.Record.MarkByNumber(p.Number); m != nil {
			sheet.Projected = append(sheet.Projected, markview.Projected{Number: p.Number, Level: draw.Level(*m), Shape: p.Shape, Points: p.Points})
		}
	}
	if s.tool != nil {
		s.tool.decorate(photo, sheet)
	}
}

// toolBar has the shapes of marks, then the tools.
func (s *marksScreen) toolBar() fyne.CanvasObject {
	var row []fyne.CanvasObject
	for _, t := range []struct {
		sh   record.Shape
		name string
		icon string
	}{{record.PointShape, "Pin", "pin"}, {record.LineShape, "Line", "line"}, {record.AreaShape, "Area", "area"}} {
		b := look.NewButton(t.name, t.icon, look.Quiet, func() {
			s.tool = nil
			s.setTool(t.sh)
			s.refresh()
		})
		s.shapes[t.sh] = b
		row = append(row, b)
	}
	row = append(row, look.Inset(8, 4, 8, 4, look.NewRule()))
	for _, t := range s.all {
		b := look.NewButton(t.name(), "", look.Quiet, func() { s.choose(t) }).Tight()
		s.tools[t] = b
		row = append(row, b)
	}
	return look.Columns(append(row, look.Space())...)
}

// showTool shows which tool is chosen, and its panel.
func (s *marksScreen) showTool() {
	for sh, b := range s.shapes {
		b.SetChosen(s.tool == nil && sh == s.m.Tool)
	}
	for t, b := range s.tools {
		b.SetChosen(s.tool == t)
	}
	hint := s.m.Hint()
	if s.tool != nil {
		hint = s.tool.hint()
	}
	s.photo.Control.Prompt = ""
	if t, ok := s.tool.(prompter); ok {
		s.photo.Control.Prompt = t.prompt()
	}
	s.hint.SetText(hint)
	beside := fyne.CanvasObject(s.panel.root)
	if s.tool != nil {
		beside = s.tool.panel()
		s.tool.refresh()
	}
	// Laying out a panel anew costs tens of milliseconds, so it is done when
	// another one comes and not after every change.
	if len(s.side.Objects) != 1 || s.side.Objects[0] != beside {
		s.side.Objects = []fyne.CanvasObject{beside}
		s.side.Refresh()
	}
	s.bar.Refresh()
}

// toolHead is the top of a tool's panel: its title and what it is for.
func toolHead(title, text string) fyne.CanvasObject {
	return look.Spaced(6, look.NewText(title, look.Title, look.Ink).Bold(), look.NewParagraph(text, true).Object)
}

// toolPanel puts a tool's rows into the panel at the right.
func toolPanel(rows ...fyne.CanvasObject) *fyne.Container {
	return look.Inset(16, 12, 16, 12, look.Spaced(12, rows...))
}

// arranged lays a panel out anew when parts of it came or went, and only then.
type arranged struct {
	root fyne.CanvasObject
	now  string
}

// follow is told what decides the layout: which parts are in sight, texts that
// wrap.
func (a *arranged) follow(parts ...any) {
	if now := fmt.Sprint(parts...); now != a.now {
		a.now = now
		a.root.Refresh()
	}
}

// sentences fills a container with paragraphs, made anew when they change.
type sentences struct {
	box *fyne.Container
	now []string
	dim bool
}

func newSentences(dim bool) *sentences { return &sentences{box: look.Spaced(4), dim: dim} }

func (p *sentences) set(texts []string) {
	if slices.Equal(texts, p.now) {
		return
	}
	p.now, p.box.Objects = slices.Clone(texts), nil
	for _, t := range texts {
		p.box.Add(look.NewParagraph(t, p.dim).Object)
	}
	p.box.Refresh()
}
