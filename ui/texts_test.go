//go:build ci

package ui

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"wornwood/ui/look"
)

// box is a rectangle on the window, in units.
type box struct{ x0, y0, x1, y1 float32 }

func boxOf(at fyne.Position, s fyne.Size) box {
	return box{at.X, at.Y, at.X + s.Width, at.Y + s.Height}
}

func (b box) meet(c box) box {
	return box{max(b.x0, c.x0), max(b.y0, c.y0), min(b.x1, c.x1), min(b.y1, c.y1)}
}

func (b box) empty() bool { return b.x1 <= b.x0 || b.y1 <= b.y0 }

// textSeen is one text as it is drawn.
type textSeen struct {
	text string
	ink  box  // what the letters take
	room box  // what its object was given
	clip box  // what of the window can show it
	free bool // it lies in a scroll that moves sideways
	of   string
}

// seen is everything found on the window.
type seen struct {
	texts    []textSeen
	cut      []string // texts of look.Text that are drawn shortened
	controls []control
}

// control is something to press, type in or choose from.
type control struct {
	name      string
	box, clip box
	free      bool
}

// lookAt walks everything visible, the topmost sheet alone when there is one.
func lookAt(w *Window) *seen {
	s := &seen{}
	all := boxOf(fyne.Position{}, w.win.Canvas().Size())
	if top := w.win.Canvas().Overlays().Top(); top != nil {
		s.walk(top, top.Position(), all, false, "")
		return s
	}
	s.walk(w.win.Content(), w.win.Content().Position(), all, false, "")
	return s
}

func (s *seen) walk(o fyne.CanvasObject, at fyne.Position, clip box, free bool, of string) {
	if o == nil || !o.Visible() {
		return
	}
	switch o := o.(type) {
	case *canvas.Text:
		s.text(o, at, clip, free, of)
		return
	case *fyne.Container:
		s.walkAll(o.Objects, at, clip, free, of)
		return
	case *container.Scroll:
		clip = clip.meet(boxOf(at, o.Size()))
		free = free || o.Direction != container.ScrollVerticalOnly
		s.walk(o.Content, at.Add(o.Content.Position()), clip, free, of)
		return
	case *look.Text:
		if drawn := test.WidgetRenderer(o).Objects()[0].(*canvas.Text).Text; drawn != o.String() {
			s.cut = append(s.cut, drawn)
		}
	}
	wid, ok := o.(fyne.Widget)
	if !ok {
		return
	}
	name := strings.TrimPrefix(fmt.Sprintf("%T", o), "*")
	if _, press := o.(fyne.Tappable); press {
		if _, keys := o.(fyne.Focusable); keys {
			s.controls = append(s.controls, control{name, boxOf(at, o.Size()), clip, free})
		}
	}
	s.walkAll(test.WidgetRenderer(wid).Objects(), at, clip, free, name)
}

func (s *seen) walkAll(os []fyne.CanvasObject, at fyne.Position, clip box, free bool, of string) {
	for _, o := range os {
		s.walk(o, at.Add(o.Position()), clip, free, of)
	}
}

func (s *seen) text(o *canvas.Text, at fyne.Position, clip box, free bool, of string) {
	if strings.TrimSpace(o.Text) == "" {
		return
	}
	m := fyne.MeasureText(o.Text, o.TextSize, o.TextStyle)
	room := boxOf(at, o.Size())
	ink := boxOf(at, m)
	switch o.Alignment {
	case fyne.TextAlignCenter:
		ink.x0 = (room.x0 + room.x1 - m.Width) / 2
	case fyne.TextAlignTrailing:
		ink.x0 = room.x1 - m.Width
	}
	ink.x1 = ink.x0 + m.Width
	// Above and below the letters there is air that may lie over anything.
	air := (m.Height - o.TextSize) / 2
	ink.y0, ink.y1 = ink.y0+air, ink.y1-air
	s.texts = append(s.texts, textSeen{o.Text, ink, room, clip, free, of})
}

// faults lists texts that stick out of their place, lie over one another, or
// off the window, and controls that cannot be reached there.
func (s *seen) faults() []string {
	const slack = 1.5
	var out []string
	add := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	for i, a := range s.texts {
		if a.ink.meet(a.clip).empty() {
			continue // scrolled out of sight
		}
		if a.room.x1 > a.room.x0 && (a.ink.x0 < a.room.x0-slack || a.ink.x1 > a.room.x1+slack) {
			add("%q of a %s needs %.0f units, its place has %.0f", a.text, a.of, a.ink.x1-a.ink.x0, a.room.x1-a.room.x0)
		}
		if !a.free && (a.ink.x0 < a.clip.x0-slack || a.ink.x1 > a.clip.x1+slack) {
			add("%q of a %s reaches from %.0f to %.0f, what can be seen from %.0f to %.0f", a.text, a.of, a.ink.x0, a.ink.x1, a.clip.x0, a.clip.x1)
		}
		for _, b := range s.texts[i+1:] {
			both := a.ink.meet(b.ink).meet(a.clip).meet(b.clip)
			if both.x1-both.x0 > slack && both.y1-both.y0 > slack {
				add("%q of a %s and %q of a %s lie over one another at %.0f, %.0f", a.text, a.of, b.text, b.of, both.x0, both.y0)
			}
		}
	}
	for _, c := range s.controls {
		if c.box.meet(c.clip).empty() {
			continue
		}
		if !c.free && (c.box.x0 < c.clip.x0-slack || c.box.x1 > c.clip.x1+slack) {
			add("a %s reaches from %.0f to %.0f, what can be seen from %.0f to %.0f", c.name, c.box.x0, c.box.x1, c.clip.x0, c.clip.x1)
		}
		if c.box.x1-c.box.x0 < 24 || c.box.y1-c.box.y0 < 18 {
			add("a %s at %.0f, %.0f is %.0f x %.0f, too small to hit or to read", c.name, c.box.x0, c.box.y0, c.box.x1-c.box.x0, c.box.y1-c.box.y0)
		}
	}
	return out
}

// has says whether a text stands anywhere, whole.
func (s *seen) has(text string) bool {
	for _, t := range s.texts {
		if t.text == text {
			return true
		}
	}
	return false
}

// joined is all texts in one string, for words that wrap over lines.
func (s *seen) joined() string {
	var b strings.Builder
	for _, t := range s.texts {
		b.WriteString(t.text + " ")
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
