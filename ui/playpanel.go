package ui

import (
	"fyne.io/fyne/v2"

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
	faults  *sentences
}

// brushes are the choices for the pointer: to select, or one of the sounds.
func brushes() []record.Sound { return append([]record.Sound{""}, record.Sounds()...) }

func newPlayPanel(w *Window, notes func() []string) *playPanel {
	p := &playPanel{w: w, m: view.NewPlay(w.exam.s), summary: look.NewText("", look.Body, look.Ink), faults: newSentences(false)}
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
	bar := look.SpacedColumns(12, look.Centred(look.NewText("The pointer paints", look.Caption, look.Dim).Whole()), look.Fixed(430, 0, p.brush),
		look.Space(), p.rest[0], p.rest[1])
	keys := look.NewText("Keys: c clean, b buzz, h choke, d dead, n not tried; arrows move, with Shift they select, a letter fills what is selected. A click on a number selects the whole string or fret.", look.Caption, look.Dim)
	p.root = look.Spaced(12, p.summary, bar, keys, look.Flex(1, p.grid), p.faults.box)
	return p
}

func (p *playPanel) refresh() {
	p.summary.SetText(p.m.Summary())
	for i, b := range brushes() {
		if b == p.m.Brush() {
			p.brush.Set(i)
		}
	}
	p.faults.set(p.m.Faults())
	p.grid.update()
}
