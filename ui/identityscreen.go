package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// identityScreen is what the instrument is said to be, on four pages: the form,
// the claims, the materials of legal weight, and the documents kept with it.
type identityScreen struct {
	w         *Window
	root      fyne.CanvasObject
	tabs      *look.Segments
	body      *fyne.Container
	pages     []screen
	labels    func() []string
	claims    *view.Claims
	materials *view.Materials
	files     *view.Attachments
}

// The pages in the order of the tabs.
const (
	instrumentPage = iota
	claimsPage
	materialsPage
	documentsPage
)

func newIdentityScreen(w *Window) *identityScreen {
	x := w.exam.s
	s := &identityScreen{w: w, body: container.NewStack(), claims: view.NewClaims(x), materials: view.NewMaterials(x), files: view.NewAttachments(x)}
	s.labels = func() []string { return []string{"Instrument", s.claims.Tab(), s.materials.Tab(), s.files.Tab()} }
	s.tabs = look.NewSegments(s.labels(), s.showPage)
	s.pages = []screen{newIdentityForm(w), newClaimsPanel(s), newMaterialsPanel(s), newAttachPanel(s)}
	s.root = look.Rows(look.Inset(24, 12, 24, 10, look.Columns(look.Fixed(560, 0, s.tabs), look.Space())), look.NewRule(), look.Flex(1, s.body))
	s.tabs.Set(min(w.exam.identityPage, len(s.pages)-1))
	s.showPage(s.tabs.Chosen())
	return s
}

// showPage shows a page, which stays the one shown until the examination is
// closed.
func (s *identityScreen) showPage(i int) {
	s.w.takeTyped()
	s.w.exam.identityPage = i
	s.body.Objects = []fyne.CanvasObject{s.pages[i].object()}
	s.pages[i].refresh()
	s.body.Refresh()
}

// changed runs a command that adds or removes something and shows what is chosen
// then, which the model knows only after the record has changed.
func (s *identityScreen) changed(f func() error) {
	s.w.takeTyped()
	s.w.try(f)
	s.refresh()
}

// show goes to a page as its tab does.
func (s *identityScreen) show(i int) {
	s.tabs.Set(i)
	s.showPage(i)
}

func (s *identityScreen) object() fyne.CanvasObject { return s.root }

func (s *identityScreen) refresh() {
	at := s.tabs.Chosen()
	s.tabs.SetOptions(s.labels())
	s.tabs.Set(at)
	s.pages[at].refresh()
}

// identityForm is the form on the instrument and the examination, in three
// columns that need no scrolling on a small screen.
type identityForm struct {
	w      *Window
	root   fyne.CanvasObject
	update []func()
}

// identityColumns says which groups stand under one another.
var identityColumns = [][]string{{"Instrument", "Finish and woods"}, {"Measures", "Fittings"}, {"Examination"}}

// paired are fields that share a line with the next one.
var paired = map[string]bool{
	"Claimed year": true, "Scale length": true, "Strings": true, "Bass scale, fanned frets": true, "Body length": true,
	"Colour": true, "Body": true, "Hardware": true, "Comes with": true,
}

func newIdentityForm(w *Window) *identityForm {
	s := &identityForm{w: w}
	fields := view.NewIdentity(w.exam.s).Fields()
	var columns []fyne.CanvasObject
	for _, groups := range identityColumns {
		var stack []fyne.CanvasObject
		for _, g := range groups {
			stack = append(stack, look.Spaced(8, look.NewText(g, look.Title, look.Ink).Bold(), s.group(fields, g)))
		}
		columns = append(columns, look.Flex(1, look.Rows(look.Spaced(18, stack...), look.Space())))
	}
	s.root = container.NewVScroll(look.Inset(24, 14, 24, 16, look.SpacedColumns(32, columns...)))
	return s
}

// group lays out the fields of one group.
func (s *identityForm) group(fields []view.Field, name string) fyne.CanvasObject {
	var rows, pair []fyne.CanvasObject
	for _, f := range fields {
		if f.Group != name {
			continue
		}
		pair = append(pair, look.Flex(1, s.field(f)))
		if paired[f.Label] && len(pair) == 1 {
			continue
		}
		rows = append(rows, look.SpacedColumns(12, pair...))
		pair = nil
	}
	if len(pair) > 0 {
		rows = append(rows, look.SpacedColumns(12, append(pair, look.Space())...))
	}
	return look.Spaced(8, rows...)
}

func (s *identityForm) field(f view.Field) fyne.CanvasObject {
	o, update := formWidget(s.w, f)
	s.update = append(s.update, update)
	return o
}

// formWidget makes the widget of a field, and what shows its value.
func formWidget(w *Window, f view.Field) (o fyne.CanvasObject, update func()) {
	set := func(t string) { w.try(func() error { return f.Set(t) }) }
	frozen := w.exam.shell.Frozen()
	if f.Choices != nil {
		c := look.NewSelect(f.Choices, "not said", set)
		if frozen {
			c.Disable()
		}
		return look.Captioned(f.Label, c), func() { c.Set(f.Get()) }
	}
	var e *look.Field
	if f.Lines > 1 {
		e = look.NewNote(f.Label, f.Lines, set)
	} else {
		e = look.NewField(f.Label, f.Unit, set)
	}
	e.SetHint(f.Hint)
	if frozen {
		e.Disable()
	}
	return e, func() { e.Set(f.Get()) }
}

func (s *identityForm) object() fyne.CanvasObject { return s.root }

func (s *identityForm) refresh() {
	for _, u := range s.update {
		u()
	}
}

// grid sets cells in columns of equal width.
func grid(columns int, cells []fyne.CanvasObject) fyne.CanvasObject {
	var rows []fyne.CanvasObject
	for len(cells) > 0 {
		var row []fyne.CanvasObject
		for i := range columns {
			if i < len(cells) {
				row = append(row, look.Flex(1, cells[i]))
			} else {
				row = append(row, look.Space())
			}
		}
		rows = append(rows, look.SpacedColumns(16, row...))
		cells = cells[min(columns, len(cells)):]
	}
	return look.Spaced(12, rows...)
}
