package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// playPanel is the grid with what belongs to it: the sound that the pointer
// paints, what the rest is, and a count.
type playPanel struct {
	w       *Window
	m       *view.Play
	root    fyne.CanvasObject
	grid    *playGrid
	summary *look.Text
	brush   *look.Segments
	rest    []*look.Button
	faults  []*look.Text // a line for each sound that is not clean
}

// brushes are the choices for the pointer: to select, or one of the sounds.
func brushes() []record.Sound { return append([]record.Sound{""}, record.Sounds()...) }

func newPlayPanel(w *Window, notes func() []string) *playPanel {
	p := &playPanel{w: w, m: view.NewPlay(w.exam.s), summary: look.NewText("", look.Body, look.Ink)}
	p.grid = newPlayGrid(w, p.m, notes)
	var words []string
	for _, b := range brushes() {
		word := string(b)
		if b == "" {
			word = "select"
		}
		words = append(words, word)
	}
	p.brush = look.NewSegments(words, func(i int) { p.m.SetBrush(brushes()[i]) })
	p.rest = []*look.Button{
		look.NewButton("The rest is clean", "check", look.Plain, func() { w.try(p.m.RestClean) }),
		look.NewButton("The rest was not tried", "", look.Plain, func() { w.try(p.m.RestNotTried) }),
	}
	if w.exam.shell.Frozen() {
		p.brush.Disable()
		for _, b := range p.rest {
			b.Disable()
		}
	}
	bar := look.SpacedColumns(12, look.Centred(look.NewText("The pointer paints", look.Caption, look.Dim).Whole()), look.Fixed(480, 0, p.brush), look.Space())
	keys := look.NewText("Keys: c clean, b buzz, h choke, d dead, n not tried; arrows move, with Shift they select; a letter fills what is selected. A click on a number selects its string or fret.", look.Caption, look.Dim)
	lines := []fyne.CanvasObject{}
	for range view.FaultWords {
		t := look.NewText("", look.Small, look.Ink)
		p.faults = append(p.faults, t)
		lines = append(lines, t)
	}
	if p.m.Frets() == 0 {
		p.root = look.Inset(28, 14, 28, 14, look.Rows(p.summary))
		return p
	}
	p.root = look.Inset(28, 14, 28, 14, look.Spaced(12, look.SpacedColumns(12, look.Flex(1, p.summary), p.rest[0], p.rest[1]), bar, keys,
		look.Flex(1, container.New(&gridAbove{p.m}, p.grid, look.Spaced(3, lines...)))))
	return p
}

// gridAbove lays the grid out as tall as its cells may be, and what it says in
// words right under it.
type gridAbove struct{ m *view.Play }

const underGrid float32 = 14

// MinSize is called by the toolkit.
func (l *gridAbove) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	return fyne.NewSize(max(a.Width, b.Width), a.Height+underGrid+b.Height)
}

// Layout is called by the toolkit.
func (l *gridAbove) Layout(o []fyne.CanvasObject, s fyne.Size) {
	words := o[1].MinSize().Height
	tall := min(s.Height-underGrid-words, fretHead+mostTall*float32(l.m.Strings()))
	o[0].Resize(fyne.NewSize(s.Width, tall))
	o[1].Move(fyne.NewPos(0, tall+underGrid))
	o[1].Resize(fyne.NewSize(s.Width, words))
}

func (p *playPanel) object() fyne.CanvasObject { return p.root }

func (p *playPanel) refresh() {
	p.summary.SetText(p.m.Summary())
	for i, b := range brushes() {
		if b == p.m.Brush() {
			p.brush.Set(i)
		}
	}
	for i, t := range p.m.Faults() {
		p.faults[i].SetText(t)
	}
	p.grid.update()
}
