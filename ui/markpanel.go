package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// markPanel shows and edits the selected mark, and lists all of them.
type markPanel struct {
	s       *marksScreen
	root    *fyne.Container
	laid    arranged
	badge   *look.PinBadge
	cost    *look.Text
	kind    *kindField
	where   *look.Text
	extent  *look.Text
	depth   *look.Segments
	reading *look.Field
	means   *look.Text
	length  *look.Field
	width   *look.Field
	since   *look.Segments
	again   fyne.CanvasObject // since, with its caption
	note    *look.Field
	remark  *look.Text
	link    *look.Button
	save    *look.Button
	delete  *look.Button
	form    fyne.CanvasObject
	none    fyne.CanvasObject
	rows    []view.MarkRow
	table   *look.Table
}

func newMarkPanel(s *marksScreen) *markPanel {
	p := &markPanel{s: s, badge: look.NewPinBadge(0, 0, 26), cost: look.NewText("", look.Small, look.Dim).Right(),
		where: look.NewText("", look.Small, look.Ink), extent: look.NewText("", look.Small, look.Dim).Right(),
		means: look.NewText("", look.Caption, look.Dim), remark: look.NewText("", look.Caption, look.Dim)}
	m, try := s.m, func(err error) { s.w.try(func() error { return err }) }
	p.kind = newKindField(s)
	p.depth = look.NewSegments([]string{"in finish", "through", "in wood"}, func(i int) { try(m.SetDepth(i)) })
	p.reading = look.NewField("Measured", " ", func(t string) { try(m.SetReading(t)) })
	p.length = look.NewField("Length", "mm", func(t string) { try(m.SetSize(false, t)) })
	p.width = look.NewField("Width", "mm", func(t string) { try(m.SetSize(true, t)) })
	p.since = look.NewSegments(view.Since, func(i int) { try(m.SetSince(view.Since[i])) })
	p.note = look.NewNote("Note", 2, func(t string) { try(m.SetNote(t)) })
	p.link = look.NewButton("", "photos", look.Quiet, p.tie)
	p.save = look.NewButton("Close-up…", "export", look.Quiet, func() { s.w.askCloseUp() })
	p.delete = look.NewButton("Delete", "delete", look.Quiet, func() { s.w.deleteMark() })
	p.table = look.NewTable([]look.Column{{Title: "", Width: 26}, {Title: "Mark"}, {Title: "Where", Width: 84, Dim: true}, {Title: "points", Width: 44, Right: true}},
		func() int { return len(p.rows) }, p.cell)
	p.table.OnSelect = func(i int) { s.selectMark(p.rows[i].Number) }
	p.again = look.Captioned("Since the last examination", p.since)
	p.form = look.Spaced(9,
		look.SpacedColumns(10, look.Fixed(26, 26, p.badge), look.Flex(1, p.kind.entry), look.Fixed(108, 0, p.cost)),
		p.kind.list,
		look.Columns(look.Flex(3, p.where), look.Flex(2, p.extent)),
		look.Captioned("How deep", p.depth),
		look.Rows(p.reading, p.means),
		look.SpacedColumns(10, look.Flex(1, p.length), look.Flex(1, p.width)),
		p.again,
		p.note, p.remark, look.Columns(p.link, p.save, look.Space(), p.delete))
	p.none = paragraphs("Click on the outline or on the photo to pin a mark. Then type two letters of its kind and press Enter; 1, 2 or 3 behind the letters says how deep it goes.")
	p.root = look.Rows(look.Inset(16, 12, 16, 6, container.NewStack(p.form, p.none)), look.NewRule(), look.Flex(1, look.Inset(10, 4, 10, 4, p.table.Object)))
	p.laid.root = p.root
	return p
}

func (p *markPanel) cell(row, col int) string {
	r := p.rows[row]
	switch col {
	case 0:
		return itoa(r.Number)
	case 1:
		return r.Text
	case 2:
		return r.Where
	}
	return r.Points
}

// focusKind gives the keyboard to the kind, so that two letters and Enter name
// the mark that was just pinned.
func (p *markPanel) focusKind() { p.kind.focus() }

func (p *markPanel) refresh() {
	p.rows = p.s.m.Rows()
	chosen := -1
	for i, r := range p.rows {
		if r.Selected {
			chosen = i
		}
	}
	v := p.s.m.Panel()
	if v == nil {
		p.form.Hide()
		p.none.Show()
	} else {
		p.none.Hide()
		p.form.Show()
		p.fill(v)
	}
	p.table.Refresh()
	p.table.Select(chosen)
	p.layout()
}

// layout lays the panel out anew when parts of the form came or went.
func (p *markPanel) layout() {
	p.laid.follow(p.form.Visible(), p.kind.list.Visible(), p.reading.Visible(), p.remark.Visible(), p.again.Visible(), p.link.Visible(), p.save.Visible(), p.kind.offered())
}

func (p *markPanel) fill(v *view.Panel) {
	p.badge.Set(v.Number, v.Level)
	p.cost.SetText(v.Cost)
	p.kind.set(v)
	p.where.SetText(v.Where)
	p.where.SetInk(look.Ink)
	if v.Unplaced {
		p.where.SetInk(look.Bad)
	}
	p.extent.SetText(v.Extent)
	p.depth.SetOptions(v.DepthWords[:])
	p.depth.Set(v.Depth)
	if v.Value != "" {
		p.depth.Set(-1) // the reading counts, not the eye
	}
	p.means.SetText(v.Beside)
	show(p.reading, v.Reading != "")
	show(p.means, v.Reading != "")
	if v.Reading != "" {
		p.reading.SetCaption("Measured " + v.Reading + "; empty: judged by eye")
		p.reading.SetUnit(v.Unit)
		p.reading.Set(v.Value)
	}
	p.length.Set(v.Length)
	p.width.Set(v.Width)
	p.since.Set(indexOf(view.Since, v.Since))
	p.note.Set(v.Note)
	p.remark.SetText(v.Remark)
	show(p.remark, v.Remark != "")
	show(p.again, p.s.again || v.Since != "")
	p.link.SetText("Also here")
	if p.s.m.CanUnlink() {
		p.link.SetText("Not here")
	}
	show(p.link, p.s.m.CanLink() || p.s.m.CanUnlink())
	show(p.save, v.Photos > 0)
	if p.s.w.exam.shell.Frozen() {
		for _, d := range []interface{ Disable() }{p.kind.entry, p.depth, p.reading, p.length, p.width, p.since, p.note, p.link, p.delete} {
			d.Disable()
		}
	}
}

// tie ties the mark to the photo shown, or unties it.
func (p *markPanel) tie() {
	if p.s.m.CanLink() {
		p.s.m.Link()
		p.s.setTool(record.PointShape)
	} else {
		p.s.w.try(p.s.m.Unlink)
	}
	p.s.refresh()
}

func show(o fyne.CanvasObject, yes bool) {
	if yes {
		o.Show()
	} else {
		o.Hide()
	}
}

func indexOf(list []string, s string) int {
	for i, x := range list {
		if x == s {
			return i
		}
	}
	return -1
}
