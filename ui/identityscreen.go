package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// identityScreen is the form on the instrument and the examination.
type identityScreen struct {
	w      *Window
	root   fyne.CanvasObject
	update []func()
}

func newIdentityScreen(w *Window) *identityScreen {
	s := &identityScreen{w: w}
	var groups []fyne.CanvasObject
	var cells []fyne.CanvasObject
	name := ""
	flush := func() {
		if len(cells) > 0 {
			groups = append(groups, look.Spaced(10, look.NewText(name, look.Title, look.Ink).Bold(), grid(3, cells)))
		}
		cells = nil
	}
	for _, f := range view.NewIdentity(w.exam.s).Fields() {
		if f.Group != name {
			flush()
			name = f.Group
		}
		cells = append(cells, s.field(f))
	}
	flush()
	s.root = container.NewVScroll(look.Inset(28, 20, 28, 24, look.Spaced(24, groups...)))
	return s
}

func (s *identityScreen) field(f view.Field) fyne.CanvasObject {
	frozen := s.w.exam.shell.Frozen()
	set := func(t string) {
		if err := f.Set(t); err != nil {
			s.w.Fail(err)
		}
	}
	if f.Choices != nil {
		c := look.NewSelect(f.Choices, "", set)
		if frozen {
			c.Disable()
		}
		s.update = append(s.update, func() { c.Set(f.Get()) })
		return look.Captioned(f.Label, c)
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
	s.update = append(s.update, func() { e.Set(f.Get()) })
	return e
}

func (s *identityScreen) object() fyne.CanvasObject { return s.root }

func (s *identityScreen) refresh() {
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
