package look

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Captioned puts a muted caption above anything.
func Captioned(caption string, o fyne.CanvasObject) *fyne.Container {
	return container.New(&captioned{}, NewText(caption, Caption, Dim), o)
}

// captioned stacks the caption and the thing with a small gap.
type captioned struct{}

const captionGap float32 = 3

func (captioned) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	return fyne.NewSize(max(a.Width, b.Width), a.Height+captionGap+b.Height)
}

func (captioned) Layout(o []fyne.CanvasObject, s fyne.Size) {
	h := o[0].MinSize().Height
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(fyne.NewSize(s.Width, h))
	o[1].Move(fyne.NewPos(0, h+captionGap))
	o[1].Resize(fyne.NewSize(s.Width, max(o[1].MinSize().Height, s.Height-h-captionGap)))
}

// entrySizes make an entry as high as the other controls and keep the bars and
// shades of a scrolled text out of a line that is too short for it.
var entrySizes = map[fyne.ThemeSizeName]float32{
	theme.SizeNameInnerPadding: 7, theme.SizeNameScrollBar: 0, theme.SizeNameScrollBarSmall: 0,
}

// Field is a captioned entry with its unit, or a remark, at the right. It
// reports a value when it is left or Enter is pressed, and only when it
// changed; Escape puts the old one back.
type Field struct {
	widget.BaseWidget
	Object   fyne.CanvasObject // the field itself, as Table and Progress have one
	OnDone   func(s string)
	OnCancel func() // Escape was pressed; nil is fine
	entry    *entry
	caption  *Text
	unit     *Text
	was      string
	content  *fyne.Container
}

// CreateRenderer is called by the toolkit.
func (f *Field) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(f.content) }

// NewField makes a field of one line.
func NewField(caption, unit string, done func(s string)) *Field {
	return newField(&entry{}, caption, unit, done)
}

// NewNote makes a field of several lines; Enter starts a new one, leaving the
// field reports it.
func NewNote(caption string, lines int, done func(s string)) *Field {
	e := &entry{}
	e.MultiLine = true
	e.Wrapping = fyne.TextWrapWord
	e.SetMinRowsVisible(lines)
	return newField(e, caption, "", done)
}

func newField(e *entry, caption, unit string, done func(s string)) *Field {
	f := &Field{entry: e, OnDone: done, unit: NewText(unit, Body, Dim).Whole(), caption: NewText(caption, Caption, Dim)}
	e.ExtendBaseWidget(e)
	if unit != "" {
		e.ActionItem = container.New(&inset{right: 8, left: 4}, f.unit)
	}
	e.done, e.cancel = f.done, f.cancel
	e.OnSubmitted = func(string) { f.done() }
	f.content = container.New(&captioned{}, f.caption, container.NewThemeOverride(e, over{sizes: entrySizes, clear: theme.ColorNameShadow}))
	f.ExtendBaseWidget(f)
	f.Object = f
	return f
}

// Bare makes an entry of one's own look like that of a field without a caption.
func Bare(e fyne.CanvasObject) fyne.CanvasObject {
	return container.NewThemeOverride(e, over{sizes: entrySizes, clear: theme.ColorNameShadow})
}

// Set shows a value without reporting it, unless somebody is typing here.
func (f *Field) Set(s string) {
	if f.entry.typing && f.entry.Text != f.was {
		return
	}
	f.was = s
	if f.entry.Text != s {
		f.entry.SetText(s)
	}
}

// Text is what stands in the field now.
func (f *Field) Text() string { return f.entry.Text }

// SetUnit changes what stands at the right of a field that was made with a
// unit.
func (f *Field) SetUnit(s string) {
	f.unit.SetText(s)
	f.entry.Refresh()
}

// SetCaption changes the caption.
func (f *Field) SetCaption(s string) { f.caption.SetText(s) }

// SetHint shows a muted word while the field is empty.
func (f *Field) SetHint(s string) { f.entry.SetPlaceHolder(s) }

// Disable and Enable turn typing off and on.
func (f *Field) Disable() { f.entry.Disable() }

// Enable turns typing on.
func (f *Field) Enable() { f.entry.Enable() }

// Focus puts the keyboard here. The canvas is named, because the toolkit knows
// whose canvas a thing is on only once it was painted.
func (f *Field) Focus(on fyne.Canvas) { on.Focus(f.entry) }

// Entry is the toolkit's own entry, for undo keys and tests.
func (f *Field) Entry() *widget.Entry { return &f.entry.Entry }

func (f *Field) done() {
	if f.entry.Text == f.was {
		return
	}
	f.was = f.entry.Text
	if f.OnDone != nil {
		f.OnDone(f.was)
	}
}

// cancel puts the old value back, and tells OnCancel where somebody listens: a
// question that was asked by a panel is then dropped with it.
func (f *Field) cancel() {
	f.entry.SetText(f.was)
	if f.OnCancel != nil {
		f.OnCancel()
	}
}

// entry tells when it is left and when Escape is pressed.
type entry struct {
	widget.Entry
	done, cancel func()
	typing       bool
}

func (e *entry) FocusGained() { e.typing = true; e.Entry.FocusGained() }

func (e *entry) FocusLost() {
	e.typing = false
	e.Entry.FocusLost()
	e.done()
}

func (e *entry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		e.cancel()
		return
	}
	e.Entry.TypedKey(k)
}
