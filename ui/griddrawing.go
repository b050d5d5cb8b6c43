package ui

import (
	"fmt"
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// gridDrawing draws a playGrid with objects that stay: a box and a letter for
// every position, the heads, and a frame round what is selected.
type gridDrawing struct {
	g       *playGrid
	objects []fyne.CanvasObject

	frets, strings []*canvas.Text
	boxes          [][]*canvas.Rectangle
	letters        [][]*canvas.Text
	frame          *canvas.Rectangle

	shown [][]record.Sound // what the boxes say
	notes []string
	block [2]view.Cell
	lit   bool
}

// Destroy is called by the toolkit, as the next four are.
func (d *gridDrawing) Destroy() {}

// Objects is called by the toolkit.
func (d *gridDrawing) Objects() []fyne.CanvasObject { return d.objects }

// MinSize is called by the toolkit.
func (d *gridDrawing) MinSize() fyne.Size {
	m := d.g.m
	return fyne.NewSize(stringHead+leastCell*float32(m.Frets()), fretHead+leastCell*float32(m.Strings()))
}

// Refresh paints everything anew, as a change of theme asks.
func (d *gridDrawing) Refresh() {
	d.shown, d.notes = nil, nil
	d.update()
	d.Layout(d.g.Size())
	canvas.Refresh(d.g)
}

// build makes the objects for the present numbers of strings and frets.
func (d *gridDrawing) build() {
	m := d.g.m
	d.objects, d.frets, d.strings, d.boxes, d.letters = nil, nil, nil, nil, nil
	text := func(size float32, n fyne.ThemeColorName, of string) *canvas.Text {
		t := canvas.NewText(of, d.ink(n))
		t.TextSize, t.Alignment = size, fyne.TextAlignCenter
		d.objects = append(d.objects, t)
		return t
	}
	for f := 1; f <= m.Frets(); f++ {
		n := look.Dim
		if dotted(f) {
			n = look.Ink
		}
		d.frets = append(d.frets, text(look.Small, n, fretNumber(f)))
	}
	for range m.Strings() {
		d.strings = append(d.strings, text(look.Small, look.Ink, ""))
		var boxes []*canvas.Rectangle
		var letters []*canvas.Text
		for range m.Frets() {
			b := canvas.NewRectangle(color.Transparent)
			b.StrokeWidth = 1
			d.objects = append(d.objects, b)
			boxes, letters = append(boxes, b), append(letters, text(look.Title, look.Ink, ""))
		}
		d.boxes, d.letters = append(d.boxes, boxes), append(d.letters, letters)
	}
	d.frame = canvas.NewRectangle(color.Transparent)
	d.frame.StrokeWidth = 2
	d.objects = append(d.objects, d.frame)
	d.shown, d.notes = nil, nil
	d.update()
}

// update brings the objects up to the model; those that say the same already
// are left alone.
func (d *gridDrawing) update() {
	now := d.g.m.Sounds()
	if len(now) != len(d.boxes) || d.g.m.Frets() != len(d.frets) {
		d.build()
		d.Layout(d.g.Size())
		canvas.Refresh(d.g)
		return
	}
	for s, row := range now {
		for f, snd := range row {
			if d.shown == nil || d.shown[s][f] != snd {
				d.say(d.boxes[s][f], d.letters[s][f], snd)
			}
		}
	}
	d.shown = now
	if notes := d.g.notes(); d.notes == nil || !slices.Equal(notes, d.notes) {
		d.notes = append([]string{}, notes...)
		for i, t := range d.strings {
			t.Text, t.Color = fmt.Sprint(i+1), d.ink(look.Ink)
			if i < len(notes) && notes[i] != "" {
				t.Text = fmt.Sprintf("%d  %s", i+1, notes[i])
			}
			t.Refresh()
		}
	}
	d.follow()
}

// say gives a position its sound: clean is pale, buzz hollow, choke grey, dead
// black, so that they differ in print and to every eye.
func (d *gridDrawing) say(b *canvas.Rectangle, t *canvas.Text, snd record.Sound) {
	fill, edge, text := look.Sheet, look.Hairline, look.Ink
	switch snd {
	case record.Clean:
		fill, text = look.Over, look.Dim
	case record.Buzz:
		edge = look.Ink
	case record.Choke:
		fill, edge = look.Border, look.Ink
	case record.Dead:
		fill, edge, text = look.Strong, look.Strong, look.OnStrong
	}
	b.FillColor, b.StrokeColor = d.ink(fill), d.ink(edge)
	t.Text, t.Color, t.TextStyle.Bold = soundMark(snd), d.ink(text), snd != record.Clean
	b.Refresh()
	t.Refresh()
}

// follow puts the frame round the selection.
func (d *gridDrawing) follow() {
	from, to := d.g.m.Block()
	if d.block == [2]view.Cell{from, to} && d.lit == d.g.focused {
		return
	}
	d.block, d.lit = [2]view.Cell{from, to}, d.g.focused
	d.place()
	d.frame.Refresh()
}

func (d *gridDrawing) place() {
	w, h := d.g.cell()
	from, to := d.block[0], d.block[1]
	d.frame.StrokeColor = d.ink(look.Dim)
	if d.lit {
		d.frame.StrokeColor = d.ink(look.Accent)
	}
	d.frame.Hidden = from.Fret < 1 || len(d.frets) == 0
	d.frame.Move(fyne.NewPos(stringHead+float32(from.Fret-1)*w-1, fretHead+float32(from.String-1)*h-1))
	d.frame.Resize(fyne.NewSize(float32(to.Fret-from.Fret+1)*w+1, float32(to.String-from.String+1)*h+1))
}

// Layout is called by the toolkit.
func (d *gridDrawing) Layout(fyne.Size) {
	w, h := d.g.cell()
	put := func(t *canvas.Text, x, y, w, h float32) {
		tall := t.MinSize().Height
		t.Move(fyne.NewPos(x, y+(h-tall)/2))
		t.Resize(fyne.NewSize(w, tall))
	}
	for f, t := range d.frets {
		put(t, stringHead+float32(f)*w, 0, w-1, fretHead)
	}
	for s := range d.boxes {
		y := fretHead + float32(s)*h
		put(d.strings[s], 0, y, stringHead-6, h)
		for f, b := range d.boxes[s] {
			x := stringHead + float32(f)*w
			b.Move(fyne.NewPos(x, y))
			b.Resize(fyne.NewSize(w-1, h-1))
			put(d.letters[s][f], x, y, w-1, h-1)
		}
	}
	d.place()
}

func (d *gridDrawing) ink(n fyne.ThemeColorName) color.Color { return theme.ColorForWidget(n, d.g) }
