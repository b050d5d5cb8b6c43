package ui

import (
	"context"
	"fmt"
	"io"

	"fyne.io/fyne/v2"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// archiveDue is the page that lists what is due for what is insured.
type archiveDue struct {
	s     *archiveScreen
	root  fyne.CanvasObject
	list  []archive.Due
	rows  []view.ArchiveDueRow
	stale bool
	count *look.Text
	none  *look.Text
	table *look.Table
	save  *look.Button
}

func newArchiveDue(s *archiveScreen) *archiveDue {
	p := &archiveDue{s: s, stale: true, count: look.NewText("", look.Body, look.Ink).Bold(), none: look.NewText("", look.Body, look.Dim)}
	p.table = look.NewTable([]look.Column{{Title: "Day", Width: 90}, {Width: 70}, {Title: "What", Width: 140}, {Title: "Instrument", Width: 260}, {Title: "Why", Dim: true}},
		func() int { return len(p.rows) }, func(i, k int) string {
			r := p.rows[i]
			return [...]string{r.On, r.Late, r.What, r.Title, r.Text}[k]
		})
	p.table.Ink = func(_, k int) fyne.ThemeColorName {
		if k == 1 {
			return look.Bad
		}
		return ""
	}
	p.table.OnSelect = func(i int) {
		p.table.Select(-1)
		if p.rows[i].Report != "" {
			s.open(p.rows[i].Report)
		}
	}
	p.save = look.NewButton("Export calendar…", "", look.Plain, p.askCalendar)
	p.save.Disable()
	p.root = look.Rows(look.Fixed(0, 46, look.Inset(24, 8, 24, 8, look.SpacedColumns(12, look.Flex(1, look.Rows(look.Space(), p.count, look.Space())), p.save))), look.NewRule(),
		look.Fixed(0, 0, look.Inset(24, 0, 24, 0, p.none)), look.Flex(1, look.Inset(18, 0, 18, 0, p.table.Object)))
	return p
}

func (p *archiveDue) object() fyne.CanvasObject { return p.root }

func (p *archiveDue) changed() { p.stale = true }

// shown reckons what is due today.
func (p *archiveDue) shown() {
	if !p.stale {
		return
	}
	p.count.SetText("Looking through what is insured…")
	var list []archive.Due
	var err error
	p.s.beside(func() { list, err = p.s.a.Due(p.s.ctx, p.s.w.now()) }, func() {
		if err != nil {
			p.count.SetText("")
			p.s.w.Fail(err)
			return
		}
		p.list, p.rows, p.stale = list, view.ArchiveDueRows(list), false
		p.count.SetText(view.DueSummary(list))
		p.none.SetText("")
		if len(list) == 0 {
			p.none.SetText("Policies and collections are kept by the verbs 'archive policies' and 'archive collections'; what grows too old is then listed here.")
			p.save.Disable()
		} else {
			p.save.Enable()
		}
		p.table.Refresh()
	})
}

func (p *archiveDue) askCalendar() {
	p.s.w.askPathFrom("Export as a calendar", "A new file, .ics", "Export", "due.ics", false, func(path string) {
		p.s.w.work("Exporting", func(context.Context, func(int, int, string)) error {
			return writeNew(path, func(w io.Writer) error { return p.s.a.WriteCalendar(w, p.list, p.s.w.now()) })
		}, func() { p.s.foot.SetText(fmt.Sprintf("%d dates written to %s", len(p.list), shortPath(path))) })
	})
}
