package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/annotate"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/markview"
	"wornwood/ui/view"
)

// marksScreen is where most of the time is spent: outline left, photo in the
// middle, at the right the selected mark or the panel of a tool.
type marksScreen struct {
	w       *Window
	m       *view.Marks
	root    fyne.CanvasObject
	outline *markview.Canvas
	photo   *markview.Canvas
	tabs    map[string]*look.Button
	shapes  map[record.Shape]*look.Button
	all     []tool // in the order of the bar
	tools   map[tool]*look.Button
	tool    tool       // nil: marks are drawn
	line    *look.Text // camera date of the photo
	hint    *look.Text
	bar     *fyne.Container // hint and camera date
	side    *fyne.Container // the panel at the right
	strip   *fyne.Container
	thumbs  *thumbs
	shown   []string // photos in the strip, to leave it alone while they are the same
	tiles   []*look.Thumb
	panel   *markPanel
	again   bool // the instrument was examined before
}

func newMarksScreen(w *Window) *marksScreen {
	s := &marksScreen{w: w, m: w.exam.marks, tabs: map[string]*look.Button{}, shapes: map[record.Shape]*look.Button{}, tools: map[tool]*look.Button{}, thumbs: newThumbs(w.bench),
		line: look.NewText("", look.Small, look.Dim).Right().Whole(), hint: look.NewText("", look.Small, look.Accent)}
	s.outline = s.canvas(false)
	s.photo = s.canvas(true)
	if rows, err := w.bench.Examinations(w.exam.s.Scene().Record.Examination.Instrument); err == nil {
		s.again = len(rows) > 1
	}
	s.panel = newMarkPanel(s)
	s.all = []tool{newMeasureTool(s), newFadeTool(s), newScaleTool(s), newSuggestTool(s), newTraceTool(s)}
	s.side = container.NewStack(s.panel.root)
	s.wire()
	s.strip = container.NewHBox()
	s.bar = look.SpacedColumns(12, look.Flex(1, s.hint), s.line)
	strip := look.On(look.PhotoStrip, look.Fixed(0, 92, look.Inset(6, 4, 6, 4, container.NewHScroll(s.strip))))
	left := look.Rows(look.Fixed(0, 38, look.Inset(10, 4, 6, 4, s.tabBar())), look.NewRule(), look.Flex(1, s.outline))
	middle := look.Rows(look.Fixed(0, 38, look.Inset(10, 4, 12, 4, s.toolBar())), look.NewRule(), look.Fixed(0, 24, look.Inset(14, 2, 12, 2, s.bar)), look.Flex(1, s.photo), strip)
	s.root = look.Columns(look.Flex(36, left), look.NewRule(), look.Flex(60, middle), look.NewRule(), look.Fixed(326, 0, look.On(look.Panel, s.side)))
	return s
}

func (s *marksScreen) object() fyne.CanvasObject { return s.root }

// canvas makes one of the two canvases and ties its intentions to the model.
func (s *marksScreen) canvas(photo bool) *markview.Canvas {
	ex := s.w.exam.s
	of := func(id string) *record.Photo { return ex.Scene().Record.PhotoByID(id) }
	c := markview.NewCanvas(s.w.store, loadPhoto(s.w.bench, of))
	c.SetDark(s.w.dark)
	c.Control.OnPin = func(sh record.Shape, pts []shape.Pt) { s.pinned(photo, sh, pts) }
	c.Control.OnSelect = func(n int) { s.selectMark(n) }
	c.Control.OnMove = func(n, index int, _ record.Shape, pts []shape.Pt) {
		s.w.try(func() error { return s.w.exam.s.MovePlace(n, s.surface(photo), index, pts) })
		s.refresh() // a refused move springs back
	}
	c.SetTip(s.m.Tip)
	return c
}

func (s *marksScreen) surface(photo bool) annotate.Surface {
	if photo {
		return annotate.Surface{Photo: s.m.Photo()}
	}
	return annotate.Surface{Side: s.m.Tab().Side}
}

// pinned makes the mark and gives the keyboard to its kind.
func (s *marksScreen) pinned(photo bool, sh record.Shape, pts []shape.Pt) {
	if s.w.exam.shell.Frozen() {
		s.w.frame.say("This examination is issued and does not change any more")
		return
	}
	s.w.takeTyped()
	if t, ok := s.tool.(areaTaker); ok && photo && sh == record.AreaShape {
		t.area(pts)
		s.refresh()
		return
	}
	fresh := s.m.Waiting(photo) == 0
	if _, err := s.m.Draw(photo, sh, pts); err != nil {
		s.w.Fail(err)
		return
	}
	s.setTool(record.PointShape)
	s.refresh()
	if fresh {
		s.panel.focusKind()
	}
}

// selectMark shows another mark. What is being typed belongs to the mark that
// was shown, and a press on a canvas comes before the field is left, so it is
// taken first.
func (s *marksScreen) selectMark(n int) {
	s.w.takeTyped()
	s.m.Select(n)
	s.refresh()
}

func (s *marksScreen) tabBar() fyne.CanvasObject {
	var row []fyne.CanvasObject
	seen := map[string]bool{}
	for _, t := range s.m.Tabs() {
		if seen[t.Group] {
			continue
		}
		seen[t.Group] = true
		b := look.NewButton(t.Group, "", look.Quiet, func() { s.m.NextTab(t.Group); s.refresh() })
		s.tabs[t.Group] = b
		row = append(row, b)
	}
	return look.Columns(append(row, look.Space())...)
}

// refresh follows the model.
func (s *marksScreen) refresh() {
	sc := s.w.exam.s.Scene()
	tab := s.m.Tab()
	for g, b := range s.tabs {
		b.SetChosen(g == tab.Group)
		b.SetText(s.m.TabLabel(g))
	}
	s.line.SetText(s.m.PhotoLine())
	left := markview.Sheet{Side: side(sc, tab), Focus: tab.Bounds, Marks: sc.Record.Marks, Selected: sc.Selected}
	s.decorate(false, &left)
	s.outline.SetSheet(left)
	sheet := markview.Sheet{Marks: sc.Record.Marks, Selected: sc.Selected}
	if p := sc.Record.PhotoByID(s.m.Photo()); p != nil {
		sheet.Photo, sheet.Width, sheet.Height = p.ID, p.Width, p.Height
		s.decorate(true, &sheet)
	}
	s.photo.SetSheet(sheet)
	s.showTool()
	s.refreshStrip()
	s.panel.refresh()
}

func side(sc *annotate.Scene, t outline.View) *outline.SideDrawing { return sc.Drawing.Side(t.Side) }

// refreshStrip shows the photos; the tiles are made anew only when other photos
// came.
func (s *marksScreen) refreshStrip() {
	tiles := s.m.Thumbs()
	same := len(tiles) == len(s.shown)
	for i := range tiles {
		same = same && tiles[i].Photo == s.shown[i]
	}
	if !same {
		s.shown, s.tiles, s.strip.Objects = nil, nil, nil
		for _, t := range tiles {
			th := look.NewThumb(96, 80, func() { s.m.SetPhoto(t.Photo); s.refresh() })
			th.SetImage(s.thumbs.get(t.Photo))
			s.shown, s.tiles = append(s.shown, t.Photo), append(s.tiles, th)
			s.strip.Add(th)
		}
		s.strip.Refresh()
	}
	for i, t := range tiles {
		name := t.View
		if name == "" {
			name = t.Name
		}
		s.tiles[i].Set(name, t.Marks, t.Photo == s.m.Photo())
	}
}
