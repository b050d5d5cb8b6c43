package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// showTables shows the shop's own tables: what is loaded, what could not be
// used, and how to bring another.
func (w *Window) showTables(s *datingScreen) {
	m := view.NewOwnTables(w.bench)
	var p *sheet
	again := func() {
		p.hide()
		s.m.Reload()
		s.refresh()
		w.showTables(s)
	}
	bring := func(kind, name string) *look.Button {
		return look.NewButton("Bring "+name+"…", "", look.Plain, func() {
			p.hide()
			w.askPath("Bring a table of "+name, "A file, .csv or .json; it takes the place of the present one, which is kept beside it", "Bring", false, func(path string) {
				said := ""
				w.try(func() (err error) { said, err = m.Import(kind, path); return err })
				s.m.Reload()
				s.refresh()
				if said != "" {
					w.frame.say(said)
				}
			})
		})
	}
	rows := []fyne.CanvasObject{paragraphs(m.Help()...)}
	for _, t := range m.Tables() {
		rows = append(rows, look.NewRule(), look.NewText(t.Title, look.Body, look.Ink).Bold().Whole())
		for _, l := range t.Lines {
			rows = append(rows, w.tableLine(m, l, again))
		}
		for _, b := range t.Bad {
			rows = append(rows, look.SpacedColumns(8, look.Rows(look.NewIcon("warning", look.Bad, 16), look.Space()), look.Flex(1, paragraphs(b))))
		}
	}
	add := look.NewButton("Add a line…", "", look.Plain, func() { p.hide(); w.askSerialLine(m, again) })
	body := look.Rows(look.Fixed(0, 400, container.NewVScroll(look.Spaced(6, rows...))), look.Inset(0, 10, 0, 0, look.SpacedColumns(8, bring("serials", "serial numbers"), bring("features", "features"), add, look.Space())))
	p = w.showSheet("Own tables", 720, body, "Close")
}

func (w *Window) tableLine(m *view.OwnTables, l view.TableLine, again func()) fyne.CanvasObject {
	text := look.NewText(l.Words, look.Small, look.Ink)
	if !l.Editable {
		return text
	}
	remove := look.NewButton("Remove", "", look.Quiet, func() { w.try(func() error { return m.Remove(l) }); again() }).Tight()
	return look.SpacedColumns(8, look.Flex(1, look.Centred(text)), remove)
}

// askSerialLine asks for one line of the table of serial numbers.
func (w *Window) askSerialLine(m *view.OwnTables, again func()) {
	var p *sheet
	fields := m.NewLine()
	var cells []fyne.CanvasObject
	for _, f := range fields {
		e := look.NewField(f.Label, f.Unit, func(t string) { w.try(func() error { return f.Set(t) }) })
		e.SetHint(f.Hint)
		e.OnCancel = func() { p.hide() }
		cells = append(cells, e)
	}
	add := look.NewButton("Add", "", look.Main, func() {
		w.win.Canvas().Unfocus() // takes what is typed
		if err := m.AddLine(); err != nil {
			w.Fail(err)
			return
		}
		p.hide()
		again()
	})
	p = w.showSheet("Add a line to the table of serial numbers", 620, grid(2, cells), "Cancel", add)
}
