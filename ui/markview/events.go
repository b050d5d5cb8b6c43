package markview

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// MouseDown is called by the toolkit.
func (c *Canvas) MouseDown(e *desktop.MouseEvent) {
	c.pressed = true
	if cv := fyne.CurrentApp().Driver().CanvasForObject(c); cv != nil {
		cv.Focus(c)
	}
	c.pressed = false
	c.shift(e)
	b := Primary
	if e.Button != desktop.MouseButtonPrimary {
		b = Other
	}
	c.Control.Press(c.device(e.Position), b)
}

// shift takes the key's state from an event: it may have gone down while the
// canvas had no focus.
func (c *Canvas) shift(e *desktop.MouseEvent) {
	c.Control.SetShift(e.Modifier&fyne.KeyModifierShift != 0)
}

// MouseUp is called by the toolkit.
func (c *Canvas) MouseUp(e *desktop.MouseEvent) { c.Control.Release(c.device(e.Position)) }

// MouseIn is called by the toolkit.
func (c *Canvas) MouseIn(e *desktop.MouseEvent) { c.MouseMoved(e) }

// MouseMoved is called by the toolkit. It knows of no keys here; KeyDown and
// KeyUp tell of them.
func (c *Canvas) MouseMoved(e *desktop.MouseEvent) { c.Control.Move(c.device(e.Position)) }

// MouseOut is called by the toolkit.
func (c *Canvas) MouseOut() { c.Control.Leave() }

// Dragged is called by the toolkit while a button is down.
func (c *Canvas) Dragged(e *fyne.DragEvent) { c.Control.Move(c.device(e.Position)) }

// DragEnd is called by the toolkit, also when the button comes up elsewhere.
func (c *Canvas) DragEnd() {
	at, _ := c.Control.Cursor()
	c.Control.Release(at)
}

// Scrolled is called by the toolkit.
func (c *Canvas) Scrolled(e *fyne.ScrollEvent) {
	c.Control.Wheel(c.device(e.Position), float64(e.Scrolled.DY))
}

// Cursor is called by the toolkit: a cross where a click would draw, nothing
// where the brush's own circle is.
func (c *Canvas) Cursor() desktop.Cursor {
	k := c.Control
	switch {
	case k.sheet.empty():
		return desktop.DefaultCursor
	case k.tool.brush():
		return desktop.HiddenCursor
	case k.pointing():
		return desktop.PointerCursor
	case k.tool == HandTool:
		return desktop.DefaultCursor
	}
	return desktop.CrosshairCursor
}

// FocusGained is called by the toolkit. The ring shows only for those who came
// by keyboard.
func (c *Canvas) FocusGained() {
	c.pic.Focused = !c.pressed
	c.redraw()
}

// FocusLost is called by the toolkit.
func (c *Canvas) FocusLost() {
	c.pic.Focused = false
	c.Control.Settle()
	c.Control.SetShift(false)
	c.redraw()
}

// keys are the toolkit's names.
var keys = map[fyne.KeyName]Key{
	fyne.KeySpace: FitKey, fyne.KeyEnter: EnterKey, fyne.KeyReturn: EnterKey,
	fyne.KeyEscape: EscapeKey, fyne.KeyBackspace: BackKey,
	fyne.KeyLeft: LeftKey, fyne.KeyRight: RightKey, fyne.KeyUp: UpKey, fyne.KeyDown: DownKey,
	fyne.KeyDelete: DeleteKey, fyne.KeyInsert: AddKey,
}

// runes are keys by what is printed on them, wherever the keyboard has them.
var runes = map[rune]Key{
	'+': InKey, '=': InKey, '-': OutKey, '1': OneKey,
	'.': NextKey, '>': NextKey, ',': PreviousKey, '<': PreviousKey,
	'n': GhostKey, 'N': GhostBackKey, 'x': DismissKey, 'X': DismissKey,
	'l': LoupeKey, 'L': LoupeKey, 'c': CursorKey, 'C': CursorKey,
	'[': SmallerKey, ']': LargerKey, '{': SmallerKey, '}': LargerKey,
}

// TypedKey is called by the toolkit, again and again while a key is held.
func (c *Canvas) TypedKey(e *fyne.KeyEvent) {
	k := keys[e.Name]
	if e.Name == fyne.KeyTab {
		k = GhostKey
		if c.Control.shift {
			k = GhostBackKey
		}
	}
	// Keys of one character come again as runes.
	if !c.Control.Key(k) && c.OnKey != nil && len(e.Name) > 1 {
		c.OnKey(e)
	}
}

// TypedRune is called by the toolkit.
func (c *Canvas) TypedRune(r rune) { c.Control.Key(runes[r]) }

// KeyDown is called by the toolkit once for a key.
func (c *Canvas) KeyDown(e *fyne.KeyEvent) {
	switch e.Name {
	case desktop.KeyShiftLeft, desktop.KeyShiftRight:
		c.Control.SetShift(true)
	case fyne.KeyLeft, fyne.KeyRight, fyne.KeyUp, fyne.KeyDown:
		c.Control.Hold()
	}
}

// KeyUp is called by the toolkit.
func (c *Canvas) KeyUp(e *fyne.KeyEvent) {
	switch e.Name {
	case desktop.KeyShiftLeft, desktop.KeyShiftRight:
		c.Control.SetShift(false)
	case fyne.KeyLeft, fyne.KeyRight, fyne.KeyUp, fyne.KeyDown:
		c.Control.Settle()
	}
}

// AcceptsTab is called by the toolkit: Tab goes from one suggestion to the next
// and leaves the canvas after the last.
func (c *Canvas) AcceptsTab() bool { return c.Control.MoreGhosts(c.Control.shift) }
