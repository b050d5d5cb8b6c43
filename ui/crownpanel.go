package ui

import (
	"slices"

	"fyne.io/fyne/v2"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// crownPanel holds the heights of fret crowns, a sample of the board or every
// fret.
type crownPanel struct {
	w      *Window
	m      *view.Setup
	root   fyne.CanvasObject
	every  *look.Segments
	all    bool
	usual  *look.Text
	box    *fyne.Container
	ids    []string
	fields []*look.Field
	marks  []*look.Text
}

// newCrownPanel is nil where the class has no frets.
func newCrownPanel(w *Window, m *view.Setup) *crownPanel {
	if len(m.Crowns(true)) == 0 {
		return nil
	}
	p := &crownPanel{w: w, m: m, box: look.Spaced(2), usual: look.NewText("", look.Small, look.Dim)}
	p.every = look.NewSegments([]string{"a sample", "every fret"}, func(i int) {
		w.takeTyped()
		p.all = i == 1
		p.refresh()
	})
	p.every.Set(0)
	p.root = look.Spaced(6, look.SpacedColumns(10, look.Flex(1, heading("Fret crowns")), look.Fixed(160, 0, p.every)), p.usual, p.box)
	p.build()
	return p
}

// crownColumns is how many fields stand side by side.
const crownColumns = 5

// build makes the fields anew, where other frets are to be shown.
func (p *crownPanel) build() {
	p.ids, p.fields, p.marks = nil, nil, nil
	var cells []fyne.CanvasObject
	for _, r := range p.m.Crowns(p.all) {
		f := look.NewField("fret "+r.Label, "", func(t string) { p.w.try(func() error { return p.m.Set(r.ID, t) }) })
		if p.w.exam.shell.Frozen() {
			f.Disable()
		}
		mark := look.NewText("", look.Caption, look.Bad).Bold()
		p.ids, p.fields, p.marks = append(p.ids, r.ID), append(p.fields, f), append(p.marks, mark)
		cells = append(cells, look.Rows(f, look.Fixed(0, 16, mark)))
	}
	chainFields(p.w, p.fields)
	p.box.Objects = nil
	for len(cells) > 0 {
		row := make([]fyne.CanvasObject, crownColumns)
		for i := range row {
			if row[i] = look.Space(); i < len(cells) {
				row[i] = look.Flex(1, cells[i])
			}
		}
		p.box.Add(look.SpacedColumns(6, row...))
		cells = cells[min(crownColumns, len(cells)):]
	}
	p.root.Refresh()
}

func (p *crownPanel) stale() bool { return p != nil && len(p.m.Crowns(true)) == 0 }

func (p *crownPanel) refresh() {
	if p == nil {
		return
	}
	rows := p.m.Crowns(p.all)
	if !slices.EqualFunc(rows, p.ids, func(r view.ReadingRow, id string) bool { return r.ID == id }) {
		p.build()
	}
	p.usual.SetText("Usual: " + p.m.UsualCrown())
	for i, r := range rows {
		p.fields[i].Set(r.Text)
		p.marks[i].SetText(map[bool]string{true: "outside"}[r.Outside])
	}
}
