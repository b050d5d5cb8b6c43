package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// photosScreen shows the views of the class, filled or not, and what is known
// of the chosen photo.
type photosScreen struct {
	w       *Window
	m       *view.Photos
	root    fyne.CanvasObject
	tiles   *fyne.Container
	detail  *fyne.Container
	missing *look.Text
	thumbs  *thumbs
}

func newPhotosScreen(w *Window) *photosScreen {
	s := &photosScreen{w: w, m: view.NewPhotos(w.exam.s), thumbs: newThumbs(w.bench), missing: look.NewText("", look.Small, look.Dim)}
	s.tiles = container.NewGridWrap(fyne.NewSize(168, 138))
	s.detail = container.NewStack()
	if ps := w.exam.s.Scene().Record.Photos; len(ps) > 0 {
		s.m.Selected = ps[0].ID
	}
	add := look.NewButton("Import photos…", "import", look.Plain, w.askImport)
	if w.exam.shell.Frozen() {
		add.Disable()
	}
	head := look.SpacedColumns(16, look.Flex(1, look.Rows(look.Space(), look.NewText("Photos", look.Title, look.Ink).Bold(), s.missing, look.Space())), look.Centred(add))
	left := look.Rows(look.Inset(24, 12, 24, 8, look.Fixed(0, 44, head)), look.Flex(1, container.NewVScroll(look.Inset(24, 4, 24, 16, s.tiles))))
	s.root = look.Columns(look.Flex(1, left), look.NewRule(), look.Fixed(400, 0, look.On(look.Panel, container.NewVScroll(s.detail))))
	return s
}

func (s *photosScreen) object() fyne.CanvasObject { return s.root }

func (s *photosScreen) refresh() {
	s.missing.SetText(s.m.Missing())
	s.tiles.Objects = nil
	for _, t := range s.m.Tiles() {
		s.tiles.Add(s.tile(t))
	}
	s.tiles.Refresh()
	s.showDetail()
}

// tile is a photo, or the empty frame of a view that has none.
func (s *photosScreen) tile(t view.PhotoTile) fyne.CanvasObject {
	name := t.View
	if name == "" {
		name = t.Name
	}
	if t.Photo == "" {
		return look.On(look.Over, look.Inset(10, 8, 10, 8, look.Rows(look.NewText(view.Capital(name), look.Small, look.Ink), look.Space(),
			look.NewParagraph(t.Hint, true).Object)))
	}
	th := look.NewThumb(164, 132, func() { s.m.Selected = t.Photo; s.refresh() })
	if t.Flag {
		name += "  · remark"
	}
	th.Set(name, t.Marks, t.Photo == s.m.Selected)
	th.SetImage(s.thumbs.get(t.Photo))
	return th
}

func (s *photosScreen) showDetail() {
	id := s.m.Selected
	p := s.w.exam.s.Scene().Record.PhotoByID(id)
	if p == nil {
		s.detail.Objects = nil
		s.detail.Refresh()
		return
	}
	frozen := s.w.exam.shell.Frozen()
	v := look.NewSelect(s.m.ViewChoices(), "loose photo", func(t string) { s.w.try(func() error { return s.m.SetView(id, t) }) })
	v.Set(p.View)
	c := look.NewField("Caption", "", func(t string) { s.w.try(func() error { return s.m.SetCaption(id, t) }) })
	c.Set(p.Caption)
	rm := look.NewButton("Take out of this examination", "delete", look.Plain, func() { s.w.try(func() error { return s.m.Remove(id) }) })
	if frozen {
		v.Disable()
		c.Disable()
		rm.Disable()
	}
	big := look.NewThumb(352, 235, nil)
	big.SetImage(s.thumbs.get(id))
	rows := []fyne.CanvasObject{look.Fixed(352, 235, big), look.Captioned("View", v), c}
	var facts []fyne.CanvasObject
	for _, d := range s.m.Detail(id) {
		if d[0] == "SHA-256" {
			half := len(d[1]) / 2
			facts = append(facts, look.NewRule(), fact(d[0], look.Rows(look.NewText(d[1][:half], look.Caption, look.Ink).Mono(), look.NewText(d[1][half:], look.Caption, look.Ink).Mono())))
			continue
		}
		facts = append(facts, look.NewRule(), fact(d[0], look.NewText(d[1], look.Small, look.Ink)))
	}
	rows = append(rows, look.Rows(facts...))
	for _, r := range s.m.Remarks(id) {
		rows = append(rows, look.SpacedColumns(8, look.NewIcon("info", look.Missing, 18), look.Flex(1, paragraphs(r))))
	}
	rows = append(rows, look.Columns(rm, look.Space()))
	s.detail.Objects = []fyne.CanvasObject{look.Inset(24, 16, 24, 20, look.Spaced(12, rows...))}
	s.detail.Refresh()
}

// fact is a caption beside a value.
func fact(name string, value fyne.CanvasObject) fyne.CanvasObject {
	return look.Inset(0, 5, 0, 5, look.Columns(look.Fixed(100, 0, look.NewText(name, look.Caption, look.Dim)), look.Flex(1, value)))
}
